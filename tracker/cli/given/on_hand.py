"""What there is to mix from, as `mix --from` takes it."""

import re

import msgspec
from msgspec.structs import replace

from tracker.cli.desk import Desk
from tracker.cli.given.pour_named import Named, much_of, named_in, pour_of_lot
from tracker.cli.given.pour_sources import made_up_of
from tracker.core.facts.fields import Pour
from tracker.core.menstruum.ethanol_water import REFERENCE_C
from tracker.core.menstruum.mixture import Part, mass_g
from tracker.core.menstruum.recipe import Stock
from tracker.core.practice.practice import UnitSystem
from tracker.core.reckoning.flows import lot_balance
from tracker.core.reckoning.strength import part_of
from tracker.core.rules.checks import volumes
from tracker.core.rules.verdict import Verdict, refusal
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.errors import (
    AmbiguousPourError,
    MisusedError,
    QuantityError,
    Reading,
    RefusedError,
)
from tracker.core.values.text import shown
from tracker.pours.reading import begins_a_pour, pour
from tracker.quantities import millilitres

_STRENGTH_FIRST = re.compile(r"\s*\d+(?:[.,]\d+)?\s*(?:%|(?:us |uk |british )?proof)", re.I)
# What is written without an amount is read as so much of it.
_SOME = "1 ml "
# Glycerol of the European Pharmacopoeia is at least this, by mass (from memory).
_PURE_GLYCERIN_PCT_MASS = 98.0


def on_hand(desk: Desk, said: str, reference_c: float) -> Stock:
    """What is on hand: with an amount, no more than that; without, enough of it."""
    units = desk.bench.practice.units
    text = desk.settled(said, lambda one: _read(desk, one, units))
    one, is_limit = _read(desk, text, units), _has_amount(text)
    if isinstance(one, Named):
        if not isinstance(one.source, Lot):
            return _of_extract(one.source, one.much if is_limit else "", units)
        one, is_limit = _of_lot(desk, one.source, one, text, is_limit=is_limit), True
    if one.liquid not in ("ethanol", "water", "glycerin"):
        raise MisusedError(
            f"{shown(text)!r} is neither spirit, water nor glycerin.",
            where="--from",
            do="only these can be mixed to a strength; give a spirit its strength: 95%.",
        )
    if one.ethanol_pct_vol is None:
        raise QuantityError(text, "how strong is it?", do="add its strength: 45% or 90 proof.")
    if one.glycerin_pct_mass is not None and one.glycerin_pct_mass < _PURE_GLYCERIN_PCT_MASS:
        raise MisusedError(
            f"{shown(text)!r} has water in it, and a mix is worked out with pure glycerin.",
            where="--from",
            do="take glycerin of 98 % or more.",
        )
    part = part_as_said(one, reference_c)
    return Stock(part.liquid, one.ethanol_pct_vol, part.volume_ml if is_limit else None)


def part_as_said(one: Pour, reference_c: float) -> Part:
    """The pour; one that was weighed has its volume at the temperature that is meant."""
    part = part_of(one)
    if one.known != "weighed" or reference_c == REFERENCE_C:
        return part
    at_20_g = mass_g(part)
    per_ml_g = mass_g(msgspec.structs.replace(part, volume_ml=1.0), reference_c)
    if at_20_g is None or per_ml_g is None:
        return part
    return msgspec.structs.replace(part, volume_ml=at_20_g / per_ml_g)


def _has_amount(text: str) -> bool:
    return begins_a_pour(text) and not _STRENGTH_FIRST.match(text)


def _read(desk: Desk, text: str, units: UnitSystem) -> Pour | Named:
    """What is on hand, in the one way it can be read.

    Raises:
        AmbiguousPourError: there are more.
        MisusedError: there is none.
    """
    if _has_amount(text):
        named = named_in(text, desk.bench, units)
        if named is not None and named.much:
            much_of(named, units)
        return named or pour(text, units)
    try:
        return named_in(_SOME + text, desk.bench, units) or pour(_SOME + text, units)
    except AmbiguousPourError as asked:
        ways = [Reading(*map(_without_some, (it.written, it.comes_to))) for it in asked.readings]
        raise AmbiguousPourError(text, asked.why, ways) from None
    except QuantityError as other:
        why = other.what.replace(f"'{_SOME}", "'", 1)
        raise MisusedError(why, where=other.where, do=other.do) from other


def _without_some(words: str) -> str:
    return words.removeprefix(_SOME)


def _of_lot(desk: Desk, lot: Lot, named: Named, text: str, *, is_limit: bool) -> Pour:
    """So much of a lot as is said, or what is left of it."""
    left_ml = max(lot_balance.left(lot, desk.bench.batches()), 0.0)
    amount = much_of(named, desk.bench.practice.units)
    said = amount if is_limit and named.much else replace(amount, value=left_ml)
    short = Verdict.of(volumes.within(lot.code, said.value, left_ml, "left")).refusals
    if short:
        raise refusal(short)
    return pour_of_lot(lot, said, text)


def _of_extract(thing: Thing, much: str, units: UnitSystem) -> Stock:
    """An extract of spirit and water: what there is of it, or as much as is said.

    Raises:
        RefusedError: its strength is not known, it holds something else, or there is less.
    """
    amount_ml = millilitres(much, units).value if much else None
    short = Verdict.of(volumes.takes(thing, amount_ml)).refusals
    if short:
        raise refusal(short)
    mixed, liquids = made_up_of(thing)
    if not liquids <= {"ethanol", "water"}:
        raise RefusedError(
            thing.code,
            "it holds more than spirit and water, and only these can be mixed to a strength",
            do='reckon with it by `strength "200 ml …"` instead.',
        )
    there_ml = volumes.there(thing) if amount_ml is None else amount_ml
    return Stock("ethanol", mixed.ethanol_pct_vol or 0.0, there_ml, name=thing.code)
