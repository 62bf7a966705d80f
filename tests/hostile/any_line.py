"""Lines another writer could send: any kind, any field, any value that the reader lets pass.

They never met the gate. Each field is filled by its type, mostly at the ends of what it may be,
and what a line refers to may be there, be of another sort, be nowhere, or be the line itself.
"""

import types
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta, timezone
from functools import cache
from random import Random
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

import msgspec
from msgspec import NODEFAULT, Struct
from msgspec.structs import fields

from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import (
    About,
    Code,
    EventId,
    IsoPeriod,
    Letter,
    Money,
    Name,
    Reason,
    Text,
)
from tracker.core.facts.kinds import KINDS, Recorded, codes_of, jars_of, traits_of
from tracker.core.facts.ties import WHOLE_SHELF
from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.values.times import When

Other = dict[str, Any]

# One character of each sort that has ever made a program stumble, plain letters beside them.
CHARACTERS = (
    *"aZ09 -/.,;:'\"\\<>&%{}[]()=+@#*_|`~^$!?",
    *"\x00\x01\x07\x08\t\n\x0b\x0c\r\x1b\x7f\x80\x85\x9b\xa0\xad",
    *"äßİıǆﬁ\u0301\u0345\u200b\u200d\u200e\u202e\u2028\u2029\u2066\ufeff\ufffe\uffff",
    *"АΑ漢字ع\u0b95\u0bcdक्ष🌿👩‍👩‍👧\U000e0041\U0010ffff\u3164\u2800\ue000²½Ⅷ٣𝟜",
)
# What one tool or another reads as more than text.
TEXTS = (
    "=1+1", "@SUM(A1)", "<script>alert(1)</script>", "]]>", "{{ 7*7 }}", "BEGIN:VEVENT", "%s%n",
    "../../etc/passwd", "CON", "\x1b[2J", "\u202egnp", "a\nb", "--to", "-", "null", "NaN",
    "a" * 2000, "\U0001f33f" * 600, "e\u0301" * 90, "none", "0", "1e999", "mailto:x", "https://x.invalid/?a=b&c",
)  # fmt: skip
HERBS = (
    "Calendula officinalis", "calendula  OFFICINALIS", "Calendula officinalis L.", "Calendula",
    "Melissa officinalis", "Symphytum officinale", "Atropa belladonna", "x", "Rumex × alpinus",
)  # fmt: skip
CODES = (
    "CAOF-25-01", "caof-25-01", "CAOF-25-01A", "CAOF-25-01A/1", "CAOF-25-01b", "MEOF-25-01",
    "LOT-25-01", "BLEND-25-01", "C\u0410OF-25-01", "A" * 40, "/", "X", "1", "214", "h214", "CAOF",
    "CAOF-25-01 MEOF-25-01", "CAOF-25-999999999999999999", "none", "ZZZ", "-", "--json", "../x",
)  # fmt: skip
PERIODS = (
    "P28D", "P1D", "P0D", "P36525D", "P1200M", "P3M", "P2Y", "P1Y2M3W4D", "P6W", "P0M",
    "P99999999D", "P9999999999999999999Y", "P1D1D",
)  # fmt: skip
MONEY = ("0", "0.01", "9.90", "999999999.999999", "0.000001", "000000000", "123456789")
NUMBERS = (1.0, 0.5, 100.0, 370.0, 1e-9, 5e-324, 1e-300, 1e6, 999999.999, 0.1, 1 / 3)
PERCENT = (0.0, 45.0, 96.0, 100.0, 99.999999, 1e-9, 5e-324, 20.0)
DAYS = (
    date(1900, 1, 1), date(2199, 12, 31), date(2024, 2, 29), date(2025, 3, 3), date(2025, 4, 7),
    date(1970, 1, 1), date(2100, 2, 28), date(2026, 1, 1), date(1899, 12, 31), date(2200, 1, 1),
)  # fmt: skip
# Whatever the calendar of the language holds can stand on a line.
ENDS_OF_TIME = (date(1, 1, 1), date(9999, 12, 31), date(9999, 1, 1))
OFFSETS = (0, 60, -60, 23 * 60 + 59, -23 * 60 - 59, 345, 1)
PRECISIONS = ("time", "day", "month", "season", "year", "unknown")


class Sender:
    """Somebody who sends lines that were never held to a gate.

    Args:
        chance: where every choice comes from; the plainest is never far.
        known: what the book holds already.
        ends_of_time: whether days may be years outside those of a person's dates.
    """

    def __init__(
        self, chance: Random, known: Iterable[Entry], *, ends_of_time: bool = False
    ) -> None:
        self.chance = chance
        self.days = (*DAYS, *ENDS_OF_TIME) if ends_of_time else DAYS
        self.ids: list[str] = ["nobody-knows-this", WHOLE_SHELF]
        self.entries: list[Entry] = []
        self.abouts: list[Other] = []
        self.codes = list(CODES)
        self.event = ""  # the one that is being made
        for entry in known:
            self._know(entry)

    def _know(self, entry: Entry) -> None:
        self.entries.append(entry)
        self.ids += dict.fromkeys((entry.id, *jars_of(entry.id, entry.fact)))
        self.codes += codes_of(entry.fact)
        opens = traits_of(entry.fact).opens
        about = getattr(entry.fact, "about", None)
        if opens == "extract" and about is not None:
            self.abouts.append({"jar": about.jar, "extract": entry.id})
        elif opens in ("jar", "blend", "lot"):
            self.abouts += ({"jar": one} for one in jars_of(entry.id, entry.fact))
            if opens == "blend":
                self.abouts.append({"jar": entry.id, "extract": entry.id})

    def line(self, number: int, writer: str) -> Entry:
        """One line, the number-th of a writer's."""
        chance = self.chance
        self.event = f"{writer}-{number:08d}"
        if chance.random() < 0.03 and self.entries:
            self.event = chance.choice(self.entries).id  # an id that is given already
        kind = chance.choice(list(KINDS))
        if chance.random() < 0.15:
            kind = chance.choice(("corrected", "struck", "same_as"))
        entry = Entry(
            self.event,
            writer,
            number,
            chance.choice(self.codes),
            self._when(),
            self._instant(UTC),
            self._fact(kind),
        )
        self._know(entry)
        return entry

    def _fact(self, kind: str) -> Recorded:
        fact: Recorded = msgspec.convert(self._shape(KINDS[kind]), KINDS[kind])
        return fact

    def _shape(self, shape: type) -> Other:
        """The fields of a class: those that need not be said are left out half of the time."""
        said: Other = {}
        for name, hint, needed in _fields(shape):
            if name in ("kind", "v") or (not needed and self.chance.random() < 0.5):
                continue
            said[name] = self._named(name, hint)
        return said

    def _named(self, name: str, hint: Any) -> Any:
        chance = self.chance
        if name == "set":
            return self._values()
        if name == "herb" and chance.random() < 0.7:
            return chance.choice(HERBS)
        if name == "event" and self.entries and chance.random() < 0.8:
            amended = [one for one in self.entries[-8:] if one.kind in ("corrected", "struck")]
            return chance.choice(amended or self.entries).id
        return self._value(hint)

    def _values(self) -> Other:
        """What a correction sets: fields of any kind, of the line, or of none."""
        said: Other = {}
        for _ in range(self.chance.randrange(1, 4)):
            shape = KINDS[self.chance.choice(list(KINDS))]
            name, hint, _needed = self.chance.choice(list(_fields(shape)))
            said[name] = None if self.chance.random() < 0.1 else self._named(name, hint)
        if self.chance.random() < 0.3:
            said["time"] = self._when().start.isoformat()
        if self.chance.random() < 0.3:
            said["precision"] = self.chance.choice(PRECISIONS)
        if self.chance.random() < 0.2:
            said["subject"] = self._text(60)
        return said

    def _value(self, hint: Any) -> Any:
        chance = self.chance
        known = {
            EventId: self._id,
            Code: lambda: chance.choice(self.codes) if chance.random() < 0.8 else self._text(40),
            Name: lambda: self._text(200),
            Reason: lambda: self._text(2000),
            Text: lambda: self._text(2000),
            Letter: lambda: chance.choice(("A", "B", "C", "ZZZ", "AA")),
            IsoPeriod: lambda: chance.choice(PERIODS),
            Money: lambda: chance.choice(MONEY),
            date: lambda: chance.choice(self.days).isoformat(),
            About: self._about,
            ShakePhase: self._phase,
            str: lambda: self._text(200),
            bool: lambda: chance.random() < 0.5,
            int: lambda: chance.randrange(1, 100),
        }
        if hint in known:
            return known[hint]()
        return self._made(hint)

    def _made(self, hint: Any) -> Any:
        """A value of a type that is made of others."""
        chance, origin, parts = self.chance, get_origin(hint), get_args(hint)
        if isinstance(hint, type) and issubclass(hint, Struct):
            return self._shape(hint)
        if origin is Literal:
            return chance.choice(list(_choices(hint)))
        if origin in (Union, types.UnionType):
            return self._value(chance.choice([one for one in parts if one is not types.NoneType]))
        if origin is tuple:
            many = chance.choice((1, 2, 2, 3, 12)) if chance.random() < 0.9 else 2
            return [self._value(parts[0]) for _ in range(many + 1)]
        assert origin is Annotated, hint
        return self._limited(parts[0], parts[1:])

    def _limited(self, kind: Any, limits: tuple[Any, ...]) -> Any:
        chance = self.chance
        if get_origin(kind) is tuple:
            return self._value(kind)
        most = next((one.le for one in limits if getattr(one, "le", None) is not None), None)
        if kind is int:
            return chance.choice((1, 2, 3, 99, int(most or 1)))
        if most == 1:
            return chance.choice((0.5, 0.25, 1.0, 1e-9, 5e-324, 1 / 3, 0.99))
        if most == 100:
            return chance.choice(PERCENT)
        least = [one.ge for one in limits if getattr(one, "ge", None) is not None]
        return chance.choice((0.0, *NUMBERS) if least else NUMBERS)

    def _id(self) -> str:
        chance = self.chance.random()
        if chance < 0.06:
            return self.event  # of itself
        if chance < 0.1:
            return f"{self.event}.{self.chance.randrange(3)}"
        return self.chance.choice(self.ids[-12:] if chance < 0.6 else self.ids)

    def _about(self) -> Other:
        chance = self.chance
        if self.abouts and chance.random() < 0.75:
            found = dict(chance.choice(self.abouts))
        else:
            found = {"jar": self._id()}
            if chance.random() < 0.5:
                found["extract"] = self._id()
        if "extract" in found and chance.random() < 0.4:
            found["bottle"] = chance.choice((1, 2, 3, 4, 5, 1_000_000))
        return found

    def _phase(self) -> Other:
        chance = self.chance
        return {
            "every_days": chance.choice((1, 3, 10**6, 10**12)),
            "through_day": chance.choice((None, 1, 14, 10**12)),
            "until_ready": chance.random() < 0.5,
        }

    def _text(self, most: int) -> str:
        chance = self.chance
        if chance.random() < 0.4:
            return chance.choice(TEXTS)[:most]
        length = chance.choice((1, 2, 8, 30, most))
        return "".join(chance.choice(CHARACTERS) for _ in range(length))

    def _when(self) -> When:
        zone = timezone(timedelta(minutes=self.chance.choice(OFFSETS)))
        return When(self._instant(zone), self.chance.choice(PRECISIONS))  # type: ignore[arg-type]

    def _instant(self, zone: timezone) -> datetime:
        chance = self.chance
        if chance.random() < 0.5:
            day = date(2025, 3, 3) + timedelta(days=chance.randrange(300))
        else:
            day = chance.choice(self.days)
        at = chance.choice(((0, 0), (23, 59), (12, 0)))
        return datetime(day.year, day.month, day.day, *at, tzinfo=zone)


@cache
def _fields(shape: type) -> tuple[tuple[str, Any, bool], ...]:
    """The fields of a class with their types, and whether each has to be said."""
    hints = get_type_hints(shape, include_extras=True)
    return tuple(
        (one.name, hints[one.name], one.default is NODEFAULT and one.default_factory is NODEFAULT)
        for one in fields(shape)
    )


@cache
def _choices(hint: Any) -> tuple[Any, ...]:
    """What a Literal allows, those that are Literals themselves taken apart."""
    return tuple(
        inner
        for one in get_args(hint)
        for inner in (_choices(one) if get_origin(one) is Literal else (one,))
    )


def sent(
    chance: Random, known: Iterable[Entry], many: int, writer: str, *, ends_of_time: bool = False
) -> list[Entry]:
    """So many lines of one writer who knows the book."""
    sender = Sender(chance, known, ends_of_time=ends_of_time)
    return [sender.line(number, writer) for number in range(1, many + 1)]
