"""What recorded facts mean: events in, state out."""
