"""Everything worked out from the shelf."""
