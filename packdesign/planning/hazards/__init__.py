"""The gate that runs before anything else: situations that hurt people."""
