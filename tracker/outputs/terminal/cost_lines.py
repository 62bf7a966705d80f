"""What things cost, as text and fields: rounded only here, so that parts add up."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from tracker.core.reckoning.costs import (
    Holding,
    Lots,
    bottles_cost,
    cost_of,
    cost_per_ml,
    exact,
    herb_cost,
    unpriced,
)
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.thing import Thing, bottle_of, extract_of
from tracker.core.values.money import rounded_money, shared
from tracker.outputs.answer_fields import Answer
from tracker.outputs.words.amount_words import ml

Row = tuple[str, str]

# A price per ml is said to so many digits that count: 0.04581.
_DIGITS = 4


def money(amount: Fraction | None, currency: str = "") -> str | None:
    """`16.40 EUR`, to the cent; None stays None."""
    return None if amount is None else f"{rounded_money(amount)} {currency}".rstrip()


def per_ml(amount: Fraction | None, currency: str = "") -> str | None:
    """`0.04581 EUR`: to four digits that count, and at least to the cent."""
    if amount is None:
        return None
    places = 2
    while places < 9 and abs(amount) * 10**places < 10 ** (_DIGITS - 1):
        places += 1
    step = Decimal(1).scaleb(-places)
    return (
        f"{rounded_money(amount, step)} {currency}".rstrip() if amount else money(amount, currency)
    )


def cost_answer(thing: Thing, lots: Lots, currency: str = "") -> Answer:
    """What is left of a thing cost, as fields: exact amounts as text, None where not known.

    `cost` is what the liquid cost that is left, for herb and menstruum, which add up to it;
    `cost_with_bottles` the same in its bottles, `cost_partial` names what of it has no price.
    """
    cost, glass = cost_of(thing, lots), bottles_cost(thing)
    herb, menstruum = _herb_and_menstruum(thing, cost, lots)
    is_liquid = thing.extract is not None or _has_herb_in(thing)
    return {
        "cost": money(cost),
        "cost_of_herb": herb,
        "cost_of_menstruum": menstruum,
        "cost_of_bottles": money(glass or None),
        "cost_per_ml": per_ml(cost_per_ml(thing.made, lots)) if is_liquid else None,
        "cost_with_bottles": money(None if cost is None and not glass else (cost or 0) + glass),
        "cost_partial": list(unpriced(thing, lots)) if cost is not None else [],
        "currency": currency or None,
    }


def cost_rows(thing: Thing, lots: Lots, currency: str = "") -> list[Row]:
    """The lines `show` has about what a thing cost; none where nothing was priced."""
    cost = cost_of(thing, lots)
    if cost is None:
        return []
    missing = unpriced(thing, lots)
    partial = f", without {', '.join(missing)}: no price" if missing else ""
    herb, menstruum = _herb_and_menstruum(thing, cost, lots)
    both = (
        f"{money(cost, currency)}{_left(thing)} = herb {herb or '–'} + menstruum {menstruum or '–'}"
    )
    rows = [("cost", f"{both}{partial}")]
    if thing.extract is None and not _has_herb_in(thing):
        extracts: Iterable[Extract] = thing.batch.extracts
    else:
        each = per_ml(cost_per_ml(thing.made, lots), currency)
        rows.append(("cost per ml", f"{each}"))
        extracts = [thing.extract] if thing.extract else []
    if thing.bottle is not None:
        return rows + _one_bottle(thing, cost, currency)
    for extract in extracts:
        rows += _bottles(extract_of(thing.batch, extract), lots, currency)
    return rows


def _herb_and_menstruum(
    thing: Thing, cost: Fraction | None, lots: Lots
) -> tuple[str | None, str | None]:
    """The two parts of a cost, in cents that add up to it; None of which nothing is priced."""
    if cost is None:
        return None, None
    herb = herb_cost(thing, lots)
    first, second = shared([herb, cost - herb])
    missing, herbs = set(unpriced(thing, lots)), {one.herb for one in thing.made.herbs}
    is_herb_known = bool(herb) or not missing & herbs
    is_menstruum_known = cost != herb or not missing - herbs
    return (str(first) if is_herb_known else None, str(second) if is_menstruum_known else None)


def _left(thing: Thing) -> str:
    return "" if thing.extract is None and _has_herb_in(thing) else " for what is left"


def _has_herb_in(thing: Thing) -> bool:
    return thing.jar is not None and thing.jar.is_macerating


def _one_bottle(thing: Thing, cost: Fraction, currency: str) -> list[Row]:
    glass = bottles_cost(thing)
    if not glass:
        return []
    inside, empty = shared([cost, glass])
    both = f"{money(cost + glass, currency)} = {inside} + {empty}"
    return [("with its bottle", both)]


def _bottles(thing: Thing, lots: Lots, currency: str) -> list[Row]:
    """Of each size and price one full bottle, with and without the glass; the rest in bulk."""
    assert thing.extract is not None
    extract, rows = thing.extract, []
    for text, cost, glass in _kinds(thing, lots):
        inside, empty = shared([cost, glass])
        glass_text = f" = {inside} + {empty} the bottle" if glass else ""
        rows.append((f"bottle of {text}", f"{money(cost + glass, currency)}{glass_text}"))
    each = cost_per_ml(extract.made, lots)
    if rows and each is not None and extract.volume_ml >= DROP_ML:
        bulk = money(each * exact(extract.volume_ml), currency)
        rows.append(("cost of the bulk", f"{bulk} for {ml(extract.volume_ml)}"))
    return rows


def _kinds(thing: Thing, lots: Lots) -> list[tuple[str, Fraction, Fraction]]:
    """Every kind of full bottle once: its size, what is in it and what it is worth empty."""
    assert thing.extract is not None
    found: dict[tuple[object, ...], tuple[Bottle, Fraction]] = {}
    for bottle in thing.extract.bottles:
        if abs(bottle.volume_ml - bottle.size_ml) < DROP_ML:
            own = bottle_of(thing.batch, thing.extract, bottle)
            cost = cost_of(own, lots)
            if cost is not None:
                found.setdefault((ml(bottle.size_ml), money(cost), bottle.paid), (bottle, cost))
    return [
        (ml(bottle.size_ml), cost, Fraction(bottle.paid or 0)) for bottle, cost in found.values()
    ]


def in_parts(thing: Thing, lots: Lots) -> dict[int, Answer]:
    """What is in an extract's bulk (0) and in each bottle by number, in cents that add up.

    Each with `cost`, of the liquid; a bottle with `cost_with_bottle` too.
    """
    assert thing.extract is not None
    extract = thing.extract
    bulk = cost_per_ml(extract.made, lots)
    own = [bottle_of(thing.batch, extract, bottle) for bottle in extract.bottles]
    found = [None if bulk is None else bulk * exact(extract.volume_ml)]
    found += [cost_of(one, lots) for one in own]
    cents = shared([one or Fraction(0) for one in found])
    answers: dict[int, Answer] = {}
    for place, (cost, cent) in enumerate(zip(found, cents, strict=True)):
        answer: Answer = {"cost": None if cost is None else str(cent)}
        if place:
            glass = bottles_cost(own[place - 1])
            both = None if cost is None else str(cent + rounded_money(glass))
            answer["cost_with_bottle"] = both
        answers[extract.bottles[place - 1].number if place else 0] = answer
    return answers


def table_cells(holding: Holding, lots: Lots) -> tuple[str, str]:
    """Cost and cost per ml for two narrow columns; a dash where not known, `~` for partial."""
    cost = cost_of(holding, lots)
    if cost is None:
        return "–", "–"
    made = holding.made if isinstance(holding, Extract | Thing) else None
    each = per_ml(cost_per_ml(made, lots)) if made is not None else None
    mark = "~" if unpriced(holding, lots) else ""
    return f"{mark}{money(cost)}", f"{mark}{each}" if each else "–"
