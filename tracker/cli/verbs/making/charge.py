"""`charge`: day 0 of a maceration."""

from collections.abc import Sequence
from typing import Annotated, cast

import typer
from msgspec.structs import replace

from tracker.cli.desk import Desk
from tracker.cli.given.codes_given import next_codes
from tracker.cli.given.like import charged_like, takes_like
from tracker.cli.given.lots_named import herb_lot, own_names
from tracker.cli.given.pours import (
    Dried,
    Fresh,
    Paid,
    Pours,
    herb_named,
    liquids_in,
    lot_of_herb,
    money,
    must_fit,
    of_form,
    poured,
    pours_asked,
    ratio_meant,
    weighed,
)
from tracker.cli.options import Belongs, Filled, one_of, recording
from tracker.core.facts.fields import Form
from tracker.core.facts.jars import Charged
from tracker.core.herbs.written_names import Named
from tracker.core.practice.practice import Rules, Way, preparation
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.codes import code_stem
from tracker.core.shelf.lot import Lot
from tracker.core.values.errors import MisusedError
from tracker.core.values.times import Period, parse_period
from tracker.quantities import percent

app = typer.Typer(rich_markup_mode=None)


@app.command()
@recording
@takes_like(charged_like, "As that jar was charged, but for what is given: CAOF-26-01.")
def charge(
    desk: Desk,
    herb: Annotated[
        str | None, typer.Argument(help="Latin name, any name, or a lot of herb.")
    ] = None,
    part: Annotated[str | None, typer.Option(help="The part used: flower, root, leaf …")] = None,
    fresh: Fresh = None,
    dried: Dried = None,
    pours: Pours = None,
    common: Annotated[str | None, typer.Option(help="The common name.")] = None,
    water: Annotated[str | None, typer.Option(help="Water in the herb, % by mass: 75%.")] = None,
    jar: Annotated[str | None, typer.Option(help="Size of the jar: 750 ml, 1 quart.")] = None,
    filled: Filled = None,
    lid: Annotated[str | None, typer.Option(help="What the lid is made of: glass, metal …")] = None,
    barrier: Annotated[str | None, typer.Option(help="What lies under the lid.")] = None,
    place: Annotated[str | None, typer.Option(help="Where it stands.")] = None,
    belongs: Belongs = None,
    lots: Annotated[
        list[str] | None,
        typer.Option("--lot", help="Lot of the herb, or any name of one. Can be repeated."),
    ] = None,
    paid: Paid = None,
    least: Annotated[str | None, typer.Option(help="Shortest time on the herb: 28d.")] = None,
    longest: Annotated[str | None, typer.Option(help="Longest time on the herb, or none.")] = None,
    shake: Annotated[
        str | None, typer.Option(help='Shake plan: "daily 14d, weekly", or none.')
    ] = None,
    meant: Annotated[str | None, typer.Option("--ratio", help="The ratio meant: 1:5.")] = None,
    finished: Annotated[
        bool, typer.Option("--finished", help="The ratio meant is by finished volume.")
    ] = False,
    way: Annotated[
        str | None, typer.Option(help="How it is made: maceration, percolation, double, simmered.")
    ] = None,
    code: Annotated[str | None, typer.Option(help="A code of your own for the jar.")] = None,
    count: Annotated[int, typer.Option(help="How many jars, all alike.", min=1, max=200)] = 1,
) -> Recorded:
    """Put herb and menstruum in a jar: day 0 of the maceration."""
    words = desk.need(herb, "Which herb", read=str.strip)
    form, weight = weighed(desk, fresh, dried)
    texts = pours_asked(desk, pours)
    lot, names = _lot(desk, words, form, lots or ())
    is_lot = _in_place_of_herb(desk, words, form) is not None
    named = (common, part)
    called = _as_lot(lot, *named) if is_lot else herb_named(desk, words, *named, asks=True)
    liquids = poured(desk, texts)
    kind = preparation(liquids_in(desk, liquids), form)
    made = cast("Way", one_of(way or "maceration", Way, "--way"))
    rules = desk.bench.practice.rules_for(kind, made)
    shortest, most = _how_long(rules, least, longest)
    size, stood = desk.volume_if(jar), desk.volume_if(filled)
    fact = Charged(
        code="?",
        herb=called.herb,
        common=called.common,
        part=called.part,
        form=form,
        herb_g=weight.value if weight else None,
        herb_written=weight.written if weight else None,
        herb_known=weight.known if weight else "unknown",
        herb_water_pct_mass=percent(water) if water else lot.water_pct_mass if lot else None,
        herb_lot=lot.id if lot else None,
        herb_paid=money(paid, "--paid"),
        pours=liquids,
        preparation=kind,
        lots=own_names(desk, names),
        jar_ml=size.value if size else None,
        filled_ml=stood.value if stood else None,
        filled_written=stood.written if stood else None,
        filled_known=stood.known if stood else "measured",
        lid=lid,
        barrier=barrier,
        place=place,
        least=shortest.iso,
        longest=most.iso if most else None,
        shake=parse_shake_plan(shake) if shake else rules.shake,
        look_days=rules.look_days,
        ratio_meant=ratio_meant(meant),
        ratio_basis="finished" if finished else "poured",
        way=made,
        belongs_to=belongs,
    )
    return _record_each(desk, fact, code, count)


def _record_each(desk: Desk, fact: Charged, code: str | None, count: int) -> Recorded:
    """So many jars, all alike, each under a code of its own."""
    stem = code_stem(fact.herb, desk.happened.start.year)
    codes = next_codes(code, count, stem, desk.book.codes())
    return desk.record_all((one, replace(fact, code=one)) for one in codes)


def _how_long(rules: Rules, least: str | None, longest: str | None) -> tuple[Period, Period | None]:
    """The least and the longest that it stands: as given, or by the rules."""
    most = _period_or_none(longest) if longest else rules.longest
    shortest = parse_period(least) if least else rules.least
    must_fit(shortest, most if longest else None)
    return shortest, most


def _lot(desk: Desk, herb: str, form: Form, lots: Sequence[str]) -> tuple[Lot | None, list[str]]:
    """The one lot of the herb, named in place of it or beside it, and names of other lots."""
    found = [(one, herb_lot(desk, one, form)) for one in lots]
    named = [lot for lot in (_in_place_of_herb(desk, herb, form), *dict(found).values()) if lot]
    if len({lot.id for lot in named}) > 1:
        raise MisusedError(
            "The herb of a jar is of one lot.",
            where="--lot",
            do="add the herb of the other lot with `stillroom add-herb`; a spirit's lot is "
            'named in --pour "500 ml LOT-…".',
        )
    names = [text for text, lot in found if lot is None]
    if not named:
        return None, names
    lot = lot_of_herb(desk, named[0].code)
    of_form(lot, form)
    return lot, names


def _in_place_of_herb(desk: Desk, text: str, form: Form) -> Lot | None:
    """The lot named where a herb could be: only what has a number in it is taken for one."""
    return herb_lot(desk, text, form) if any(map(str.isdecimal, text)) else None


def _as_lot(lot: Lot | None, common: str | None, part: str | None) -> Named:
    assert lot is not None
    assert lot.herb is not None
    return Named(lot.herb, common or lot.common, part or lot.part)


def _period_or_none(text: str) -> Period | None:
    return None if text.strip().lower() in ("none", "never") else parse_period(text)
