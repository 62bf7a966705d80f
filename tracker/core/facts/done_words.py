"""What was done, as makers say it, by the name of its kind."""

from types import MappingProxyType
from typing import Final

# Every other kind is called in the book what a maker calls it, but for its low line.
_OTHERWISE: Final = MappingProxyType(
    {
        "bought_herb": "bought",
        "dispensed": "given out",
        "herb_added": "given more herb",
        "held": "put on hold",
        "later": "put off",
        "noted": "given a remark",
        "same_as": "said to be one with another",
        "settled": "poured off its lees",
        "struck": "taken back",
    }
)


def done_said(kind: str) -> str:
    """`drawn off`, `put on hold`: for a sentence that begins with what it was done to."""
    return _OTHERWISE.get(kind) or kind.replace("_", " ")
