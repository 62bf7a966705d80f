"""The head of a batch record: what it is, what to heed, and when it was printed."""

from collections.abc import Iterator
from datetime import tzinfo
from typing import NamedTuple

from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_parts import Record
from tracker.outputs.words.latin_names import is_latin

INCOMPLETE = "INCOMPLETE: lines of the book are not as they were written; see check"


class Head(NamedTuple):
    """What stands above all sections.

    Attributes:
        grave: what has to be read first, a line each: in black bars.
        marks: the same in a few words, for the foot of every page.
        name: what its plants are called, the Latin names behind it.
        heed: what else is the matter.
        lines: how it stands, and its days.
        small: when it was printed, and what it is no proof of.
    """

    grave: tuple[str, ...]
    marks: tuple[str, ...]
    name: str
    latin: tuple[str, ...]
    heed: tuple[str, ...]
    lines: tuple[str, ...]
    small: tuple[str, ...]


def head_of(record: Record, zone: tzinfo) -> Head:
    """What is said at the head of a record."""
    grave = [one for one in record.heed if one.is_grave]
    missing = () if record.book.whole else (INCOMPLETE,)
    marks = dict.fromkeys(one.mark.upper() for one in grave)
    name = f"{record.name[:1].upper()}{record.name[1:]}" or record.what
    return Head(
        (*missing, *(one.said for one in grave)),
        (*(("INCOMPLETE",) if missing else ()), *marks),
        name,
        tuple(one for one in record.latin if is_latin(one) and one not in name),
        tuple(one.said for one in record.heed if not one.is_grave),
        tuple(_standing(record)),
        (
            f"printed {batch_words.moment(record.made, zone)}, "
            f"{batch_words.zone_said(zone, record.made)}; every hour is that of this zone",
            record.basis,
        ),
    )


def _standing(record: Record) -> Iterator[str]:
    """How it stands, and its days: the state first, unless a day says it."""
    if not any(record.state.endswith(day) for day in record.days):
        yield record.state
    elif ", " in record.state:
        yield record.state.rpartition(", ")[0]
    yield from record.days
