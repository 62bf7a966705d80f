"""The state of the shelf: what each thing is and holds."""
