"""What is seen: the Textual app."""
