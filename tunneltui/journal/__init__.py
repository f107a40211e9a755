"""What happened: the kinds of entry, their order, crossing out and naming. Pure."""
