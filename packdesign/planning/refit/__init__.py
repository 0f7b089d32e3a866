"""What a log of the real device teaches, kept in the brief for later predictions."""
