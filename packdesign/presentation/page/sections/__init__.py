"""What can be looked at, one module for each section; every one reads the same judged pack."""
