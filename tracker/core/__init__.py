"""The pure centre: events in, state out. No disk, clock, network or chance."""
