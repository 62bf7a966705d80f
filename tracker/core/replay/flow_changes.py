"""How one thing flows into another: jars split and joined, extracts blended, bottles refilled.

Shares of herb, strength and cost travel in proportion; what is good through a day is so in
whatever it goes into. Each function changes what it is given and returns None, or returns
why the fact does not fit.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Blended, Refilled
from tracker.core.facts.jars import Joined, Split
from tracker.core.facts.ties import children
from tracker.core.practice.practice import preparation
from tracker.core.reckoning.amounts import earliest_press, longest_day
from tracker.core.reckoning.signs import spoiling
from tracker.core.replay.extract_changes import keep_given, take_bulk, take_from_bottle
from tracker.core.replay.jar_changes import born, take_share
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import DROP_ML, portion, share, together
from tracker.core.shelf.end import JoinedEnd, SplitEnd
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.hold import Look, gravest
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.misfit import (
    AfterEnd,
    FromItself,
    Misfit,
    MoreThanWhole,
    NeverFilled,
    NothingOpens,
    OverFull,
)
from tracker.core.shelf.part import thing_in
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.times import Period

Batches = Mapping[str, Batch]

# Shares that add up to one but for rounding leave nothing in the old jar.
_WHOLE = 1 - 1e-9


def split(batches: Batches, entry: Entry, fact: Split) -> list[Jar] | Misfit:
    """The jars it was shared out into, or how that does not fit."""
    jar = batches.get(fact.about.jar)
    if not isinstance(jar, Jar):
        return NothingOpens(fact.kind, "jar")
    if jar.end is not None:
        return AfterEnd(fact.kind, entry.when, jar.end)
    shared = sum(part.share for part in fact.into)
    if shared > 2 - _WHOLE:
        return MoreThanWhole(shared)
    opened = [
        _child(jar, entry, jar_id, part.code, part.share, part.jar_ml)
        for jar_id, part in zip(children(entry.id, fact), fact.into, strict=True)
    ]
    if shared > _WHOLE:
        jar.end = SplitEnd(entry.when, entry.id)
        jar.costs = ()
    else:
        take_share(jar, 1 - shared)
        jar.marc_g = None if jar.marc_g is None else jar.marc_g * (1 - shared)
    return opened


def _child(
    jar: Jar, entry: Entry, jar_id: str, code: str, part: float, jar_ml: float | None
) -> Jar:
    inside = share(jar.contents, part)
    return msgspec.structs.replace(
        jar,
        id=jar_id,
        code=code,
        born=f"{born(entry)} {jar_id.rpartition('.')[2]:>4}",
        opened="split",
        herbs=inside.herbs,
        pours=inside.pours,
        liquid_ml=inside.ml,
        costs=inside.costs,
        uses=(),
        marc_g=None if jar.marc_g is None else jar.marc_g * part,
        sources=(Flow(entry.id, "split", entry.when, jar.id, ml=inside.volume_ml),),
        drawn_ml=0.0,
        jar_ml=jar_ml,
        extracts=[],
        put_off={},
        flags=[],
    )


def joined(batches: Batches, entry: Entry, fact: Joined) -> list[Jar] | Misfit:
    """The one jar they went into, or how that does not fit."""
    found = (batches.get(one) for one in fact.parts)
    parts = [one for one in found if isinstance(one, Jar)]
    if len(parts) < len(fact.parts):
        return NothingOpens(fact.kind, "part")
    for one in parts:
        if one.end is not None:
            return AfterEnd(fact.kind, entry.when, one.end, one.code)
    joint = _joint(parts, entry, fact)
    for one in parts:
        one.end, one.costs = JoinedEnd(entry.when, joint.id), ()
    return [joint]


def _joint(jars: Sequence[Jar], entry: Entry, fact: Joined) -> Jar:
    """Ready when the last of its parts was, past its longest when the first was.

    Where nobody knows when one of them is ready, nobody knows of the whole.
    """
    inside = together(one.contents for one in jars)
    last = max(jars, key=lambda one: earliest_press(one) or date.max)
    ends = [day for one in jars if (day := longest_day(one)) is not None]
    first = min(jars, key=lambda one: (one.charged.earliest, one.id))
    return Jar(
        id=entry.id,
        code=fact.code,
        herb=_names(one.herb for one in jars),
        form=_form(one.form for one in jars),
        common=_same([one.common for one in jars]),
        part=_same([one.part for one in jars]),
        charged=first.charged,
        charge_guessed=any(one.charge_guessed for one in jars),
        preparation=preparation((pour.liquid for pour in inside.pours), first.form),
        least=last.least,
        born=born(entry),
        opened="joined",
        herbs=inside.herbs,
        marc_g=_sum([one.marc_g for one in jars]),
        pours=inside.pours,
        liquid_ml=inside.ml,
        costs=inside.costs,
        sources=tuple(
            Flow(entry.id, "joined", entry.when, one.id, ml=one.contents.volume_ml) for one in jars
        ),
        jar_ml=fact.jar_ml,
        since=last.herb_added or last.steeped,
        longest_by=min(ends, default=None),
        shake=last.shake,
        last_shaken=min(
            (one.last_shaken for one in jars if one.last_shaken is not None),
            key=lambda one: one.earliest,
            default=None,
        ),
        look=_watched(jars),
        hold=gravest(one.hold for one in jars),
    )


def _watched(jars: Iterable[Jar]) -> Look | None:
    """The look at a part that is to be watched; the one that saw something is spoiling first."""
    looks = [one.look for one in jars if one.look is not None and one.look.verdict == "watch"]
    return max(looks, key=lambda one: (bool(spoiling(one.signs)), one.on.earliest), default=None)


def _sum(amounts: Sequence[float | None]) -> float | None:
    known = [one for one in amounts if one is not None]
    return sum(known) if len(known) == len(amounts) else None


def _same(texts: Sequence[str | None]) -> str | None:
    return texts[0] if len(set(texts)) == 1 else None


def _names(herbs: Iterable[str]) -> str:
    return " + ".join(dict.fromkeys(herbs))


def _form(forms: Iterable[str]) -> str:
    """Fresh where any of it is: the one that asks for more care."""
    return "fresh" if "fresh" in set(forms) else "dried"


def blended(batches: Batches, entry: Entry, fact: Blended) -> tuple[Blend | Misfit, Misfit | None]:
    """The blend, good through the earliest day of its parts; and what looks wrong about it."""
    found = [(thing_in(batches, part.about), part) for part in fact.parts]
    parts = [(thing, part) for thing, part in found if thing is not None and thing.extract]
    if len(parts) < len(found):
        return NothingOpens(fact.kind, "part"), None
    made = together([portion(one.made, part.volume_ml) for one, part in parts], fact.volume_ml)
    good_through = min(day for one, _ in parts if (day := one.good_through) is not None)
    volume_ml = made.volume_ml if fact.volume_ml is None else fact.volume_ml
    extract = Extract(
        id=entry.id,
        letter="",
        pressed=entry.when,
        pressed_ml=volume_ml,
        volume_ml=volume_ml,
        keeps=Period(days=max((good_through - entry.when.earliest).days, 0)),
        made=made,
        opened="blended",
        best_by=good_through,
        sources=tuple(_flow(entry, "blended", one, part.volume_ml) for one, part in parts),
        hold=gravest(one.hold for one, _ in parts),
    )
    short = [_take(one, part.volume_ml, fact.kind) for one, part in parts]
    misfit = next((one for one in short if one is not None), None)
    return _blend(entry, fact, extract, [one.batch for one, _ in parts]), misfit


def _blend(entry: Entry, fact: Blended, extract: Extract, parts: Sequence[Batch]) -> Blend:
    made = extract.made
    form = _form(herb.form for herb in made.herbs)
    return Blend(
        id=entry.id,
        code=fact.code,
        blended=entry.when,
        herb=_names(herb.herb for herb in made.herbs) or "unknown",
        form=form,
        preparation=preparation((pour.liquid for pour in made.pours), form),
        liquid=extract,
        born=born(entry),
        common=_same([one.common for one in parts]),
        part=_same([one.part for one in parts]),
    )


def _flow(entry: Entry, how: str, thing: Thing, taken_ml: float) -> Flow:
    return Flow(
        entry.id,
        how,
        entry.when,
        thing.batch.id,
        thing.extract.id if thing.extract else None,
        thing.bottle.number if thing.bottle else None,
        taken_ml,
    )


def _take(thing: Thing, taken_ml: float, did: str) -> Misfit | None:
    """Take from an extract's bulk or a bottle of it, to go into something else."""
    assert thing.extract is not None
    thing.extract.passed_on_ml += taken_ml
    if thing.bottle is not None:
        return take_from_bottle(thing.extract, thing.bottle, taken_ml, did)
    return take_bulk(thing.extract, taken_ml, did)


def refilled(batches: Batches, entry: Entry, fact: Refilled) -> Misfit | None:
    """The bottle holds a mixture now, good through the earlier day of the two."""
    into, source = thing_in(batches, fact.about), thing_in(batches, fact.source.about)
    if into is None or into.bottle is None or into.extract is None:
        return NeverFilled(fact.kind)
    if source is None or source.extract is None:
        return NothingOpens(fact.kind, "source")
    if source.bottle is into.bottle:
        return FromItself()
    bottle, filled_ml = into.bottle, fact.source.volume_ml
    left_ml = bottle.volume_ml
    keep_given(into.extract, bottle)
    bottle.made = together([portion(into.made, left_ml), portion(source.made, filled_ml)])
    days = [into.good_through if left_ml >= DROP_ML else None, source.good_through]
    bottle.best_by = min(day for day in days if day is not None)
    own = bottle.hold if left_ml >= DROP_ML else None
    bottle.hold = gravest((own, source.hold))
    misfit = _take(source, filled_ml, fact.kind)
    bottle.volume_ml = left_ml + filled_ml
    into.extract.added_ml += filled_ml
    bottle.sources += (_flow(entry, "refilled", source, filled_ml),)
    bottle.discarded = False
    if bottle.volume_ml > bottle.size_ml + DROP_ML:
        return OverFull(bottle.volume_ml, bottle.size_ml)
    return misfit
