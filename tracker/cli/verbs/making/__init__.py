"""Herb and menstruum, from the charge to the blend."""
