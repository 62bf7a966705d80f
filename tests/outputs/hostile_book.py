"""A book in which every text that anybody may write was written by somebody who means harm."""

from itertools import count
from typing import get_args, get_type_hints

from msgspec import Struct
from msgspec.structs import fields, replace

from tests.books import written_down
from tests.command import Command
from tests.core.house import House, examples
from tests.lives import at
from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import Code, Name, Reason, Text

# A formula, the screen cleared, a bell, C1, an override, a line separator, a space of no width, a
# letter of the tags, DEL, markup, and a joiner between Latin letters.
HARM = "=\x1b[2J\x07\x9b\u202e\u2028\u200b\U000e0041\x7f<b>&a\u200db"

_numbers = count(1)


def hostile_book(command: Command, harm: str = HARM) -> Command:
    """One of each kind of fact, with all of its texts replaced."""
    house = House()
    for fact in examples(house):
        house.pen.write(fact, at("2025-07-02T10:00:00+02:00"))
    return written_down(command, [_spoilt(one, harm) for one in house.pen.entries])


def _spoilt(entry: Entry, harm: str) -> Entry:
    fact = _with_harm(entry.fact, harm)
    return replace(entry, fact=fact, subject=str(getattr(fact, "code", harm)))


def _with_harm(value, harm):
    """The same with every field that holds free text, whether it was said or not, spoilt."""
    hints = get_type_hints(type(value), include_extras=True)
    changed = {}
    for one in fields(value):
        hint, now = hints[one.name], getattr(value, one.name)
        if _is_of(hint, Code) and one.name == "code":
            changed[one.name] = f"{next(_numbers)}{harm}"
        elif any(_is_of(hint, kind) for kind in (Text, Reason, Name, Code)):
            is_many = "tuple" in str(hint)
            changed[one.name] = (harm,) if is_many else harm
        elif isinstance(now, Struct):
            changed[one.name] = _with_harm(now, harm)
        elif isinstance(now, tuple) and now and isinstance(now[0], Struct):
            changed[one.name] = tuple(_with_harm(each, harm) for each in now)
    return replace(value, **changed)


def _is_of(hint, kind) -> bool:
    return hint == kind or any(_is_of(each, kind) for each in get_args(hint))
