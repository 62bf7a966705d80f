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
    PressedAgain,
    Refilled,
    Restored,
    Settled,
)
from tracker.core.facts.fields import About
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
from tracker.core.facts.kinds import Recorded, Unknown, things_of
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.replay import (
    extract_changes,
    flow_changes,
    jar_changes,
    lot_changes,
    steep_changes,
    upkeep,
)
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.hold import Hold
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.misfit import DatedBefore, Misfit, NothingOpens, NotOfSuch, UnknownKind
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import When

Batches = dict[str, Batch]
Lots = dict[str, Lot]


def misdated(thing: Batch | Lot, entry: Entry) -> DatedBefore | None:
    """How an entry cannot have happened when it says: before there was the thing."""
    when = entry.when
    # Instants first: nearly every entry passes, and a day costs more to work out.
    is_early = when.start < thing.begun.start and when.latest < thing.begun.earliest
    # A guess at a found jar's charge makes nothing wrong.
    if is_early and not (isinstance(thing, Jar) and thing.opened == "found"):
        return DatedBefore(when, thing.opened, thing.begun)
    if isinstance(thing, Lot) or isinstance(entry.fact, Shaken | Joined):
        return None  # whole jars, and perhaps very many: none is looked for among the others
    parts = (entry.fact.about,) if isinstance(entry.fact, Recalled) else things_of(entry.fact)
    for about in parts:
        if about.jar == thing.id and about.extract is not None:
            return _before_part(thing, about, when)
    return None


def _before_part(batch: Batch, about: About, when: When) -> DatedBefore | None:
    """How something cannot have happened to an extract or bottle by then, instants first."""
    extract = batch.extract(about.extract or "")
    if extract is None:
        return None
    if when.start < extract.pressed.start and when.latest < extract.pressed.earliest:
        return DatedBefore(when, extract.opened, extract.pressed)
    bottle = extract.bottle(about.bottle) if about.bottle is not None else None
    if (
        bottle is not None
        and when.start < bottle.filled.start
        and when.latest < bottle.filled.earliest
    ):
        return DatedBefore(when, "filled", bottle.filled)
    return None


def step(  # noqa: C901 - an arm a kind
    batches: Batches, lots: Lots, entry: Entry, fact: Recorded
) -> Misfit | None:
    """Change the shelf as one fact says; how it does not fit, if it does not."""
    match fact:
        case Charged() | Found() | Split() | Joined():
            return _open_jars(batches, entry, fact)
        case Blended():
            return _open_blend(batches, entry, fact)
        case Gathered() | BoughtHerb() | Bought() | Dried():
            return _open_lot(lots, entry, fact)
        case Refilled():
            return flow_changes.refilled(batches, entry, fact)
        case Recalled():
            return _recalled(batches, lots, entry, fact)
        case Noted() | Labelled() | Away():
            return None
        case Shaken() | Corrected() | Struck() | SameAs():
            return None  # replayed, or settled, by the replay itself
        case Unknown():
            return UnknownKind(fact.kind)
        case _:
            batch = batches.get(fact.about.jar)
            if isinstance(batch, Blend):
                return _in_blend(batches, batch, entry, fact)
            if batch is not None:
                return _in_jar(batches, batch, entry, fact)
            lot = lots.get(fact.about.jar)
            if lot is not None:
                return _of_lot(lot, entry, fact)
            return NothingOpens(fact.kind, "jar")


def _open_jars(
    batches: Batches, entry: Entry, fact: Charged | Found | Split | Joined
) -> Misfit | None:
    misfit: Misfit | None = None
    match fact:
        case Charged():
            jar, misfit = jar_changes.charged(batches, entry, fact)
            opened: list[Jar] | Misfit = [jar]
        case Found():
            opened = [jar_changes.found(entry, fact)]
        case Split():
            opened = flow_changes.split(batches, entry, fact)
        case Joined():
            opened = flow_changes.joined(batches, entry, fact)
        case _:
            assert_never(fact)
    if not isinstance(opened, list):
        return opened
    batches.update((jar.id, jar) for jar in opened)
    return misfit


def _open_blend(batches: Batches, entry: Entry, fact: Blended) -> Misfit | None:
    opened, misfit = flow_changes.blended(batches, entry, fact)
    if not isinstance(opened, Blend):
        return opened
    batches[opened.id] = opened
    return misfit


def _open_lot(
    lots: Lots, entry: Entry, fact: Gathered | BoughtHerb | Bought | Dried
) -> Misfit | None:
    match fact:
        case Gathered() | BoughtHerb():
            lots[entry.id] = lot_changes.opened(entry, fact)
        case Bought():
            lots[entry.id] = lot_changes.bought(entry, fact)
        case Dried():
            parent = lots.get(fact.about.jar)
            if parent is None:
                return NothingOpens(fact.kind, "lot")
            made = lot_changes.dried(parent, entry, fact)
            if not isinstance(made, Lot):
                return made
            lots[entry.id] = made
    return None


def _recalled(batches: Batches, lots: Lots, entry: Entry, fact: Recalled) -> Misfit | None:
    """The lot, and what holds any of it, is on hold."""
    for jar_id in fact.jars:
        batch = batches.get(jar_id)
        if batch is not None:
            why = f"recalled with lot {fact.named or entry.subject}: {fact.why}"
            held = batch.liquid if isinstance(batch, Blend) else batch
            held.hold = Hold(entry.id, entry.when, why, "recall", fact.named)
    for lot_id in (fact.about.jar, *fact.jars):  # lots dried of it as well
        if lot_id in lots:
            lot_changes.recalled(lots[lot_id], entry, fact)
    return None


OfJar = (
    ToppedUp | HerbAdded | DrawnOff | LookedAt | Moved | Recharged | SteepedAgain | Pressed
    | PressedAgain | Filtered | Settled | MadeUp | Diluted | Bottled | Dispensed | Counted
    | Discarded | Restored | Held | Released | Later
)  # fmt: skip


def _in_jar(  # noqa: C901 - an arm a kind
    batches: Batches, jar: Jar, entry: Entry, fact: OfJar
) -> Misfit | None:
    match fact:
        case ToppedUp():
            return jar_changes.topped_up(batches, jar, entry, fact)
        case HerbAdded():
            return jar_changes.herb_added(jar, entry, fact)
        case Pressed():
            return steep_changes.pressed(jar, entry, fact)
        case PressedAgain():
            return steep_changes.pressed_again(jar, entry, fact)
        case DrawnOff():
            return steep_changes.drawn_off(jar, entry, fact)
        case Recharged():
            return steep_changes.recharged(jar, entry, fact)
        case SteepedAgain():
            return steep_changes.steeped_again(batches, jar, entry, fact)
        case Dispensed() if fact.about.extract is None:
            return jar_changes.given_out(jar, entry, fact)
        case Discarded() if fact.about.extract is None:
            return jar_changes.discarded(jar, entry)
        case Restored() if fact.about.extract is None:
            return jar_changes.restored(jar, fact)
        case _:
            return _in_any(batches, jar, entry, fact)


def _in_blend(batches: Batches, blend: Blend, entry: Entry, fact: OfJar) -> Misfit | None:
    match fact:
        case ToppedUp() | HerbAdded() | DrawnOff() | Recharged() | SteepedAgain():
            return NotOfSuch(fact.kind, "blend")
        case Pressed() | PressedAgain():
            return NotOfSuch(fact.kind, "blend")
        case _:
            return _in_any(batches, blend, entry, fact)


OfAny = (
    LookedAt | Moved | Held | Released | Later | Filtered | Settled | MadeUp | Diluted | Bottled
    | Dispensed | Counted | Discarded | Restored
)  # fmt: skip


def _in_any(batches: Batches, batch: Batch, entry: Entry, fact: OfAny) -> Misfit | None:
    match fact:
        case LookedAt():
            return upkeep.looked_at(batch, entry, fact)
        case Moved():
            return upkeep.moved(batch, fact)
        case Held():
            return upkeep.held(batch, entry, fact)
        case Released():
            return upkeep.released(batch, entry, fact)
        case Later():
            return upkeep.put_off(batch, fact)
        case _:
            return _in_extract(batches, batch, entry, fact)


OfExtract = (
    Filtered | Settled | MadeUp | Diluted | Bottled | Dispensed | Counted | Discarded | Restored
)


def _in_extract(batches: Batches, batch: Batch, entry: Entry, fact: OfExtract) -> Misfit | None:
    match fact:
        case Filtered():
            return extract_changes.filtered(batch, fact)
        case Settled():
            return extract_changes.settled(batch, fact)
        case MadeUp() | Diluted():
            return extract_changes.poured_in(batches, batch, entry, fact)
        case Bottled():
            return extract_changes.bottled(batch, entry, fact)
        case Dispensed():
            return extract_changes.dispensed(batch, entry, fact)
        case Counted():
            return extract_changes.counted(batch, entry, fact)
        case Discarded():
            return extract_changes.discarded(batch, entry.id, fact)
        case Restored():
            return extract_changes.restored(batch, entry.when, fact)
        case _:
            assert_never(fact)


def _of_lot(lot: Lot, entry: Entry, fact: OfJar) -> Misfit | None:
    match fact:
        case Held():
            lot_changes.held(lot, entry, fact)
            return None
        case Released():
            return lot_changes.released(lot, fact)
        case Discarded():
            return lot_changes.discarded(lot, entry, fact)
        case Counted():
            return lot_changes.counted(lot, entry, fact)
        case Restored():
            return lot_changes.restored(lot, fact)
        case _:
            return NotOfSuch(fact.kind, "lot")
