"""What stands ready and what comes in: given out, counted, held, bought."""
