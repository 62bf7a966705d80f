"""Days, amounts and strengths that no end of a line parts: `18 Dec 2026`, `500 ml`, `45 % vol`."""

import re
from typing import Final

from tracker.core.values.month_names import MONTHS

_MONTH: Final = "|".join(sorted(MONTHS))
# Each is one blank that stands inside of what is read as one.
_INSIDE: Final = re.compile(
    rf"(?<=\d) (?=(?:{_MONTH}|ml|l|g|kg|d|days?|°C)\b|[%×])"
    rf"|(?<={_MONTH}) (?=\d{{4}}\b)"
    r"|(?<=%) (?=vol\b)"
    r"|(?<=×) (?=\d)"
)


def whole_amounts(text: str) -> str:
    """The text with a blank that is not broken at inside of each day and amount."""
    return _INSIDE.sub("\N{NO-BREAK SPACE}", text)
