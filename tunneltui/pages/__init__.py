"""What is said: one module a subject. Pure."""
