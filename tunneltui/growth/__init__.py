"""What will be: air, stem, truss and fruit forecasts with intervals. Pure."""
