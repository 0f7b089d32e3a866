"""Loss of capacity and growth of resistance with time and use."""
