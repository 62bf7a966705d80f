"""What the gate asks of each kind, by what is done: one file is loaded where its kinds come."""
