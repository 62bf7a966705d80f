"""Command lines as plain as they can be: a verb that asks, and at most the book it is asked of.

They are typed all day and shown by prompts, and are read here without what reads every other
line, which takes longer to load than they take to answer. The answer is the same.
"""

import os

TYPE_CHECKING = False  # typing loads as slowly as all the rest of this
if TYPE_CHECKING:
    from collections.abc import Sequence

_OF_THE_SHELF = ("due", "shelf", "stock")


class PlainLine:
    """A verb with the code it was given, if it takes one, and the book; None is the default one."""

    __slots__ = ("book", "words")

    def __init__(self, words: list[str], book: str | None) -> None:
        self.words, self.book = words, book


def plain_line(words: "Sequence[str]") -> PlainLine | None:
    """What a plain line asks; None of any other, with so much as an option in it."""
    if os.name == "nt":  # where the console takes more than bytes
        return None
    book, rest = os.environ.get("STILLROOM_BOOK") or None, list(words)
    if len(rest) > 2 and rest[0] == "--book":
        book, rest = rest[1], rest[2:]
    named = rest if book is None else [book, *rest]
    if any(not one or one.startswith("-") for one in named):
        return None
    is_of_the_shelf = len(rest) == 1 and rest[0] in _OF_THE_SHELF
    is_of_one_thing = len(rest) == 2 and rest[0] == "show"
    return PlainLine(rest, book) if is_of_the_shelf or is_of_one_thing else None
