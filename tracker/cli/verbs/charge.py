"""`charge`: day 0 of a maceration."""

import re
import sys
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.pours import (
    Dried,
    Fresh,
    Paid,
    Pours,
    lot_of_herb,
    money,
    must_fit,
    of_form,
    poured,
    pours_asked,
    ratio_said,
    weighed,
)
from tracker.cli.sheet import Sheet, recording
from tracker.core.facts.fields import Form
from tracker.core.facts.jars import Charged
from tracker.core.herbs.names import Named, named
from tracker.core.practice.practice import Practice, preparation
from tracker.core.practice.shake_plan import parse_shake_plan, plan_text
from tracker.core.reckoning.amounts import (
    earliest_press,
    herb_water,
    longest_day,
    poured_ml,
    ratio,
)
from tracker.core.reckoning.cautions import CLOSING, cautions
from tracker.core.reckoning.fortification import keeping_of
from tracker.core.reckoning.lids import has_bare_metal_lid
from tracker.core.shelf.codes import code_stem, is_lot_code, next_numbers
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.core.values.text import shown
from tracker.core.values.times import Period, parse_period
from tracker.outputs.words import outlook
from tracker.outputs.words.amounts import strength_text
from tracker.outputs.words.cautions import caution_text
from tracker.outputs.words.fact_lines import said
from tracker.quantities import millilitres, percent

app = typer.Typer(rich_markup_mode=None)

_OWN_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{0,18}[A-Za-z0-9]")


@app.command()
@recording
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
    lid: Annotated[str | None, typer.Option(help="What the lid is of: glass, metal …")] = None,
    barrier: Annotated[str | None, typer.Option(help="What lies under the lid.")] = None,
    place: Annotated[str | None, typer.Option(help="Where it stands.")] = None,
    lots: Annotated[
        list[str] | None,
        typer.Option("--lot", help="Lot of the herb, or any name of one. May be said again."),
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
    code: Annotated[str | None, typer.Option(help="A code of your own for the jar.")] = None,
    count: Annotated[int, typer.Option(help="So many jars, all alike.", min=1, max=200)] = 1,
) -> None:
    """Put herb and menstruum in a jar: day 0 of the maceration."""
    words = desk.need(herb, "Which herb", read=str.strip)
    form, weight = weighed(desk, fresh, dried)
    texts = pours_asked(desk, pours)
    named_herb = None if is_lot_code(words) else _named(desk, words, common, part)
    practice = desk.bench.practice
    with desk.recording() as sheet:
        lot = _lot(sheet, words, form, lots or ())
        called = named_herb or _as_lot(lot, common, part)
        stated = lot.water_pct_mass if lot else None
        filled = poured(sheet, texts)
        kind = preparation([one.liquid for one in filled], form)
        rules = practice.rules[kind]
        most = _period_or_none(longest) if longest else rules.longest
        shortest = parse_period(least) if least else rules.least
        must_fit(shortest, most if longest else None)
        fact = Charged(
            by=desk.by,
            note=desk.note,
            code="?",
            herb=called.herb,
            common=called.common,
            part=called.part,
            form=form,
            herb_g=weight.value if weight else None,
            herb_written=weight.written if weight else None,
            herb_known=weight.known if weight else "unknown",
            herb_water_pct_mass=percent(water) if water else stated,
            herb_lot=lot.id if lot else None,
            herb_paid=money(paid, "--paid"),
            pours=filled,
            preparation=kind,
            lots=tuple(one for one in lots or () if not is_lot_code(one)),
            jar_ml=millilitres(jar, practice.units).value if jar else None,
            lid=lid,
            barrier=barrier,
            place=place,
            least=shortest.iso,
            longest=most.iso if most else None,
            shake=parse_shake_plan(shake) if shake else rules.shake,
            look_days=rules.look_days,
            ratio_meant=ratio_said(meant),
            ratio_basis="finished" if finished else "poured",
        )
        year, taken = sheet.when.start.year, sheet.book.codes()
        ids = [
            _put(sheet, replace(fact, code=code_given))
            for code_given in next_codes(code, count, code_stem(called.herb, year), taken)
        ]
    _say_cautions(sheet.jar_after(ids[0]))


def _lot(sheet: Sheet, herb: str, form: Form, lots: Sequence[str]) -> Lot | None:
    """The one lot of the herb, named in place of it or beside it."""
    named = [one for one in (herb, *lots) if is_lot_code(one)]
    if not named:
        return None
    if len(named) > 1:
        raise MisusedError(
            "The herb of a jar is of one lot.",
            where="--lot",
            do="add the herb of the other lot with `stillroom addherb`; a spirit's lot is "
            'named in --pour "500 ml LOT-…".',
        )
    lot = lot_of_herb(sheet, named[0])
    of_form(lot, form)
    return lot


def _as_lot(lot: Lot | None, common: str | None, part: str | None) -> Named:
    assert lot is not None
    assert lot.herb is not None
    return Named(lot.herb, common or lot.common, part or lot.part)


def _named(desk: Desk, herb: str, common: str | None, part: str | None) -> Named:
    """The herb for the book; a slip is asked about where a person sits at a terminal."""
    found = named(herb, common=common, part=part)
    if found.meant is not None and sys.stdin.isatty():
        question = f"Did you mean {shown(found.meant.say)}"
        return found.meant if typer.confirm(question, default=False, err=True) else found
    if found.say:
        typer.echo(f"{shown(found.say)}.", err=True)
    return found


def _say_cautions(jar: Jar) -> None:
    """What to be careful of, once for jars all alike; the lid is in the answer itself."""
    careful = [one for one in cautions(jar) if one.kind != "lid"]
    for one in careful:
        label = "Care" if one.kind == "care" else "Caution"
        typer.echo(f"{label}: {caution_text(one)}.", err=True)
    if any(one.kind == "plant" for one in careful):
        typer.echo(CLOSING, err=True)


def _put(sheet: Sheet, fact: Charged) -> str:
    jar_id = sheet.add(fact.code, fact)
    sheet.tell(lambda: f"{fact.code} {said(fact)}.")
    practice = sheet.desk.bench.practice
    sheet.tell(lambda: f"{fact.code}: {_reckoned(sheet.jar_after(jar_id), practice)}")
    return jar_id


def _period_or_none(text: str) -> Period | None:
    return None if text.strip().lower() in ("none", "never") else parse_period(text)


def next_codes(own: str | None, count: int, stem: str, taken: list[str]) -> list[str]:
    """As many free codes as there are jars: the maker's own, or the next in the row."""
    if own is None:
        return next_numbers(stem, taken, count)
    codes = [own] if count == 1 else [f"{own}{number:02d}" for number in range(1, count + 1)]
    return [free_code(one, taken) for one in codes]


def free_code(own: str, taken: Iterable[str]) -> str:
    """A code of the maker's own, if it can be one and is free.

    Raises:
        RefusedError: it is taken, or cannot be a code.
    """
    if not _OWN_CODE.fullmatch(own) or is_lot_code(own):
        raise RefusedError(
            own, "that cannot be a code", do="use letters, digits and hyphens, 2 to 20 of them."
        )
    if own.upper() in {code.upper() for code in taken}:
        raise RefusedError(own, "that code is taken", do="leave --code out, or take another.")
    return own


def _by_water(jar: Jar) -> str:
    """What water was taken for granted, where the maker did not say."""
    water = herb_water(jar)
    if water is None or not water.off_pct:
        return ""
    return f" with herb water of {water.pct_mass:g} % ({water.basis})"


def _reckoned(jar: Jar, practice: Practice) -> str:
    found = ratio(jar)
    parts = [f"{poured_ml(jar):.1f} ml poured"]
    parts += [f"1:{found:.2f}"] if found else []
    strength = strength_text(jar)
    parts += [f"{strength} % vol{_by_water(jar)}"] if strength != "–" else []
    last = longest_day(jar)
    dates = f"press from {earliest_press(jar)}" + (f", not after {last}" if last else "")
    text = f"{', '.join(parts)}; {dates}; shake: {plan_text(jar.shake)}."
    if has_bare_metal_lid(jar):
        text += " Caution: bare metal lid; put a barrier under it."
    keeping = keeping_of(jar, practice)
    if keeping is not None and keeping.level != "fine":
        text += f" {keeping.level.capitalize()}: {outlook.keeping(keeping)}."
    return text
