"""One ticking job: replay, what is due, notify, remember what was told."""
