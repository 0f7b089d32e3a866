"""The sections of the build sheet, one a module: what was found becomes blocks to print."""
