"""The build sheet: everything that was found out about a pack as one document to print."""
