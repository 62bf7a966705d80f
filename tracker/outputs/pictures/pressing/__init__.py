"""What pressing gave, by method."""
