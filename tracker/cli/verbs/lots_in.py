"""What comes into the house: `gather`, `buy`, `dry`, `found`."""

from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.pours import Dried as DriedWeight
from tracker.cli.pours import Fresh, Paid, lot_of_herb, money, volume, weighed
from tracker.cli.sheet import Sheet, recording
from tracker.cli.verbs.charge import free_code
from tracker.core.facts.fields import About, Form
from tracker.core.facts.jars import Found
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered
from tracker.core.herbs.names import Named, named
from tracker.core.shelf.codes import code_stem, lot_stem, next_numbers
from tracker.core.shelf.contents import DROP_ML
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.core.values.text import shown
from tracker.outputs.words.fact_lines import said
from tracker.quantities import Amount, grams, percent, pour

app = typer.Typer(rich_markup_mode=None)

Herb = Annotated[str | None, typer.Argument(help="Latin name, or any name.")]
Part = Annotated[str | None, typer.Option(help="The part: flower, root, leaf …")]
Common = Annotated[str | None, typer.Option(help="The common name.")]
Where = Annotated[str | None, typer.Option("--from", help="Where it is from.")]
Water = Annotated[str | None, typer.Option(help="Water in the herb, % by mass: 75%.")]


def _named(herb: str, common: str | None, part: str | None) -> Named:
    found = named(herb, common=common, part=part)
    if found.say:
        typer.echo(f"{shown(found.say)}.", err=True)
    return found


def _code(sheet: Sheet) -> str:
    """The code of the next lot of the year."""
    taken = [lot.code for lot in sheet.lots()]
    return next_numbers(lot_stem(sheet.when.start.year), taken)[0]


def _must_know(weight: Amount | None) -> Amount:
    if weight is None:
        raise MisusedError(
            "A lot wants a weight.", where="its weight", do="weigh it, or say about 500 g."
        )
    return weight


@app.command()
@recording
def gather(
    desk: Desk,
    herb: Herb = None,
    part: Part = None,
    fresh: Fresh = None,
    dried: DriedWeight = None,
    common: Common = None,
    water: Water = None,
    where: Where = None,
    paid: Paid = None,
) -> None:
    """Record herb gathered: a lot that jars are charged from."""
    called = _named(desk.need(herb, "Which herb", read=str.strip), common, part)
    form, weight = weighed(desk, fresh, dried)
    amount = _must_know(weight)
    with desk.recording() as sheet:
        fact = Gathered(
            by=desk.by,
            note=desk.note,
            code=_code(sheet),
            herb=called.herb,
            common=called.common,
            part=called.part,
            form=form,
            herb_g=amount.value,
            written=amount.written,
            known=amount.known,
            water_pct_mass=percent(water) if water else None,
            where=where,
            paid=money(paid, "--paid"),
        )
        sheet.add(fact.code, fact)
        sheet.tell_fact(fact.code, fact)


@app.command()
@recording
def buy(
    desk: Desk,
    what: Annotated[
        str | None, typer.Argument(help='A herb, or a liquid: "700 ml 45% vodka".')
    ] = None,
    part: Part = None,
    fresh: Fresh = None,
    dried: DriedWeight = None,
    common: Common = None,
    water: Water = None,
    where: Where = None,
    their_lot: Annotated[
        str | None, typer.Option("--their-lot", help="The merchant's own lot number.")
    ] = None,
    paid: Paid = None,
) -> None:
    """Record herb, spirit or another liquid bought: a lot that jars are charged from."""
    words = desk.need(what, "What was bought, such as 700 ml 45%", read=str.strip)
    price = money(paid, "--paid")
    if words[:1].isdecimal() and fresh is None and dried is None:
        bought = pour(words, desk.bench.practice.units)
        with desk.recording() as sheet:
            fact = Bought(
                by=desk.by,
                note=desk.note,
                code=_code(sheet),
                liquid=bought.liquid,
                volume_ml=bought.volume_ml,
                ethanol_pct_vol=bought.ethanol_pct_vol,
                name=bought.name,
                written=bought.written,
                known=bought.known,
                where=where,
                their_lot=their_lot,
                paid=price,
            )
            sheet.add(fact.code, fact)
            sheet.tell_fact(fact.code, fact)
        return
    called = _named(words, common, part)
    form, weight = weighed(desk, fresh, dried)
    amount = _must_know(weight)
    with desk.recording() as sheet:
        herb = BoughtHerb(
            by=desk.by,
            note=desk.note,
            code=_code(sheet),
            herb=called.herb,
            common=called.common,
            part=called.part,
            form=form,
            herb_g=amount.value,
            written=amount.written,
            known=amount.known,
            water_pct_mass=percent(water) if water else None,
            where=where,
            their_lot=their_lot,
            paid=price,
        )
        sheet.add(herb.code, herb)
        sheet.tell_fact(herb.code, herb)


@app.command()
@recording
def dry(
    desk: Desk,
    lot: Annotated[str | None, typer.Argument(help="The lot, such as LOT-26-01.")] = None,
    after: Annotated[str | None, typer.Argument(help="What it weighs dried: 180 g.")] = None,
    before: Annotated[
        str | None, typer.Option("--of", help="How much of it, fresh; all where left out.")
    ] = None,
) -> None:
    """Record fresh herb of a lot dried: what is left of it is a lot of its own."""
    units = desk.bench.practice.units
    code = desk.need(lot, "Which lot", read=str.strip)
    dried = desk.need(
        grams(after, units) if after else None,
        "What does it weigh dried",
        read=lambda text: grams(text, units),
    )
    with desk.recording() as sheet:
        fresh = lot_of_herb(sheet, code)
        if fresh.form != "fresh":
            raise RefusedError(fresh.code, "it is dry already", do="name a lot of fresh herb.")
        left_g = sheet.left_of(fresh)
        fresh_g = grams(before, units).value if before else left_g
        if fresh_g > left_g + DROP_ML or not fresh_g:
            raise RefusedError(
                fresh.code,
                f"by the book {left_g:g} g of it are left",
                do="read the scales again, or correct what was used of it.",
            )
        if dried.value > fresh_g:
            raise RefusedError(
                fresh.code,
                f"{dried.value:g} g dried is more than the {fresh_g:g} g that were fresh",
                do="read the scales again.",
            )
        fact = Dried(
            by=desk.by,
            note=desk.note,
            about=About(jar=fresh.id),
            code=_code(sheet),
            fresh_g=fresh_g,
            herb_g=dried.value,
            written=dried.written,
            known=dried.known,
        )
        sheet.add(fresh.code, fact)
        lost = 1 - dried.value / fresh_g
        sheet.tell(lambda: f"{fresh.code} {said(fact)}, {lost:.0%} lost.")


@app.command()
@recording
def found(
    desk: Desk,
    herb: Herb = None,
    form: Annotated[str, typer.Option(help="fresh or dried, as far as it can be told.")] = (
        "dried"
    ),
    part: Part = None,
    common: Common = None,
    amount: Annotated[
        str | None, typer.Option("--volume", help="How much liquid stands in it.")
    ] = None,
    jar: Annotated[str | None, typer.Option(help="The size of the jar.")] = None,
    lid: Annotated[str | None, typer.Option(help="What the lid is of.")] = None,
    barrier: Annotated[str | None, typer.Option(help="What lies under the lid.")] = None,
    place: Annotated[str | None, typer.Option(help="Where it stands.")] = None,
    code: Annotated[str | None, typer.Option(help="A code of your own for the jar.")] = None,
) -> None:
    """Record a jar of unknown history found on the shelf: it is on hold until released."""
    called = _named(desk.need(herb, "Which herb does it seem", read=str.strip), common, part)
    there = volume(desk, amount) if amount else None
    size = volume(desk, jar) if jar else None
    with desk.recording() as sheet:
        taken = desk.bench.codes()
        stem = code_stem(called.herb, sheet.when.start.year)
        fact = Found(
            by=desk.by,
            note=desk.note,
            code=free_code(code, taken) if code else next_numbers(stem, taken)[0],
            herb=called.herb,
            common=called.common,
            part=called.part,
            form=_form(form),
            volume_ml=there.value if there else None,
            written=there.written if there else None,
            jar_ml=size.value if size else None,
            lid=lid,
            barrier=barrier,
            place=place,
        )
        sheet.add(fact.code, fact)
        sheet.tell(lambda: f"{fact.code} {said(fact)}. It is on hold until it is released.")


def _form(text: str) -> Form:
    match text.strip().lower():
        case "fresh":
            return "fresh"
        case "dried":
            return "dried"
    raise MisusedError(f"{text!r} is neither.", where="--form", do="say fresh or dried.")
