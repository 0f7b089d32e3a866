"""Upkeep: life for the mission, storage and top-up, carrying, label, retiring, and a fire."""
