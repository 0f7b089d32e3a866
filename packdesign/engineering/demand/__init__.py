"""What the device asks of the pack: motors, rails, lights, missions, logs, transients."""
