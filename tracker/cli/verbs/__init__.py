"""The verbs, one file for each group."""
