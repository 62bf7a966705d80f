"""Every kind of fact, and the entry that carries one: a line of the book. Never edited."""

from dataclasses import dataclass
from datetime import datetime

from tracker.core.facts.amendments import (
    Away,
    Corrected,
    Held,
    Labelled,
    Later,
    Noted,
    Released,
    SameAs,
    Struck,
)
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    Counted,
    Diluted,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Pressed,
    Refilled,
    Restored,
    Settled,
)
from tracker.core.facts.fields import About, EventId
from tracker.core.facts.jars import (
    Charged,
    DrawnOff,
    Found,
    HerbAdded,
    Joined,
    LookedAt,
    Moved,
    Recharged,
    Shaken,
    Split,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.values.times import When

# Stands for a jar where a fact belongs to none, such as a stay away.
WHOLE_SHELF = "the-house"

AnyFact = (
    Charged | Shaken | ToppedUp | HerbAdded | DrawnOff | LookedAt | Moved
    | Recharged | SteepedAgain | Split | Joined | Found
    | Pressed | Filtered | Settled | MadeUp | Diluted | Blended | Bottled | Refilled
    | Dispensed | Counted | Discarded | Restored
    | Gathered | Bought | BoughtHerb | Dried | Recalled
    | Held | Released | Labelled | Noted | Later | Away | Corrected | Struck | SameAs
)  # fmt: skip


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


# What opens a jar or lot that flows from others: they are told together.
LINKING = (Split, Joined, Blended, Refilled, Dried)
# What opens a jar or lot out of nothing: told before anything else.
STARTING = (Charged, Found, Gathered, Bought, BoughtHerb)
_NAMES_JARS = (Shaken, Corrected, Struck, SameAs)


def jars_of(event_id: str, fact: Recorded) -> tuple[str, ...]:
    """The ids of the jars and lots a fact belongs to: its own if it opens one."""
    if isinstance(fact, _NAMES_JARS):  # no union: built on each call
        return fact.jars
    if isinstance(fact, STARTING):
        return (event_id,)
    if isinstance(fact, Away):
        return (WHOLE_SHELF,)
    if isinstance(fact, Unknown):
        return fact.jars or (WHOLE_SHELF,)
    if isinstance(fact, (*LINKING, Recalled)):
        return _linked_jars(event_id, fact)
    return (fact.about.jar,)


def _linked_jars(event_id: str, fact: Recorded) -> tuple[str, ...]:
    match fact:
        case Split():
            return (fact.about.jar, *children(event_id, fact))
        case Joined():
            return (event_id, *fact.parts)
        case Blended():
            return (event_id, *dict.fromkeys(part.about.jar for part in fact.parts))
        case Refilled():
            return tuple(dict.fromkeys((fact.about.jar, fact.source.about.jar)))
        case Dried():
            return (fact.about.jar, event_id)
        case Recalled():
            return (fact.about.jar, *fact.jars)
    raise AssertionError(fact)


def children(event_id: str, fact: Split) -> tuple[str, ...]:
    """The ids of the jars a split opens."""
    return tuple(f"{event_id}.{place}" for place in range(1, len(fact.into) + 1))


def opener_of(jar_id: str) -> str:
    """The id of the event that opens a jar: of a split it is shared by all its jars."""
    return jar_id.partition(".")[0]


def codes_of(fact: Recorded) -> tuple[str, ...]:
    """The codes a fact gives to the jars, the blend or the lot that it opens."""
    if isinstance(fact, Split):
        return tuple(part.code for part in fact.into)
    return (fact.code,) if isinstance(fact, (*STARTING, Joined, Blended, Dried)) else ()


def lots_used(fact: Recorded) -> tuple[str, ...]:
    """The ids of the lots that a fact takes from."""
    taken = [pour.lot for pour in getattr(fact, "pours", ())]
    taken.append(getattr(fact, "herb_lot", None))
    return tuple(lot for lot in taken if lot is not None)


def things_of(fact: Recorded) -> tuple[About, ...]:
    """Every jar, extract, bottle or lot that a fact takes from or works on."""
    if isinstance(fact, Joined):
        return tuple(About(jar=jar) for jar in fact.parts)
    if isinstance(fact, Blended):
        return tuple(part.about for part in fact.parts)
    if isinstance(fact, Refilled):
        return (fact.about, fact.source.about)
    about = getattr(fact, "about", None)
    return () if about is None else (about,)


def replay_order(entry: Entry) -> tuple[datetime, datetime, str, int]:
    """The place of an entry in the history: happened, recorded, source, sequence."""
    return (entry.when.start, entry.recorded, entry.source, entry.sequence)
