"""What an event puts into a vessel: herbs and pours, what they cost and where they are from."""

from collections.abc import Iterator

from tracker.core.facts.entry import Entry, order_key
from tracker.core.facts.fields import HerbFact, Pour
from tracker.core.shelf.contents import Herb, Poured, Use
from tracker.core.shelf.flow import Flow


def herb_of(entry: Entry, fact: HerbFact) -> Herb:
    """The herb one event put in."""
    return Herb(
        entry.id,
        fact.herb,
        fact.form,
        fact.herb_g,
        fact.part,
        fact.herb_known,
        fact.herb_water_pct_mass,
    )


def poured(entry: Entry, pours: tuple[Pour, ...]) -> tuple[Poured, ...]:
    """The pours of one event as they stand in a vessel."""
    return tuple(_poured(entry, one, place) for place, one in enumerate(pours, 1))


def _poured(entry: Entry, one: Pour, place: int) -> Poured:
    """An extract that the book does not have stands as a liquid nobody knows the make-up of."""
    is_extract = one.liquid == "extract"
    return Poured(
        entry.when,
        "other" if is_extract else one.liquid,
        one.volume_ml,
        None if is_extract else one.ethanol_pct_vol,
        name=one.name,
        known="unknown" if is_extract else one.known,
        event=entry.id,
        place=place,
        glycerin_pct_mass=one.glycerin_pct_mass,
    )


def uses_of(entry: Entry, herb: HerbFact | None, pours: tuple[Pour, ...]) -> Iterator[Use]:
    """What an event took from a lot or paid for: herb at place 0, pours from 1."""
    if herb is not None and (herb.herb_lot or herb.herb_paid):
        order = order_key(entry) if herb.herb_lot else ""
        yield Use(entry.id, 0, entry.when, herb.herb_g, herb.herb_lot, herb.herb_paid, order=order)
    for place, one in enumerate(pours, 1):
        if (one.lot or one.paid) and one.of is None:
            order = order_key(entry) if one.lot else ""
            yield Use(entry.id, place, entry.when, one.volume_ml, one.lot, one.paid, order=order)


def flows_in(entry: Entry, uses: tuple[Use, ...]) -> Iterator[Flow]:
    """Where what an event used came from, as far as it came from lots."""
    how = entry.kind.replace("_", " ")
    for use in uses:
        if use.lot is not None:
            ml, g = (use.amount, None) if use.place else (None, use.amount)
            yield Flow(use.event, how, use.on, use.lot, ml=ml, g=g)
