"""What is said: one module a subject makes one page of typed cells. Pure."""
