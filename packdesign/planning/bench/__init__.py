"""What the bench needs to know of a judged pack: parts to get, and checks while building."""
