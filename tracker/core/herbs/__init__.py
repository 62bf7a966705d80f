"""Herbs: their names, what to be careful of, and the water they bring.

Its classes are named tuples: `show` reads them every time, and making a dataclass takes
seven times as long.
"""
