"""What is: the fold of the journal over the holding. Pure."""
