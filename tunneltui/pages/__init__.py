"""What the grower reads: each module makes the page of one subject out of typed cells. Pure."""
