"""CC-CV charging, balancing, supply, intake of cells."""
