"""What is to do: one rule per chore, the whole-row lowering, the round that fits the minutes. Pure."""
