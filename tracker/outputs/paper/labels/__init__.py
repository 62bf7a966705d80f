"""Labels on paper."""
