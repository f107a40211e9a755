"""What leaves the house: JSON, sheets and reports."""
