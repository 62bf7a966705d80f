"""The questions of `begin`: each with a default that Enter takes, and put again after a slip."""

import re
from collections.abc import Callable
from typing import Final, TypeVar

import typer

from tracker.bench.own_person import ME
from tracker.cli.asking import explain
from tracker.cli.typed_line import typed_line
from tracker.core.values.errors import MisusedError, TrackerError
from tracker.core.values.text import is_plain, shown

T = TypeVar("T")

NOBODY: Final = "nobody"

_LONGEST_NAME = 60
_HOUR = re.compile(r"([01]?\d|2[0-3])(?:[:.]([0-5]\d))?\s*(?:h|am|pm)?", re.IGNORECASE)


# What `?` answers at each question.
PLACE_HELP: Final = (
    "The folder the book is kept in: what you record is added to files in it. Any folder will do, "
    "also one that is copied to another machine by itself."
)
PERSON_HELP: Final = (
    "It stands beside what you record, so that several people can keep one book. Initials are "
    f"enough; {NOBODY} leaves it out."
)
COUNTRY_HELP: Final = (
    "It settles your money, the paper of labels, the seasons, the zone of your clock, whether you "
    "are asked for g and ml or oz and fl oz, and how large a pint is. `stillroom practice` shows "
    "each, and each can be set by itself."
)
HOUR_HELP: Final = "When the reminders of the day are sent: 8, 7:30 or 6 pm."
REMINDERS_HELP: Final = (
    "A yes starts a program at every login that sends them at that hour; `stillroom reminders "
    "off` ends that. Without it `stillroom due` shows what there is to do."
)


def put(question: str, offered: str, read: Callable[[str], T], help_: str) -> T:
    """What a person answers, once it can be read; Enter takes what is offered."""
    while True:
        text = str(typed_line(question, shown(offered))).strip()
        if text == "?":
            explain(help_)
            continue
        try:
            return read(offered if text == shown(offered) else text)
        except TrackerError as reason:
            typer.echo(shown(f"{reason.what} {reason.do[0].upper()}{reason.do[1:]}"), err=True)


def person_of(text: str) -> str:
    """A name or initials as they are kept; "" for nobody.

    Raises:
        MisusedError: nobody can go by it.
    """
    name = " ".join(text.split())
    if name in (NOBODY, ""):
        return ""
    has_letter = any(one.isalnum() for one in name)
    if not (is_plain(name) and has_letter) or len(name) > _LONGEST_NAME or name == ME:
        raise MisusedError(
            f"Nobody can go by {name[:_LONGEST_NAME]!r} here.",
            where="--me",
            do=f"write a short name or initials, or {NOBODY}.",
        )
    return name


def hour_of(text: str) -> str:
    """`08:00` for an hour as people write it: 8, 7:30, 6 pm.

    Raises:
        MisusedError: it is none.
    """
    found = _HOUR.fullmatch(text.strip())
    hour, minute = (int(found[1]), int(found[2] or 0)) if found else (24, 0)
    half = text.strip().lower()[-2:]
    if found and half in ("am", "pm"):
        hour = hour % 12 + (12 if half == "pm" else 0) if 1 <= hour <= 12 else 24
    if hour > 23:
        raise MisusedError(
            f"{shown(text[:20])!r} is not an hour of the day.",
            where="--hour",
            do="write it like 8, 7:30 or 20:00.",
        )
    return f"{hour:02}:{minute:02}"
