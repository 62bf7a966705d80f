"""What the asking verbs print."""
