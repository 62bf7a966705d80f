"""A shelf in, text or bytes out."""
