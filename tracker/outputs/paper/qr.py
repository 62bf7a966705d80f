"""QR codes (ISO/IEC 18004), as rows of dark modules."""

from typing import Final, NamedTuple

# The quiet zone, in modules on every side: ISO/IEC 18004.
QUIET: Final = 4
# The smallest module a telephone reads from paper without trouble, mm; common practice.
LEAST_MODULE_MM: Final = 0.33
USUAL_MODULE_MM: Final = 0.5


class Bar(NamedTuple):
    """Dark modules side by side: from which, how many, in which row, quiet zone included."""

    x: int
    y: int
    length: int


def bars(text: str) -> tuple[int, list[Bar]]:
    """Modules along a side, quiet zone included, and the dark ones, row by row."""
    import segno

    made = segno.make(text, error="m", micro=False)
    found: list[Bar] = []
    for y, row in enumerate(made.matrix):
        x = 0
        while x < len(row):
            start = x
            while x < len(row) and row[x]:
                x += 1
            if x > start:
                found.append(Bar(start + QUIET, y + QUIET, x - start))
            x += 1
    return len(made.matrix) + 2 * QUIET, found
