"""Results in forms that other programs read: JSON of the machine contract, CSV over time."""
