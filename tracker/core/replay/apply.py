"""What one fact does to the shelf: the one place that knows every kind."""

from typing import assert_never

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
from tracker.core.facts.entry import Entry
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
from tracker.core.facts.kinds import Recorded, Unknown, things_of, traits_of
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.replay import (
    extract_changes,
    flow_changes,
    jar_changes,
    lot_changes,
    steep_changes,
)
from tracker.core.shelf.hold import Hold
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot

Jars = dict[str, Jar]
Lots = dict[str, Lot]


def misdated(thing: Jar | Lot, entry: Entry) -> str | None:
    """Why an entry cannot have happened when it says: before there was anything."""
    if isinstance(thing, Lot):
        return None
    # Instants first: nearly every entry passes, and a day costs more to work out.
    if entry.when.start < thing.charged.start and entry.when.latest < thing.charged.earliest:
        return f"dated {entry.when}, before the charge on {thing.charged}"
    fact = entry.fact
    if traits_of(fact).contents is not None:
        for about in things_of(fact):
            extract = thing.extract(about.extract) if about.extract else None
            if extract is not None and entry.when.latest < extract.pressed.earliest:
                return f"dated {entry.when}, before the pressing on {extract.pressed}"
    return None


def step(jars: Jars, lots: Lots, entry: Entry, fact: Recorded) -> str | None:
    """Change the shelf as one fact says; the reason if it does not fit."""
    match fact:
        case Charged() | Found() | Split() | Joined() | Blended():
            return _open_jars(jars, entry, fact)
        case Gathered() | BoughtHerb() | Bought() | Dried():
            return _open_lot(lots, entry, fact)
        case Refilled():
            return flow_changes.refilled(jars, entry, fact)
        case Recalled():
            return _recalled(jars, lots, entry, fact)
        case Noted() | Labelled() | Away():
            return None
        case Shaken() | Corrected() | Struck() | SameAs():
            return None  # told, or settled, by the replay itself
        case Unknown():
            kind = fact.kind.replace("_", " ")
            return f"{kind}: a kind or version this program does not know; a newer one may"
        case _:
            jar = jars.get(fact.about.jar)
            if jar is not None:
                return _in_jar(jar, entry, fact)
            lot = lots.get(fact.about.jar)
            if lot is not None:
                return _of_lot(lot, entry, fact)
            return f"{entry.kind.replace('_', ' ')}, but no charge in force opens the jar"


def _open_jars(
    jars: Jars, entry: Entry, fact: Charged | Found | Split | Joined | Blended
) -> str | None:
    why: str | None = None
    match fact:
        case Charged():
            opened: list[Jar] | str = [jar_changes.charged(entry, fact)]
        case Found():
            opened = [jar_changes.found(entry, fact)]
        case Split():
            opened = flow_changes.split(jars, entry, fact)
        case Joined():
            opened = flow_changes.joined(jars, entry, fact)
        case _:
            opened, why = flow_changes.blended(jars, entry, fact)
    if isinstance(opened, str):
        return opened
    jars.update((jar.id, jar) for jar in opened)
    return why


def _open_lot(lots: Lots, entry: Entry, fact: Gathered | BoughtHerb | Bought | Dried) -> str | None:
    match fact:
        case Gathered() | BoughtHerb():
            lots[entry.id] = lot_changes.opened(entry, fact)
        case Bought():
            lots[entry.id] = lot_changes.bought(entry, fact)
        case Dried():
            parent = lots.get(fact.about.jar)
            if parent is None:
                return "dried, but nothing in force opens the lot"
            made = lot_changes.dried(parent, entry, fact)
            if isinstance(made, str):
                return made
            lots[entry.id] = made
    return None


def _recalled(jars: Jars, lots: Lots, entry: Entry, fact: Recalled) -> str | None:
    """The lot, and what holds any of it, is on hold."""
    for jar_id in fact.jars:
        if jar_id in jars:
            why = f"recalled with lot {entry.subject}: {fact.why}"
            jars[jar_id].hold = Hold(entry.id, entry.when, why)
    for lot_id in (fact.about.jar, *fact.jars):  # lots dried of it as well
        if lot_id in lots:
            lot_changes.recalled(lots[lot_id], entry, fact)
    return None


OfJar = (
    ToppedUp | HerbAdded | DrawnOff | LookedAt | Moved | Recharged | SteepedAgain | Pressed
    | Filtered | Settled | MadeUp | Diluted | Bottled | Dispensed | Counted | Discarded
    | Restored | Held | Released | Later
)  # fmt: skip


def _in_jar(jar: Jar, entry: Entry, fact: OfJar) -> str | None:  # noqa: C901 - an arm a kind
    match fact:
        case ToppedUp():
            return jar_changes.topped_up(jar, entry, fact)
        case HerbAdded():
            return jar_changes.herb_added(jar, entry, fact)
        case LookedAt():
            return jar_changes.looked_at(jar, entry.when, fact)
        case Moved():
            return jar_changes.moved(jar, fact)
        case Held():
            return jar_changes.held(jar, entry, fact)
        case Released():
            return jar_changes.released(jar, entry, fact)
        case Later():
            return jar_changes.put_off(jar, fact)
        case Pressed():
            return steep_changes.pressed(jar, entry, fact)
        case DrawnOff():
            return steep_changes.drawn_off(jar, entry, fact)
        case Recharged():
            return steep_changes.recharged(jar, entry, fact)
        case SteepedAgain():
            return steep_changes.steeped_again(jar, entry, fact)
        case Discarded() if fact.about.extract is None:
            return jar_changes.discarded(jar, entry)
        case Restored() if fact.about.extract is None:
            return jar_changes.restored(jar, fact)
        case _:
            return _in_extract(jar, entry, fact)


OfExtract = (
    Filtered | Settled | MadeUp | Diluted | Bottled | Dispensed | Counted | Discarded | Restored
)


def _in_extract(jar: Jar, entry: Entry, fact: OfExtract) -> str | None:
    match fact:
        case Filtered():
            return extract_changes.filtered(jar, fact)
        case Settled():
            return extract_changes.settled(jar, fact)
        case MadeUp() | Diluted():
            return extract_changes.poured_in(jar, entry, fact)
        case Bottled():
            return extract_changes.bottled(jar, entry.when, fact)
        case Dispensed():
            return extract_changes.dispensed(jar, entry, fact)
        case Counted():
            return extract_changes.counted(jar, entry.when, fact)
        case Discarded():
            return extract_changes.discarded(jar, entry.id, fact)
        case Restored():
            return extract_changes.restored(jar, fact)
        case _:
            assert_never(fact)


def _of_lot(lot: Lot, entry: Entry, fact: OfJar) -> str | None:
    match fact:
        case Held():
            lot_changes.held(lot, entry, fact)
            return None
        case Released():
            return lot_changes.released(lot, fact)
        case Discarded():
            return lot_changes.discarded(lot, entry, fact)
        case Restored():
            return lot_changes.restored(lot, fact)
        case _:
            return f"{entry.kind.replace('_', ' ')}, but that is a lot"
