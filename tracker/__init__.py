"""Stillroom: the book of a tincture shelf."""

__version__ = "0.1.0"
