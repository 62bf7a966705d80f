"""Every kind of fact, and the entry that carries one: a line of the book. Never edited."""

from dataclasses import dataclass
from datetime import datetime

from tracker.core.facts.amends import (
    Away,
    Corrected,
    Labelled,
    Later,
    Noted,
    SameAs,
    Struck,
)
from tracker.core.facts.fields import EventId
from tracker.core.facts.jars import Charged, LookedAt, Moved, Shaken, ToppedUp
from tracker.core.facts.liquors import (
    Bottled,
    Counted,
    Discarded,
    Dispensed,
    Filtered,
    Pressed,
    Restored,
)
from tracker.core.shelf import HOUSE
from tracker.core.times import When

AnyFact = (
    Charged
    | Shaken
    | ToppedUp
    | LookedAt
    | Moved
    | Pressed
    | Filtered
    | Bottled
    | Dispensed
    | Counted
    | Discarded
    | Restored
    | Noted
    | Labelled
    | Later
    | Away
    | Corrected
    | Struck
    | SameAs
)


@dataclass(frozen=True, kw_only=True)
class Unknown:
    """A fact of a kind, or a version of one, that a later program wrote: kept, never guessed.

    It belongs to the jars it names, and never goes into the book from here.
    """

    kind: str
    v: int = 1
    jars: tuple[EventId, ...] = ()
    by: str | None = None
    note: str | None = None


Recorded = AnyFact | Unknown


@dataclass(slots=True)
class Entry:
    """One line of the book: a fact, when it happened, and who wrote it down when.

    Treated as frozen; it is not declared so because one is built per line on every rebuild.
    """

    id: str
    source: str
    sequence: int
    subject: str
    when: When
    recorded: datetime
    fact: Recorded

    @property
    def kind(self) -> str:
        """The event kind, as it stands on the line."""
        return self.fact.kind

    @property
    def jars(self) -> tuple[str, ...]:
        """The charges of every jar whose history this entry belongs to."""
        return jars_of(self.id, self.fact)


def jars_of(event_id: str, fact: Recorded) -> tuple[str, ...]:
    """The ids of the jars a fact belongs to: its own if it is a charge."""
    if isinstance(fact, (Shaken, Corrected, Struck, SameAs)):  # no union: built on each call
        return fact.jars
    if isinstance(fact, Away):
        return (HOUSE,)
    if isinstance(fact, Unknown):
        return fact.jars or (HOUSE,)
    return (event_id,) if isinstance(fact, Charged) else (fact.about.jar,)


def replay_order(entry: Entry) -> tuple[datetime, datetime, str, int]:
    """The place of an entry in the history: happened, recorded, source, sequence."""
    return (entry.when.start, entry.recorded, entry.source, entry.sequence)
