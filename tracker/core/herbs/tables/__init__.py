"""Published and remembered tables of plants."""
