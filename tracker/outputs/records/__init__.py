"""The batch record: as data first, then as tables for screen and paper."""
