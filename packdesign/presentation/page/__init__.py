"""The page in the browser: read widgets, call the services, show the answer."""
