"""Paper and files."""
