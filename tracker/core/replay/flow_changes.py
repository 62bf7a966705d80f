"""How one thing flows into another: jars split and joined, extracts blended, bottles refilled.

Shares of herb, strength and cost travel in proportion; what is good through a day is so in
whatever it goes into. Each function changes what it is given and returns None, or returns
why the fact does not fit.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TypeVar

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Blended, Refilled
from tracker.core.facts.jars import Joined, Split
from tracker.core.facts.ties import children
from tracker.core.practice.practice import preparation
from tracker.core.reckoning.amounts import earliest_press, longest_day
from tracker.core.reckoning.signs import spoiling
from tracker.core.reckoning.weakness import remade
from tracker.core.replay.days_that_count import days_in
from tracker.core.replay.extract_changes import keep_given
from tracker.core.replay.jar_changes import born, take_share
from tracker.core.replay.taken import flow_out_of, take
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import DROP_ML, portion, share, together
from tracker.core.shelf.end import JoinedEnd, SplitEnd
from tracker.core.shelf.extract import Extract, earliest
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
from tracker.core.values.times import Period, When

Batches = Mapping[str, Batch]
_Text = TypeVar("_Text", bound=str | None)

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
        jar.dried_water_ml *= 1 - shared
        jar.fresh_water_ml *= 1 - shared
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
        dried_water_ml=jar.dried_water_ml * part,
        fresh_water_ml=jar.fresh_water_ml * part,
        fills=(),
        costs=inside.costs,
        charged_g=inside.charged_g,
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
    spells = [spell for one in jars for spell in one.spells]
    inside = remade(together(one.contents for one in jars), spells, entry.when)
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
        dried_water_ml=sum(one.dried_water_ml for one in jars),
        fresh_water_ml=sum(one.fresh_water_ml for one in jars),
        costs=inside.costs,
        spells=inside.spells,
        ratio_basis=_same([one.ratio_basis for one in jars]) or "poured",
        basis=inside.basis or "poured",
        charged_g=inside.charged_g,
        of_old_marc=inside.again,
        way=_same([one.way for one in jars]) or "maceration",
        steep_way=_same([one.steep_way for one in jars]) or "maceration",
        sources=tuple(
            Flow(entry.id, "joined", entry.when, one.id, ml=one.contents.volume_ml) for one in jars
        ),
        jar_ml=fact.jar_ml,
        is_undated=any(one.is_undated for one in jars),
        best_by=min((one.best_by for one in jars if one.best_by is not None), default=None),
        belongs_to=_same([one.belongs_to for one in jars]),
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


def _same(texts: Sequence[_Text]) -> _Text | None:
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
    of_one_herb, uncounted = _marcs_steeped_again([one for one, _ in parts])
    spells = [spell for one, _ in parts for spell in one.made.spells]
    made = remade(msgspec.structs.replace(made, again=uncounted), spells, entry.when)
    good_through = earliest(days_in([one for one, _ in parts], made, entry.when))
    volume_ml = made.volume_ml if fact.volume_ml is None else fact.volume_ml
    extract = Extract(
        id=entry.id,
        letter="",
        pressed=entry.when,
        pressed_ml=volume_ml,
        volume_ml=volume_ml,
        keeps=_until(good_through, entry.when),
        made=made,
        opened="blended",
        best_by=good_through,
        is_undated=good_through is None,
        sources=tuple(flow_out_of(one, entry, "blended", part.volume_ml) for one, part in parts),
        hold=gravest(one.hold for one, _ in parts),
    )
    short = [take(one, part.volume_ml, entry) for one, part in parts]
    misfit = next((one for one in short if one is not None), None)
    blend = _blend(entry, fact, extract, [one.batch for one, _ in parts])
    blend.of_one_herb = of_one_herb
    return blend, misfit


def _marcs_steeped_again(parts: Iterable[Thing]) -> tuple[bool, bool]:
    """Whether extracts of a herb's several steeps meet, and whether one comes without its first.

    With the first of them the herb is counted once for all; without it, too little of it.
    """
    steeps: dict[str, set[int]] = defaultdict(set)
    firsts: set[str] = set()
    later: set[str] = set()
    for one in parts:
        assert one.extract is not None
        steeps[one.batch.id].add(one.extract.steep)
        (later if one.made.again else firsts).add(one.batch.id)
    return any(len(found) > 1 for found in steeps.values()), not later <= firsts


def _until(day: date | None, when: When) -> Period:
    return Period(days=0 if day is None else max((day - when.earliest).days, 0))


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


def refilled(batches: Batches, entry: Entry, fact: Refilled) -> Misfit | None:
    """The bottle holds a mixture now, good through the earlier day of the two."""
    into, source = thing_in(batches, fact.about), thing_in(batches, fact.source.about)
    if into is None or into.bottle is None or into.extract is None:
        return NeverFilled(fact.kind)
    if source is None or source.extract is None:
        return NothingOpens(fact.kind, "source")
    if source.bottle is into.bottle:
        return FromItself(fact.kind)
    bottle, filled_ml = into.bottle, fact.source.volume_ml
    left_ml = bottle.volume_ml
    old = [into] if left_ml >= DROP_ML else []
    keep_given(into.extract, bottle)
    made = together([portion(into.made, left_ml), portion(source.made, filled_ml)])
    spells = [spell for one in (*old, source) for spell in one.made.spells]
    made = remade(made, spells, entry.when)
    bottle.best_by = earliest(days_in([*old, source], made, entry.when))
    bottle.made = made
    bottle.is_undated = bottle.best_by is None
    own = bottle.hold if left_ml >= DROP_ML else None
    bottle.hold = gravest((own, source.hold))
    misfit = take(source, filled_ml, entry)
    bottle.volume_ml = left_ml + filled_ml
    into.extract.added_ml += filled_ml
    bottle.sources += (flow_out_of(source, entry, "refilled", filled_ml),)
    bottle.discarded = False
    if bottle.volume_ml > bottle.size_ml + DROP_ML:
        return OverFull(bottle.volume_ml, bottle.size_ml)
    return misfit
