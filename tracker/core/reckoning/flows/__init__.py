"""What went into what, what became of a lot, and what a recall reaches."""
