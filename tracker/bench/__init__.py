"""The composition root, and the one way into the book."""
