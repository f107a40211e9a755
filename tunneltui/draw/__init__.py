"""What does it look like: pictures and charts as rows of text and as polylines. Pure."""
