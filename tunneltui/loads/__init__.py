"""What does it bear: stem path, clips, strings, hooks, wire and hoops. Pure."""
