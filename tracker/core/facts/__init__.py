"""The facts the book can hold, one frozen class a kind, by subject."""
