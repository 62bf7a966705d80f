"""What is offered for the word that is being typed; a line that is plain loads little for it."""

import os
from contextlib import suppress

from tracker.cli.completion.what_verbs_take import ARGUMENTS, OPTIONS, OPTIONS_OF, WORDS
from tracker.cli.help.verb_table import LINES

TYPE_CHECKING = False  # typing loads as slowly as all the rest of this
if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

FILES = ("", "files")  # the shell knows better what files there are
_GLOBAL = {
    "--book": "The folder that holds the record.",
    "--version": "Print the version.",
    "--help": "Every verb, a line each.",
}

Offer = tuple[str, str]


def print_offers(words: "Sequence[str]") -> None:
    """Print what is offered for `SHELL WORDS…`, each word with what it is behind a tab.

    Where the line or the book cannot be read, nothing is offered, and nothing is said.
    """
    from tracker.core.values.errors import TrackerError

    try:
        found = offers(words[0], words[1:])
    except (TrackerError, OSError, ValueError, IndexError):
        return
    lines = (f"{_plain(word)}\t{_plain(about)}\n" for word, about in found)
    with suppress(OSError):
        os.write(1, "".join(lines).encode("utf-8", "replace"))


def offers(shell: str, words: "Sequence[str]") -> "list[Offer]":
    """What is offered; nothing where the line or the book cannot be read."""
    *before, typed = words or [""]
    book, before = _book_in(before)
    typed = typed.lstrip("\"'")
    if before and before[-1] == "--book":
        return [FILES]
    if not before:
        every = _GLOBAL if typed.startswith("-") else LINES
        return _beginning(typed, every.items())
    verb, *given = before
    kind = _kind(verb, given, typed)
    if kind == "file":
        return [FILES]
    if kind == "option":
        from tracker.cli.completion.option_offers import option_offers

        return _beginning(typed, option_offers(verb, given))
    if kind in WORDS:
        return _beginning(typed, ((one, "") for one in WORDS[kind]))
    if not kind:
        return []
    from tracker.cli.completion.shelf_offers import shelf_offers

    return shelf_offers(kind, typed, book, names=shell == "fish")


def _kind(verb: str, given: "Sequence[str]", typed: str) -> str:
    """What can stand where the word is typed: a kind of thing, `option`, `file`, or nothing."""
    if verb not in LINES:
        return ""
    if not any(one.startswith("-") for one in (*given, typed)):
        return _argument(verb, len(given))
    ended = "--" in given
    if not ended and typed.startswith("-"):
        return "option"
    if not ended and given[-1].startswith("-"):
        kind = OPTIONS_OF.get((verb, given[-1]), OPTIONS.get(given[-1]))
        if kind is not None:
            return kind
    from tracker.cli.completion.option_offers import place_in

    place = place_in(verb, given)
    return "" if place is None else _argument(verb, place)


def _argument(verb: str, place: int) -> str:
    taken = ARGUMENTS.get(verb, ())
    if taken[-1:] == ("...",):
        return taken[min(place, len(taken) - 2)]
    return taken[place] if place < len(taken) else ""


def _beginning(typed: str, every: "Iterable[Offer]") -> "list[Offer]":
    return [one for one in every if one[0].startswith(typed)]


def _book_in(before: "list[str]") -> "tuple[str | None, list[str]]":
    """The book that is named before the verb, and the words after it."""
    if len(before) > 1 and before[0] == "--book":
        return os.path.expanduser(before[1].strip("\"'")), before[2:]  # noqa: PTH111  # slow to load
    if before and before[0].startswith("--book="):
        return os.path.expanduser(before[0][7:].strip("\"'")), before[1:]  # noqa: PTH111
    return os.environ.get("STILLROOM_BOOK") or None, before


def _plain(text: str) -> str:
    """A text without what would end a line or work on a screen."""
    return "".join(one if one.isprintable() else " " for one in text)
