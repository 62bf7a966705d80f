"""Herb and pours as verbs take them: amounts, strengths, lots, and what was paid."""

import re
import sys
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer
from msgspec.structs import replace

from tracker.cli.desk import Desk, about_of
from tracker.core.facts.fields import Form, Pour
from tracker.core.menstruum.liquids import is_wine
from tracker.core.practice.practice import UnitSystem
from tracker.core.shelf.lot import Lot
from tracker.core.values.errors import (
    AmbiguousPourError,
    MisusedError,
    QuantityError,
    Reading,
    RefusedError,
)
from tracker.core.values.money import is_money
from tracker.core.values.text import shown
from tracker.core.values.times import Period
from tracker.quantities import Amount, grams

if TYPE_CHECKING:
    from tracker.core.herbs.written_names import Named

_PAID = re.compile(r"@\s*([^\s@]+)\s*$")
_NOT_WEIGHED = ("unknown", "not weighed", "not known")
_RATIO = re.compile(r"1:\d+(?:\.\d+)?")
# Months are of many lengths: two spans are held against each other from one day on.
_ANY_DAY = date(2025, 1, 1)

Pours = Annotated[
    list[str] | None,
    typer.Option(
        "--pour",
        help='What was poured: "500 ml 45%", "500 ml LOT-26-01", "200 ml CAOF-26-01A". '
        "Can be repeated.",
    ),
]
Fresh = Annotated[str | None, typer.Option(help="Weight of fresh herb: 12 oz, 340 g.")]
Dried = Annotated[str | None, typer.Option(help="Weight of dried herb: 100 g.")]
Paid = Annotated[str | None, typer.Option(help="What was paid for it: 6.40.")]


def money(text: str | None, where: str) -> str | None:
    """An amount of money as the book writes it.

    Raises:
        MisusedError: it is none.
    """
    if text is None:
        return None
    plain = text.strip().replace(",", ".")
    if not is_money(plain):
        raise MisusedError(
            f"{text!r} is not an amount of money.", where=where, do="write it like 6.40."
        )
    return plain


def pours_asked(desk: Desk, given: Sequence[str] | None) -> list[str]:
    """The pours as texts; asked for where a person sits at a terminal."""
    if given:
        return [desk.settled(text, lambda one: _in_one_way(desk, one)) for text in given]
    return [
        desk.need(
            None,
            "What was poured, such as 500 ml 45%",
            read=lambda text: _checked(desk, text),
        )
    ]


def _checked(desk: Desk, text: str) -> str:
    """The text, once it can be read in one way; what was paid stands behind each reading."""
    # The grammar of pours has many patterns, and few verbs read one.
    from tracker.cli.given.pour_named import much_of, named_in

    words, paid = _PAID.sub("", text), _PAID.search(text)
    units = desk.bench.practice.units
    try:
        named = named_in(words, desk.book, units)
        if named is None:
            _typed(desk, words)
        else:
            much_of(named, units)
    except AmbiguousPourError as asked:
        price = f" {paid[0].strip()}" if paid else ""
        readings = [Reading(one.written + price, one.comes_to) for one in asked.readings]
        raise AmbiguousPourError(asked.text, asked.why, readings) from None
    return text


def _in_one_way(desk: Desk, text: str) -> None:
    """Whatever else cannot be read may be the code of something, which is looked up later."""
    try:
        _checked(desk, text)
    except AmbiguousPourError:
        raise
    except QuantityError:
        pass


def poured(desk: Desk, texts: Sequence[str]) -> tuple[Pour, ...]:
    """The pours; of a lot as the lot has them, of an extract as the book has it.

    `@ 10.00` at the end is what was paid.
    """
    return tuple(_poured(desk, text) for text in texts)


def liquids_in(desk: Desk, pours: Sequence[Pour]) -> list[str]:
    """The liquids that are poured; of an extract those that it was made of."""
    found: list[str] = []
    for one in pours:
        if one.of is None or one.name is None:
            found.append(one.liquid)
        else:
            found += [pour.liquid for pour in desk.find(one.name).made.pours]
    return found


def _typed(desk: Desk, text: str) -> Pour:
    """The pour as it was typed, without what the book says of it."""
    from tracker.pours.reading import pour  # its patterns are many, and few verbs read a pour

    return pour(text, desk.bench.practice.units)


def read_pour(desk: Desk, text: str) -> Pour:
    """The pour, with a remark where its strength is not known."""
    found = _typed(desk, text)
    if found.ethanol_pct_vol is None:
        what = found.name or found.liquid
        # A % beside a word that is not known is asked about: it may be of anything.
        spirit = " spirit" if found.liquid == "other" else ""
        example = "12%" if is_wine(what) else "40%"
        desk.remarks.append(
            f"The strength of the {shown(what)} is not known, nor is that of anything made with "
            f'it. Where its label says, write it: "{shown(text.strip())}{spirit} {example}".'
        )
    return found


def _poured(desk: Desk, text: str) -> Pour:
    from tracker.cli.given.pour_named import much_of, named_in, pour_of_lot

    units = desk.bench.practice.units
    paid = _PAID.search(text)
    price = money(paid[1], "--pour") if paid else None
    words = _PAID.sub("", text)
    named = named_in(words, desk.book, units)
    if named is None:
        return replace(read_pour(desk, words), paid=price)
    thing = named.source
    if isinstance(thing, Lot):
        if thing.code.upper() not in words.upper():
            desk.remarks.append(f"Poured out of {thing.code}, {shown(thing.what)}.")
        return replace(pour_of_lot(thing, much_of(named, units), text), paid=price)
    amount = much_of(named, units)
    return Pour(
        liquid="extract",
        volume_ml=amount.value,
        name=thing.code,
        written=words.strip(),
        known=amount.known,
        of=about_of(thing),
        paid=price,
    )


def lot_of_herb(desk: Desk, code: str) -> Lot:
    """The lot of herb a code names.

    Raises:
        RefusedError: it is of a liquid.
    """
    lot = desk.lot(code)
    if lot.liquid is not None:
        raise RefusedError(lot.code, f"it is not herb: {lot.what}", do="name it in --pour.")
    return lot


def herb_named(
    desk: Desk, herb: str, common: str | None, part: str | None, *, asks: bool = False
) -> "Named":
    """The herb for the book, with a remark on its spelling.

    The part that a name says is asked about where a person sits at a terminal, and said
    elsewhere.

    Args:
        desk: where the verb is run; takes the remark.
        herb: the name as it was typed.
        common: the common name, if it was given.
        part: the part used, if it was given.
        asks: whether a slip is asked about where a person sits at a terminal.

    Raises:
        MisusedError: the name says another part than was given.
    """
    # The tables of plants load slowly.
    from tracker.core.herbs.written_names import contradicts, named

    found = named(herb, common=common, part=part)
    at_terminal = sys.stdin.isatty() and desk.page is None
    if asks and found.meant is not None and at_terminal and not desk.as_json:
        from tracker.cli.given.plant_asked import is_meant

        if is_meant(desk, herb, found.meant):
            return found.meant
    elif found.say:
        desk.remarks.append(f"{found.say}.")
    if part is not None and contradicts(found, part):
        _must_be_part(desk, herb, found, part)
    elif part is None and found.part_named and at_terminal:
        question = f"{shown(herb)}: is the part used the {shown(found.part_named)}"
        return found if desk.confirm(question) else found._replace(part=None)
    return found


def _must_be_part(desk: Desk, herb: str, found: "Named", part: str) -> None:
    """Go on only if the maker is sure of the part that was given."""
    said = f"{shown(herb)} is the {found.part_named}, and --part says {shown(part)}"
    if not desk.confirm(f"{said}: is it {shown(part)}"):
        raise MisusedError(
            f"{said}.",
            where="--part",
            do="leave --part out, or name the plant without its part.",
        )


def weighed(desk: Desk, fresh: str | None, dried: str | None) -> tuple[Form, Amount | None]:
    """The form of the herb and its weight; None where the weight is unknown."""
    if fresh is not None and dried is not None:
        raise MisusedError(
            "The herb is either fresh or dried.",
            where="--fresh and --dried",
            do="give one of them.",
        )
    units = desk.bench.practice.units
    form: Form = "fresh" if fresh is not None else "dried"
    text = fresh if fresh is not None else dried
    if text is None:
        form = desk.need(None, "Is the herb fresh or dried", read=form_named)
        return form, desk.need(
            None, f"How much {form} herb", read=lambda words: _grams(words, units)
        )
    return form, _grams(desk.settled(text, lambda words: _grams(words, units)), units)


def _grams(text: str, units: UnitSystem) -> Amount | None:
    return None if text.strip().lower() in _NOT_WEIGHED else grams(text, units)


def form_named(text: str) -> Form:
    """Fresh or dried, by the word or its letter.

    Raises:
        MisusedError: it is neither.
    """
    match text.strip().lower():
        case "fresh" | "f":
            return "fresh"
        case "dried" | "dry" | "d":
            return "dried"
    raise MisusedError(f"{text!r} is neither.", where="the form", do="Write fresh or dried.")


def of_form(lot: Lot, form: Form) -> None:
    """Refuse fresh herb where dried was weighed, and dried where fresh was."""
    if lot.form != form:
        raise RefusedError(
            lot.code, f"it is {lot.form} herb, and {form} was weighed", do=f"use --{lot.form}."
        )


def must_fit(least: Period, longest: Period | None) -> None:
    """Refuse a longest time that is over before the shortest is.

    Raises:
        MisusedError: it is.
    """
    if longest is not None and longest.after(_ANY_DAY) < least.after(_ANY_DAY):
        raise MisusedError(
            f"At most {longest} is over before at least {least}.",
            where="--least and --longest",
            do="check both.",
        )


def ratio_meant(text: str | None) -> str | None:
    """A ratio such as `1:5`, as it was written.

    Raises:
        MisusedError: it is none.
    """
    if text is not None and not _RATIO.fullmatch(text):
        raise MisusedError(
            f"{text!r} is not a ratio.", where="--ratio", do="write it like 1:5 or 1:2.5."
        )
    return text


def share_of(text: str) -> float:
    """A share such as `1/3`, `40%` or `0.4`, above nothing and at most the whole."""
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*(?:/\s*(\d+(?:[.,]\d+)?)|(%))?\s*", text)
    value = 0.0
    if found is not None:
        whole = 100.0 if found[3] else float((found[2] or "1").replace(",", "."))
        value = float(found[1].replace(",", ".")) / whole if whole else 0.0
    if not 0 < value <= 1:
        raise QuantityError(text, "not a share of the whole", do="write it like 1/2 or 40%.")
    return value
