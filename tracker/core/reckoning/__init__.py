"""Everything calculated from the shelf."""
