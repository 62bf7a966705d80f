"""Every event about a thing as outputs read it, with what amends it."""

from collections.abc import Mapping, Sequence
from datetime import tzinfo

import msgspec

from tracker.core.facts.amendments import Corrected, Struck
from tracker.core.facts.entry import Entry
from tracker.core.replay.in_force import amendments
from tracker.core.values.times import Hemisphere


class Telling(msgspec.Struct, frozen=True):
    """How a history is told.

    Attributes:
        zone: the maker's.
        names: what each of the entries is called, by its id.
        late: by the ids of those that used something past its date, by how many days.
        is_folded: whether shakes and labels that follow each other are one line.
        hemisphere: the half of the earth that seasons are of.
    """

    zone: tzinfo
    names: Mapping[str, str]
    late: Mapping[str, int] = {}
    is_folded: bool = True
    hemisphere: Hemisphere | None = None


class EventView(msgspec.Struct, frozen=True):
    """One event of a history.

    Attributes:
        number: what it is called: `214`, or `h214`.
        amending: strikes, corrections and the like of it that are in force.
        days_late: by how many days what it used was past its date.
    """

    entry: Entry
    number: str
    amending: tuple[Entry, ...]
    days_late: int = 0

    @property
    def struck_by(self) -> tuple[str, ...]:
        """The ids of what strikes it."""
        return tuple(one.id for one in self.amending if isinstance(one.fact, Struck))

    @property
    def corrected_by(self) -> tuple[str, ...]:
        """The ids of what corrects it."""
        return tuple(one.id for one in self.amending if isinstance(one.fact, Corrected))

    @property
    def by(self) -> str | None:
        """The person who did it, as far as one was named; a machine is none."""
        return self.entry.fact.by


def events_of(
    entries: Sequence[Entry], names: Mapping[str, str], late: Mapping[str, int]
) -> list[EventView]:
    """Every event, in the order given.

    Args:
        entries: the lines.
        names: what each is called, by its id.
        late: by the ids of those that used something past its date, by how many days.
    """
    amended = amendments(entries)
    return [
        EventView(one, names[one.id], tuple(amended.get(one.id, ())), late.get(one.id, 0))
        for one in entries
    ]
