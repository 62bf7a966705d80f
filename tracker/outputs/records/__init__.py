"""The batch record: as data first, then as text."""
