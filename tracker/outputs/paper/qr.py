"""QR codes (ISO/IEC 18004), as rows of dark modules."""

import re
from typing import Final

# The quiet zone, in modules on every side: ISO/IEC 18004.
QUIET: Final = 4
# The smallest module a telephone reads from paper without trouble, mm; common practice.
LEAST_MODULE_MM: Final = 0.33
USUAL_MODULE_MM: Final = 0.5
# (row + column) mod 3: leaves no regular pattern in text of one kind.
_QUICK_MASK: Final = 3
_DARK: Final = re.compile(b"\x01+")


# Dark modules side by side: from which, in which row, how many; quiet zone included.
Bar = tuple[int, int, int]


def bars(text: str, *, quick: bool = False) -> tuple[int, list[Bar]]:
    """Modules along a side, quiet zone included, and the dark ones, row by row.

    Of eight mask patterns, any of which a reader takes, the standard asks for the one that
    scores best; to try them all is most of the time a code takes. `quick` takes one unseen.
    """
    import segno

    made = segno.make(text, error="m", micro=False, mask=_QUICK_MASK if quick else None)
    found = [
        (first + QUIET, y, last - first)
        for y, row in enumerate(made.matrix, QUIET)
        for first, last in [dark.span() for dark in _DARK.finditer(row)]
    ]
    return len(made.matrix) + 2 * QUIET, found
