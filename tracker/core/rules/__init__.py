"""What may be recorded, and what is due."""
