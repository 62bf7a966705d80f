"""What is due, in words: its lines, their names, a message, and what is next for a jar."""
