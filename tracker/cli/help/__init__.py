"""How a verb is found: the table of verbs, help, examples, near misses and other words."""
