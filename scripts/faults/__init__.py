"""Faults at every file operation of the program, and a witness who judges what is left."""
