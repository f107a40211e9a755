"""What air, soil and weather ask: water, feed, frost, heat, disease weather. Pure."""
