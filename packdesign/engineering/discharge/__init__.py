"""What the pack does under a demand: cell model, fast engine, PyBaMM engine, bands."""
