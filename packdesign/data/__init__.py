"""Records and loaders of the tables in ``cell_data``: facts with their sources, no physics."""
