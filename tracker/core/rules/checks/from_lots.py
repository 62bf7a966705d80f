"""Lots: what is taken from them, and what can still be."""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from tracker.core.facts.extracts import Counted, Discarded
from tracker.core.facts.fields import Form, HerbFact, Pour
from tracker.core.facts.lots import Dried
from tracker.core.rules.before import Before
from tracker.core.rules.checks.days import not_before
from tracker.core.rules.checks.on_hold import not_held, recalled_inside
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import When


def used(
    before: Before, herb: HerbFact | None, pours: tuple[Pour, ...], when: When
) -> Iterator[Finding]:
    """Whether herb and pours can be taken from the lots they name."""
    amounts: defaultdict[str, float] = defaultdict(float)
    if herb is not None:
        yield from _herb_lot(before, herb, when)
        if herb.herb_lot is not None and herb.herb_g is not None:
            amounts[herb.herb_lot] += herb.herb_g
    yield from _pour_lots(before, pours, when)
    for pour in pours:
        if pour.lot is not None:
            amounts[pour.lot] += pour.volume_ml
    yield from _lasts(before.shelf.lots, before.left, amounts, when)


def _herb_lot(before: Before, fact: HerbFact, when: When) -> Iterator[Finding]:
    """Refuse herb of a lot that is on hold, of a liquid, of another form, or not there yet."""
    if fact.herb_lot is not None:
        yield from _lot(before, fact.herb_lot, when, fact.form)


def _pour_lots(before: Before, pours: tuple[Pour, ...], when: When) -> Iterator[Finding]:
    """Refuse liquid of a lot that is on hold, of herb, or not there yet."""
    for pour in pours:
        if pour.lot is not None:
            yield from _lot(before, pour.lot, when, None)


def _lot(before: Before, lot_id: str, when: When, form: Form | None) -> Iterator[Finding]:
    lot = before.shelf.lots.get(lot_id)
    if lot is None:
        yield Finding(
            "thing", "the lot", "the book does not have it", "`stillroom lots` lists what there is"
        )
        return
    yield from not_before(lot, when)
    yield from _free_then(lot, when)
    yield from recalled_inside(lot, before.not_held(), when)
    if form is None and lot.liquid is None:
        yield Finding("kind", lot.code, f"it is herb: {lot.what}", "name a lot of a liquid")
    elif form is not None and lot.liquid is not None:
        yield Finding("kind", lot.code, f"it is not herb: {lot.what}", "name it in --pour")
    elif form is not None and lot.form != form:
        what = f"it is {lot.form} herb, and {form} was weighed"
        yield Finding("form", lot.code, what, f"give the weight with --{lot.form}")


def _free_then(lot: Lot, when: When) -> Iterator[Finding]:
    """Refuse a lot on hold; ask where it was used before that, since it was free then."""
    hold = lot.hold
    if hold is None or when.latest >= hold.on.earliest:
        yield from not_held(lot)
        return
    state = "was recalled on" if lot.recalled is not None else "is on hold, since"
    what = f"it {state} {hold.on}, and this is dated before that: {hold.why}"
    do = "hold what it went into as well, or correct the day"
    yield Finding("hold", lot.code, what, do, "question")


def _lasts(
    lots: Mapping[str, Lot], left: Mapping[str, float], used: Mapping[str, float], when: When
) -> Iterator[Finding]:
    """Say where more is used of a lot than the book says is left: scales and jugs differ.

    What was used before a count does not change what is left after it.
    """
    for lot_id, amount in used.items():
        lot = lots.get(lot_id)
        if lot is None or lot.is_counted_after(when):
            continue
        if amount > left.get(lot_id, amount) + DROP_ML:
            over = amount - left[lot_id]
            yield Finding(
                "lot",
                lot.code,
                f"by the book, {over:g} {lot.unit} more was used than there was",
                weight="warning",
            )


def countable(lot: Lot, fact: Counted) -> Iterator[Finding]:
    """Refuse a count in the wrong unit; ask about more than ever came in."""
    there, other = fact.herb_g, fact.volume_ml
    if lot.liquid is not None:
        there, other = other, there
    if there is None or other is not None:
        what = f"it is counted in {lot.unit}"
        yield Finding("kind", lot.code, what, f"give the amount in {lot.unit}")
    elif there > lot.amount + DROP_ML:
        yield Finding(
            "amount",
            lot.code,
            f"{there:g} {lot.unit} is more than the {lot.amount:g} {lot.unit} that came in",
            "read the measure again: is it this lot, in this unit?",
            "question",
        )


def _there(before: Before, lot: Lot, when: When) -> float:
    """The most there can have been of a lot then; a later count says nothing of it."""
    return lot.most if lot.is_counted_after(when) else before.left.get(lot.id, lot.amount)


def discardable(before: Before, lot: Lot, fact: Discarded, when: When) -> Iterator[Finding]:
    """Refuse to throw out more of a lot than the book says is left."""
    gone, other = fact.herb_g, fact.volume_ml
    if lot.liquid is not None:
        gone, other = other, gone
    if other is not None:
        what = f"it is counted in {lot.unit}"
        yield Finding("kind", lot.code, what, f"give the amount in {lot.unit}")
    left = _there(before, lot, when)
    if left < DROP_ML or (gone is not None and gone > left + DROP_ML):
        yield Finding(
            "amount",
            lot.code,
            f"by the book, {max(left, 0.0):g} {lot.unit} of it is left",
            "`stillroom lots` shows what was used; correct that first",
        )


def dryable(before: Before, lot: Thing | Lot, fact: Dried, when: When) -> Iterator[Finding]:
    """Refuse to dry what is not fresh herb, more than is left, or to gain by it."""
    if not isinstance(lot, Lot) or lot.liquid is not None:
        yield Finding("kind", lot.code, "only a lot of herb is dried", "name a lot of fresh herb")
    elif lot.form != "fresh":
        yield Finding("form", lot.code, "it is dry already", "name a lot of fresh herb")
    elif fact.fresh_g > (there_g := _there(before, lot, when)) + DROP_ML:
        left_g = max(there_g, 0.0)
        what = f"by the book, {left_g:g} g of it is left"
        do = "read the scales again, or correct what was used of it"
        yield Finding("amount", lot.code, what, do)
    elif fact.herb_g > fact.fresh_g:
        what = f"{fact.herb_g:g} g dried is more than the {fact.fresh_g:g} g that were fresh"
        yield Finding("amount", lot.code, what, "read the scales again")
