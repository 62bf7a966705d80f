"""What each fact about a lot does to it; what jars take from it they know themselves.

Each function changes the lot and returns None, or returns how the fact does not fit.
"""

from tracker.core.facts.amendments import Held, Released
from tracker.core.facts.entry import Entry, order_key
from tracker.core.facts.extracts import Counted, Discarded, Restored
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.replay.jar_changes import born
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.hold import Hold, graver
from tracker.core.shelf.lot import Lot, LotChange
from tracker.core.shelf.misfit import Misfit, MoreThanLot, NotDiscarded, NotOfSuch, NotOnHold


def opened(entry: Entry, fact: Gathered | BoughtHerb) -> Lot:
    """A lot of herb."""
    return Lot(
        id=entry.id,
        code=fact.code,
        on=entry.when,
        how="gathered" if isinstance(fact, Gathered) else "bought",
        amount=fact.herb_g,
        born=born(entry),
        herb=fact.herb,
        common=fact.common,
        part=fact.part,
        form=fact.form,
        water_pct_mass=fact.water_pct_mass,
        where=fact.where,
        their_lot=fact.their_lot if isinstance(fact, BoughtHerb) else None,
        paid=fact.paid,
        known=fact.known,
    )


def bought(entry: Entry, fact: Bought) -> Lot:
    """A lot of spirit or another liquid."""
    return Lot(
        id=entry.id,
        code=fact.code,
        on=entry.when,
        how="bought",
        amount=fact.volume_ml,
        born=born(entry),
        liquid=fact.liquid,
        ethanol_pct_vol=fact.ethanol_pct_vol,
        glycerin_pct_mass=fact.glycerin_pct_mass,
        name=fact.name,
        where=fact.where,
        their_lot=fact.their_lot,
        paid=fact.paid,
        known=fact.known,
    )


def dried(parent: Lot, entry: Entry, fact: Dried) -> Lot | Misfit:
    """The lot that drying made of some of a fresh one."""
    if parent.liquid is not None:
        return NotOfSuch(fact.kind, "liquid")
    parent.changes.append(LotChange(entry.id, "dried", fact.fresh_g, entry.when, order_key(entry)))
    return Lot(
        id=entry.id,
        code=fact.code,
        on=entry.when,
        how="dried",
        amount=fact.herb_g,
        born=born(entry),
        herb=parent.herb,
        common=parent.common,
        part=parent.part,
        form="dried",
        where=parent.where,
        their_lot=parent.their_lot,
        known=fact.known,
        parent=Flow(entry.id, "dried", entry.when, parent.id, g=fact.fresh_g),
        hold=parent.hold,
    )


def recalled(lot: Lot, entry: Entry, fact: Recalled) -> None:
    """It was called back; nothing more is charged from it."""
    lot.hold = Hold(entry.id, entry.when, fact.why, "recall")


def held(lot: Lot, entry: Entry, fact: Held) -> None:
    """Nothing is taken from it until it is released."""
    lot.hold = graver(lot.hold, Hold(entry.id, entry.when, fact.why, "word"))


def released(lot: Lot, fact: Released) -> Misfit | None:
    """It may be used again."""
    if not lot.on_hold:
        return NotOnHold()
    lot.hold = None
    return None


def discarded(lot: Lot, entry: Entry, fact: Discarded) -> Misfit | None:
    """All or part of it is gone."""
    said = fact.herb_g if lot.liquid is None else fact.volume_ml
    gone = lot.amount if said is None else said
    lot.changes.append(LotChange(entry.id, "discarded", gone, entry.when, order_key(entry)))
    if gone > lot.most + DROP_ML:
        return MoreThanLot(gone, lot.most, lot.unit)
    return None


def restored(lot: Lot, fact: Restored) -> Misfit | None:
    """What a discard took is back."""
    if fact.discard not in lot.discards:
        return NotDiscarded()
    lot.changes = [one for one in lot.changes if one.event != fact.discard]
    return None


def counted(lot: Lot, entry: Entry, fact: Counted) -> Misfit | None:
    """The count says what is left; what was used is known to jars, so the rest is reckoned."""
    there = fact.herb_g if lot.liquid is None else fact.volume_ml
    if there is None:
        return NotOfSuch(fact.kind, "herb" if lot.liquid is None else "liquid")
    lot.changes.append(LotChange(entry.id, "counted", there, entry.when, order_key(entry)))
    return None
