"""Lines with a verb that asks and nothing else, answered without what reads every other."""
