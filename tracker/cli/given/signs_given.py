"""The signs of a look, by the words makers have for them."""

from collections.abc import Iterable
from typing import cast

from tracker.cli.options import one_of
from tracker.core.facts.fields import Sign

_ALSO_CALLED: dict[str, Sign] = {
    "mold": "mould",
    "moldy": "mould",
    "mouldy": "mould",
    "fizz": "gas",
    "pressure": "gas",
    "bubbles": "gas",
    "color": "colour",
}


def signs_named(texts: Iterable[str]) -> tuple[Sign, ...]:
    """The signs that were named, each once.

    Raises:
        MisusedError: one of them is no sign.
    """
    words = (part.strip().lower() for text in texts for part in text.split(","))
    named = (_ALSO_CALLED.get(word) or cast("Sign", one_of(word, Sign, "--sign")) for word in words)
    return tuple(dict.fromkeys(named))
