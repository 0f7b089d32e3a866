"""Conductors, joints, fuse, protection and the network of cells in a pack."""
