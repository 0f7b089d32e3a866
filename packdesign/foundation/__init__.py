"""What every other layer stands on: errors, units, basis of a figure, constants."""
