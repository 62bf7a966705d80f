"""What people call a line of the book: its number in its file, `214`; of several writers `h214`."""

import re
from collections import Counter
from collections.abc import Collection, Iterable
from functools import cache
from itertools import count

from tracker.core.facts.entry import Entry

# As many characters as the last part of a UUID has, which is the part that is random.
_END_OF_AN_ID = 12
_SAID = re.compile(r"(.*?):?([0-9]{1,10})", re.DOTALL)


def entry_name(entry: Entry, writers: Collection[str]) -> str:
    """The number of an entry, after the shortest beginning of its writer's name that is enough.

    Args:
        entry: a line of the book.
        writers: everybody whose lines the book holds.
    """
    return name_of_line(entry.source, entry.sequence, writers)


def entry_names(entries: Iterable[Entry], writers: Collection[str]) -> dict[str, str]:
    """The name of each of these entries, by its id; no two have the same."""
    return told_apart({one.id: entry_name(one, writers) for one in entries})


def told_apart(names: dict[str, str]) -> dict[str, str]:
    """The names, with the end of the id in place of one that several bear.

    A writer whose file went two ways has lines of one number, and people have to tell them apart.
    """
    if len(borne := Counter(names.values())) == len(names):
        return names
    ends = Counter(one[-_END_OF_AN_ID:] for one in names)
    return {
        one: name if borne[name] == 1 else (end if ends[end := one[-_END_OF_AN_ID:]] == 1 else one)
        for one, name in names.items()
    }


def name_of_line(writer: str, number: int, writers: Collection[str]) -> str:
    """The name of a writer's line of that number."""
    if len(writers) < 2:
        return str(number)
    prefix = _prefix(writer, frozenset(writers))
    # A colon keeps the digits of a name apart from the number.
    return f"{prefix}{':' if prefix[-1].isdigit() else ''}{number}"


@cache
def _prefix(writer: str, writers: frozenset[str]) -> str:
    """The shortest beginning of a name that no other has; all of it where it begins another."""
    others = writers - {writer}
    for length in count(1):
        prefix = writer[:length]
        if length >= len(writer):
            break
        if prefix[-1].isalnum() and not any(one.startswith(prefix) for one in others):
            return prefix
    return writer


def read_name(text: str) -> tuple[str, int] | None:
    """The beginning of a writer's name, perhaps empty, and a number; None where it says none."""
    found = _SAID.fullmatch(text.strip().lower())
    return None if found is None else (found[1], int(found[2]))


def is_called(writer: str, prefix: str, writers: Collection[str]) -> bool:
    """Whether a writer is meant by the beginning of a name; one that is called so is, alone."""
    return writer == prefix if prefix in writers else writer.startswith(prefix)
