"""The door, as a grower or another program meets it."""
