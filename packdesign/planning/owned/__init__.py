"""A pack already owned: what its label claims, what a reading shows, and what follows."""
