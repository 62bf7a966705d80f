"""How strong it comes to, and what to measure out: `strength`, `mix`."""

import re
from collections.abc import Sequence
from typing import Annotated

import msgspec
import typer

from tracker.cli.desk import AsJson, Desk
from tracker.cli.given.code_asked import code_asked
from tracker.cli.given.on_hand import on_hand, part_as_said
from tracker.cli.given.pour_named import Named, much_of, named_in, pour_of_lot
from tracker.cli.given.pour_sources import parts_of
from tracker.cli.printing import echo_json, echo_lines
from tracker.core.facts.fields import Pour
from tracker.core.menstruum import fire
from tracker.core.menstruum.ethanol_water import REFERENCE_C
from tracker.core.menstruum.mixture import Mixture, Part, mixture
from tracker.core.menstruum.recipe import Recipe, Stock, measure_out
from tracker.core.practice.practice import UnitSystem
from tracker.core.reckoning.amounts import herb_water, holds_unknown, of_unknown_strength
from tracker.core.reckoning.fortification import parts_to_fortify
from tracker.core.reckoning.strength import allowance_pct_vol, parts_with
from tracker.core.shelf.codes import is_lot_code
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.errors import (
    BookError,
    MisusedError,
    QuantityError,
    RefusedError,
    UnknownCodeError,
)
from tracker.core.values.text import shown
from tracker.outputs.terminal import measures
from tracker.pours.reading import pour
from tracker.pours.strengths import pct_vol_of
from tracker.quantities import millilitres, percent

app = typer.Typer(rich_markup_mode=None)

At = Annotated[
    str,
    typer.Option("--at", help="Temperature at which volumes and strengths are meant: 20C, 60F."),
]

_CODE = re.compile(r"\.|[A-Za-z0-9][A-Za-z0-9-]*(?:/\d+)?")
# A name of several words; an amount has a figure somewhere.
_NAME = re.compile(r"[^\W\d_][^\d½¼¾⅓⅔%°]*")
# What parts two of them belongs to the first, possessively: else a long row of blanks could be
# shared out between the two in as many ways as its square.
_TEMPERATURE = re.compile(r"\s*+(\d+(?:[.,]\d+)?)\s*+(?:°\s*+)?([CF])\s*+", re.IGNORECASE)

# Glycerin is tabled from 15 to 25 °C, and no trade means its volumes outside that.
_LEAST_C, _MOST_C = 15.0, 25.0


@app.command()
def strength(
    context: typer.Context,
    pours: Annotated[
        list[str] | None, typer.Argument(help='Pours: "500 ml 45%" "120 ml water"; or a code.')
    ] = None,
    at: At = "20C",
    as_json: AsJson = False,
) -> None:
    """How strong a mixture of pours is, or a jar.

    A jar of the book counts with all that went into it.
    """
    desk = Desk(context.obj, as_json=as_json, verb="strength")
    reference_c = _celsius(at)
    said = desk.need(pours or None, "Which pour, such as 500 ml 45%", read=lambda text: [text])
    mixed, of = _mixed(desk, said, reference_c)
    if as_json:
        echo_json(measures.strength_answer(mixed, _shown_at(at)))
    else:
        echo_lines(measures.strength(mixed, shown(of), _shown_at(at)), desk.colour)


def _mixed(desk: Desk, said: Sequence[str], reference_c: float) -> tuple[Mixture, str]:
    units = desk.bench.practice.units
    called = " ".join(" ".join(said).split())
    if (len(said) == 1 and _CODE.fullmatch(called)) or _NAME.fullmatch(called):
        try:
            poured = [pour(called, units)]
        except QuantityError as no_pour:
            thing = _thing(desk, called, no_pour)
            return _mixed_in(thing, reference_c), f"All that went into {thing.batch.code}"
        parts = [part_as_said(one, reference_c) for one in poured]
    else:
        parts = [part for text in said for part in _parts_said(desk, text, reference_c)]
    return mixture(parts, reference_c), " + ".join(said)


def _parts_said(desk: Desk, text: str, reference_c: float) -> Sequence[Part]:
    """A pour; where it is of an extract, what that is made of, in proportion."""
    units = desk.bench.practice.units

    def read(one: str) -> Named | Pour:
        named = named_in(one, desk.bench, units)
        if named is not None:
            much_of(named, units)
        return named or pour(one, units)

    settled = desk.settled(text, read)
    said = read(settled)
    if isinstance(said, Pour):
        return [part_as_said(said, reference_c)]
    amount = much_of(said, units)
    if isinstance(said.source, Lot):
        return [part_as_said(pour_of_lot(said.source, amount, settled), reference_c)]
    return parts_of(said.source, amount.value)


def _thing(desk: Desk, code: str, no_pour: QuantityError) -> Thing:
    """What the code names; where nothing does, a number was meant as a pour."""
    try:
        found = code_asked(desk, code)
        if not is_lot_code(found):
            return desk.bench.find(found)
        lot = desk.bench.find_lot(found)
    except (UnknownCodeError, BookError):
        if code.strip()[0].isdigit():
            raise no_pour from None
        raise
    raise RefusedError(
        lot.code,
        f"it is a lot ({lot.what}), and of a lot it has to be said how much",
        do=f'write `strength "500 ml {lot.code}"`.',
    )


def _mixed_in(thing: Thing, reference_c: float) -> Mixture:
    """A jar's mixture; without the herb's water, where that is not known, only plain sums."""
    parts, water = parts_to_fortify(thing.made), herb_water(thing.made)
    if parts is not None and water is not None:
        known = mixture(parts, reference_c)
        if not known.reckoned or not water.off_pct:
            return known
        return msgspec.structs.replace(
            known,
            allowance_pct_vol=allowance_pct_vol(thing.made),
            why=f"the herb's water is taken as {water.pct_mass:g} %, {water.basis}, "
            f"give or take {water.off_pct:g} points",
        )
    sums = mixture(parts_with(thing.made, 0.0), reference_c)
    is_nobodys = holds_unknown(thing.made)
    return msgspec.structs.replace(
        sums,
        volume_ml=None,
        ethanol_pct_vol=None,
        ethanol_pct_mass=None,
        glycerin_pct_vol=None,
        density_kg_m3=None,
        mass_g=None,
        ethanol_ml=None if is_nobodys else sums.ethanol_ml,
        simple_ethanol_pct_vol=None if is_nobodys else sums.simple_ethanol_pct_vol,
        allowance_pct_vol=None,
        reckoned=False,
        why=_why_not_reckoned(thing),
    )


def _why_not_reckoned(thing: Thing) -> str:
    if unknown := " and ".join(of_unknown_strength(thing.made)):
        return f"the strength of {unknown} is not known"
    if holds_unknown(thing.made):
        return "nobody knows what some of it was"
    return "the fresh herb was not weighed; its water is not in the sums"


@app.command()
def mix(
    context: typer.Context,
    to: Annotated[str | None, typer.Option("--to", help="The strength you want: 60%.")] = None,
    glycerin: Annotated[str, typer.Option(help="Glycerin in it, % of the volume: 10%.")] = "0%",
    volume: Annotated[
        str | None,
        typer.Option(help="How much of it: 1l. Left out: use up what `--from` limits."),
    ] = None,
    stocks: Annotated[
        list[str] | None,
        typer.Option(
            "--from",
            help='What there is: 95%, water, glycerin, CAOF-26-01A, or no more than "200 ml 40%".',
        ),
    ] = None,
    at: At = "20C",
    as_json: AsJson = False,
) -> None:
    """What to measure out of what is on hand, for a strength.

    The volume is given as well. Exit code 1 where that cannot be reached; what is shown is then
    the nearest.
    """
    desk = Desk(context.obj, as_json=as_json, verb="mix")
    units, reference_c = desk.bench.practice.units, _celsius(at)
    wanted = desk.need(to, "Which strength, such as 60%", read=str.strip)
    house = desk.need(stocks or None, "From what, such as 95%, water", read=_listed)
    recipe = _recipe(
        [on_hand(desk, text, reference_c) for text in house],
        ethanol_pct_vol=_strength(wanted, units),
        volume_ml=millilitres(volume, units).value if volume else None,
        glycerin_pct_vol=percent(glycerin),
        reference_c=reference_c,
    )
    if not recipe.reachable:
        typer.echo(f"That cannot be reached: {recipe.why}. This is the nearest.", err=True)
    if as_json:
        echo_json(measures.mix_answer(recipe, _shown_at(at)))
    elif recipe.parts:
        echo_lines(measures.mix(recipe, _shown_at(at), colour=desk.colour), desk.colour)
        _mind_fire(recipe)
    if not recipe.reachable:
        raise typer.Exit(1)


def _listed(text: str) -> list[str]:
    return [part for part in re.split(r"\s*[,;]\s+", text.strip()) if part]


def _recipe(
    stocks: Sequence[Stock],
    *,
    ethanol_pct_vol: float,
    volume_ml: float | None,
    glycerin_pct_vol: float,
    reference_c: float,
) -> Recipe:
    if volume_ml is None and all(one.available_ml is None for one in stocks):
        raise MisusedError(
            "How much of it?",
            where="the command line: neither --volume nor an amount in --from",
            do='say --volume 1l, or how much there is: --from "200 ml 40%".',
        )
    if glycerin_pct_vol >= 100.0:
        raise MisusedError(
            "Glycerin alone is not a mixture.", where="--glycerin", do="give less than 100%."
        )
    if ethanol_pct_vol + glycerin_pct_vol > 100.0:
        raise MisusedError(
            f"{ethanol_pct_vol:g} % spirit and {glycerin_pct_vol:g} % glycerin are more than "
            "all of it.",
            where="--to and --glycerin",
            do="take less of one.",
        )
    return measure_out(
        stocks,
        ethanol_pct_vol=ethanol_pct_vol,
        volume_ml=volume_ml,
        glycerin_pct_vol=glycerin_pct_vol,
        reference_c=reference_c,
    )


def _strength(text: str, units: UnitSystem) -> float:
    """`60%`, `60`, `52 % by mass` or `120 proof`."""
    found = pct_vol_of(text, units)
    if found is None:
        raise QuantityError(text, "that is not a strength", do="write 60% or 120 proof.")
    return found


def _mind_fire(recipe: Recipe) -> None:
    """Strong spirit catches fire in a cool kitchen: a warning beside the amounts."""
    strongest = max((part.ethanol_pct_vol for part in recipe.parts), default=0.0)
    if fire.may_catch_fire(strongest, REFERENCE_C):
        typer.echo(
            f"Spirit of {strongest:g} % can catch fire at room temperature: keep it from "
            "flames, sparks and hot plates.",
            err=True,
        )


def _celsius(at: str) -> float:
    """The temperature in °C.

    Raises:
        MisusedError: not a temperature, or not one at which volumes are meant.
    """
    found = _TEMPERATURE.fullmatch(at)
    degrees = float(found[1].replace(",", ".")) if found else 0.0
    celsius = (degrees - 32) / 1.8 if found and found[2].upper() == "F" else degrees
    if not _LEAST_C <= celsius <= _MOST_C:
        raise MisusedError(
            f"{shown(at)!r} is not a temperature of 15 to 25 °C.",
            where="--at",
            do="write 20C or 60F.",
        )
    return celsius


def _shown_at(at: str) -> str:
    """`20 °C`, `60 °F`."""
    found = _TEMPERATURE.fullmatch(at)
    assert found is not None
    return f"{found[1].replace(',', '.')} °{found[2].upper()}"
