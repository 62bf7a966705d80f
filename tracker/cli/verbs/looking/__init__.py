"""Questions about the shelf, and what can be worked out."""
