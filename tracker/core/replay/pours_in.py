"""What one event puts into a vessel: herb, liquids as they were bought, and shares of extracts.

What is poured out of an extract or a bottle brings its part of all that is in it: herbs, pours
and cost. What that takes is taken here.
"""

from collections.abc import Iterable, Mapping
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import HerbFact, Pour
from tracker.core.replay.days_that_count import days_in_strong, is_past, is_weak
from tracker.core.replay.intake import flows_in, herb_of, poured, uses_of
from tracker.core.replay.taken import flow_out_of, take
from tracker.core.shelf.contents import Contents, Herb, Use, portion, together
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.hold import Hold, gravest
from tracker.core.shelf.misfit import Misfit, NothingOpens
from tracker.core.shelf.part import thing_in
from tracker.core.shelf.spell import Spell
from tracker.core.shelf.thing import Batch, Thing

Batches = Mapping[str, Batch]


class PutIn(msgspec.Struct, frozen=True):
    """What goes into a vessel at once.

    Args:
        contents: herbs, pours, volume and cost.
        herbs: those that were put in themselves, not with an extract.
        uses: what it took of lots or was paid for.
        flows: the lots, extracts and bottles it came out of.
        hold: the gravest hold on any extract or bottle of these.
        good_through: the earliest last day of the extracts; None where there is none.
        in_strong: the same of those that count where the whole is strong.
        past: the same of those whose last day was over already.
        spells: how long any of the extracts stood too weak to keep.
        is_undated: whether the last day of one of the extracts is not known.
        misfit: how it does not fit, if it does not.
    """

    contents: Contents
    herbs: tuple[Herb, ...]
    uses: tuple[Use, ...]
    flows: tuple[Flow, ...]
    hold: Hold | None = None
    good_through: date | None = None
    in_strong: date | None = None
    past: date | None = None
    spells: tuple[Spell, ...] = ()
    is_undated: bool = False
    misfit: Misfit | None = None

    def day_in(self, whole: Contents) -> date | None:
        """The last good day they allow what they went into; None where they set none."""
        return self.good_through if is_weak(whole) else self.in_strong


def put_in(batches: Batches, entry: Entry, herb: HerbFact | None, pours: tuple[Pour, ...]) -> PutIn:
    """Herb and pours together; what is poured out of extracts and bottles is taken there."""
    uses = tuple(uses_of(entry, herb, pours))
    herbs = () if herb is None else (herb_of(entry, herb),)
    own, flows = poured(entry, pours), tuple(flows_in(entry, uses))
    if all(one.of is None for one in pours):
        return PutIn(Contents(herbs, own, costs=uses), herbs, uses, flows)
    inside, taken, is_whole = [Contents(herbs, costs=uses)], [], True
    for pour, plain in zip(pours, own, strict=True):
        source = _source(batches, pour)
        if source is not None:
            taken.append((source, pour.volume_ml))
            inside.append(portion(source.made, pour.volume_ml))
        else:
            inside.append(Contents(pours=(plain,)))
            is_whole = is_whole and pour.of is None
    missing = None if is_whole else NothingOpens(entry.kind, "source")
    days = [day for one, _ in taken if (day := one.good_through) is not None]
    in_strong = [day for one, _ in taken for day in days_in_strong(one, entry.when)]
    strong = [day for day in in_strong if day is not None]
    return PutIn(
        together(inside),
        herbs,
        uses,
        (*flows, *_flows(entry, taken)),
        hold=gravest(one.hold for one, _ in taken),
        good_through=min(days, default=None),
        in_strong=min(strong, default=None),
        past=min((day for day in days if is_past(day, entry.when)), default=None),
        spells=tuple(spell for one, _ in taken for spell in one.made.spells),
        is_undated=len(days) < len(taken),
        misfit=_taken(entry, taken, missing),
    )


def _source(batches: Batches, pour: Pour) -> Thing | None:
    thing = thing_in(batches, pour.of) if pour.of is not None else None
    return None if thing is None or thing.extract is None else thing


def _flows(entry: Entry, taken: Iterable[tuple[Thing, float]]) -> Iterable[Flow]:
    how = entry.kind.replace("_", " ")
    return (flow_out_of(one, entry, how, ml) for one, ml in taken)


def _taken(
    entry: Entry, taken: Iterable[tuple[Thing, float]], missing: Misfit | None
) -> Misfit | None:
    misfits = [missing, *[take(one, ml, entry) for one, ml in taken]]
    return next((one for one in misfits if one is not None), None)
