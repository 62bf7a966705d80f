"""What a jar takes, and which jar takes it: `size`."""

import re
from collections.abc import Sequence
from typing import Annotated

import msgspec
import typer

from tracker.cli.desk import AsJson, Desk
from tracker.cli.printing import echo_json, echo_lines
from tracker.core.facts.fields import Form
from tracker.core.herbs.written_names import named
from tracker.core.practice.practice import UnitSystem
from tracker.core.reckoning import sizing
from tracker.core.reckoning.displacement import Displacement, default_displacement, learnt
from tracker.core.reckoning.sizing import Filling, Housed, Vessel
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown
from tracker.outputs.terminal import measures
from tracker.quantities import grams, millilitres, percent

app = typer.Typer(rich_markup_mode=None)

_RATIO = re.compile(r"\s*1\s*:\s*(\d+(?:[.,]\d+)?)\s*(oz|g)?(?::(?:fl oz|ml))?\s*", re.IGNORECASE)
_OUNCES = re.compile(r"\b(?:oz|ounces?|lbs?|pounds?|fl|pints?|pt|quarts?|qt|gal|gallons?)\b")


class _Asked(msgspec.Struct, frozen=True):
    """What was given, in grams and millilitres; None is what is asked for."""

    form: Form
    by: Displacement
    jar: Vessel | None
    herb_g: float | None
    ratio: float | None
    headspace: float
    ounces: UnitSystem | None

    @property
    def room_ml(self) -> float:
        """What of the jar may be filled."""
        assert self.jar is not None
        return self.jar.ml * (1.0 - self.headspace)

    @property
    def vessels(self) -> Sequence[Vessel]:
        """The sizes to choose from: US ones for people who write US ounces."""
        return sizing.US_VESSELS if self.ounces == "us" else sizing.METRIC_VESSELS


@app.command()
def size(
    context: typer.Context,
    herb: Annotated[
        str | None, typer.Argument(help="The herb's weight, if it is known: 100g, 12 oz.")
    ] = None,
    fresh: Annotated[bool, typer.Option("--fresh", help="The herb is fresh.")] = False,
    dried: Annotated[bool, typer.Option("--dried", help="The herb is dried.")] = False,
    jar: Annotated[str | None, typer.Option(help="What the jar holds: 500ml, 1 quart.")] = None,
    ratio: Annotated[
        str | None,
        typer.Option(
            help="1:5. In oz:fl oz where the herb (or the jar) is in ounces, else in g:ml; "
            '"1:5 g" and "1:5 oz" are clear.'
        ),
    ] = None,
    of: Annotated[
        str | None,
        typer.Option(help="Which herb: then your own jars of it say what room it takes up."),
    ] = None,
    part: Annotated[str | None, typer.Option(help="The part used, with --of.")] = None,
    headspace: Annotated[str, typer.Option(help="Share of the jar to leave empty: 5%.")] = "0%",
    as_json: AsJson = False,
) -> None:
    """From any two of jar, herb and ratio, the third.

    From all three, whether it fits. Exit code 1 where it does not fit; a jar that does is named.
    """
    desk = Desk(context.obj, verb="size")
    by = _displacement(desk, of, part, _form(desk, fresh, dried))
    asked = _asked(desk, herb, by, jar, ratio, headspace)
    filling, housed, fits = _filled(asked)
    band = None
    if asked.herb_g is None and asked.ratio is not None:
        band = sizing.herb_band_g(asked.room_ml, asked.ratio, asked.form, asked.by)
    if fits is False:
        typer.echo(_does_not_fit(asked, filling, housed), err=True)
    if as_json:
        units = desk.bench.practice.units
        echo_json(measures.size_answer(filling, housed, band, units) | {"fits": fits})
    else:
        lines = measures.size(filling, housed, band, headspace=asked.headspace, ounces=asked.ounces)
        echo_lines(lines, desk.colour)
        _mind_tight(filling, housed, asked)
    if fits is False:
        raise typer.Exit(1)


def _form(desk: Desk, fresh: bool, dried: bool) -> Form:
    if fresh and dried:
        raise MisusedError(
            "The herb is either fresh or dried.", where="--fresh and --dried", do="give one."
        )
    if not (fresh or dried):
        return desk.need(None, "Is the herb fresh or dried", read=_read_form)
    return "fresh" if fresh else "dried"


def _displacement(
    desk: Desk, of: str | None, part: str | None, form: Form
) -> tuple[Form, Displacement]:
    """The room a gram of the herb takes up: by the maker's own jars where it is named."""
    if of is None:
        if part is not None:
            raise MisusedError(
                "A part alone is not a herb.", where="--part", do="name it with --of."
            )
        return form, default_displacement(form)
    called = named(of, common=None, part=part)
    if called.say:
        typer.echo(f"{called.say}.", err=True)
    jars = desk.bench.read_alike(called.herb)
    return form, learnt(jars, called.herb, called.part, form)


def _read_form(text: str) -> Form:
    match text.strip().lower():
        case "fresh":
            return "fresh"
        case "dried" | "dry":
            return "dried"
    raise MisusedError(f"{shown(text)!r} is neither.", where="the form", do="Write fresh or dried.")


def _asked(
    desk: Desk,
    herb: str | None,
    by: tuple[Form, Displacement],
    jar: str | None,
    ratio: str | None,
    headspace: str,
) -> _Asked:
    units = desk.bench.practice.units
    if herb is None and jar is None:
        jar = desk.need(None, "Which jar, such as 500 ml", read=str.strip)
    if ratio is None and (herb is None or jar is None):
        ratio = desk.need(None, "Which ratio, such as 1:5", read=str.strip)
    empty = percent(headspace) / 100
    if empty >= 0.9:
        raise MisusedError(
            "That leaves no room for herb.", where="--headspace", do="give less, such as 5%."
        )
    written = herb if herb is not None else jar or ""
    ounces = units if _OUNCES.search(written.lower()) else None
    return _Asked(
        form=by[0],
        by=by[1],
        jar=_vessel(jar, units) if jar is not None else None,
        herb_g=grams(herb, units).value if herb is not None else None,
        ratio=_ratio(ratio, ounces, units) if ratio is not None else None,
        headspace=empty,
        ounces=ounces,
    )


def _vessel(jar: str, units: UnitSystem) -> Vessel:
    """The jar that was given, by the name it is sold under if it is one of the usual sizes."""
    holds_ml = millilitres(jar, units).value
    usual = (*sizing.METRIC_VESSELS, *sizing.US_VESSELS)
    named = (one for one in usual if abs(one.ml - holds_ml) < 0.01)
    return next(named, Vessel(f"{measures.amount(holds_ml)} ml", holds_ml))


def _ratio(text: str, ounces: UnitSystem | None, units: UnitSystem) -> float:
    """R in ml per g."""
    found = _RATIO.fullmatch(text)
    value = float(found[1].replace(",", ".")) if found else 0.0
    if found is None or not 0 < value <= 1000:
        raise MisusedError(
            f"{shown(text)!r} is not a ratio.",
            where="--ratio",
            do="write it like 1:5 or 1:2.5.",
        )
    said = (found[2] or "").lower()
    in_ounces = said == "oz" or (not said and ounces is not None)
    return sizing.ratio_of_ounces(value, units) if in_ounces else value


def _filled(asked: _Asked) -> tuple[Filling, Housed, bool | None]:
    """What belongs together, the jar or jars it goes into, and whether the jar given will do."""
    if asked.jar is not None and asked.herb_g is None:
        assert asked.ratio is not None
        filling = sizing.filling_of_room(asked.room_ml, asked.ratio, asked.form, asked.by)
        return filling, Housed(asked.jar), True
    assert asked.herb_g is not None
    if asked.ratio is None:
        assert asked.jar is not None
        filling = sizing.filling_round_herb(asked.room_ml, asked.herb_g, asked.form, asked.by)
        return filling, Housed(asked.jar), True
    filling = sizing.filling_of_herb(asked.herb_g, asked.ratio, asked.form, asked.by)
    if asked.jar is not None and sizing.fits(filling.filled_ml, asked.jar.ml, asked.headspace):
        return filling, Housed(asked.jar), True
    housed = sizing.vessels_for(filling.filled_ml, asked.vessels, asked.headspace)
    return filling, housed, None if asked.jar is None else False


def _does_not_fit(asked: _Asked, filling: Filling, housed: Housed) -> str:
    assert asked.jar is not None
    name = housed.vessel.name
    would = f"{housed.count} jars of {name}" if housed.count > 1 else f"A {name} jar"
    return (
        f"It does not fit: herb and menstruum fill {filling.filled_ml:.0f} ml, and the "
        f"{asked.jar.name} jar has room for {asked.room_ml:.0f} ml.\n"
        f"{would} would do."
    )


def _mind_tight(filling: Filling, housed: Housed, asked: _Asked) -> None:
    """Where herb and ratio were given, and the jar would only do for herb that packs well."""
    room_ml = housed.count * housed.vessel.ml * (1.0 - asked.headspace)
    if asked.herb_g is not None and asked.ratio is not None:
        badly_ml = filling.filled_band_ml[1]
        if not sizing.fits(badly_ml, room_ml):
            typer.echo(
                f"It is tight: herb that packs badly would fill {badly_ml:.0f} ml, "
                f"and there is room for {room_ml:.0f}.",
                err=True,
            )
