"""What was learned: yields, comparisons, labour, next season. Pure."""
