"""Where the cells go: cavities, arrangements, clearances, swelling, mass."""
