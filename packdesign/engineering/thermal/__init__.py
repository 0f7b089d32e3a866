"""Heat from the cell through its surface and cavity to the air."""
