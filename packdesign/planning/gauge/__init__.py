"""The voltages at which the device warns, limits and stops, and how its controller reads them."""
