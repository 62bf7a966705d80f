"""What is brought in: `gather`, `buy`, `dry`, `found`."""

from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.given.codes_given import next_codes, next_lot_code
from tracker.cli.given.days_given import guessed_charge
from tracker.cli.given.pours import Dried as DriedWeight
from tracker.cli.given.pours import Fresh, Paid, herb_named, lot_of_herb, money, read_pour, weighed
from tracker.cli.options import Belongs, recording
from tracker.core.facts.fields import About, Form
from tracker.core.facts.jars import Found
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.codes import code_stem
from tracker.core.values.errors import MisusedError
from tracker.core.values.times import parse_period
from tracker.pours.reading import begins_a_pour, pour
from tracker.quantities import Amount, grams, percent

app = typer.Typer(rich_markup_mode=None)

Herb = Annotated[str | None, typer.Argument(help="Latin name, or any name.")]
Part = Annotated[str | None, typer.Option(help="The part: flower, root, leaf …")]
Common = Annotated[str | None, typer.Option(help="The common name.")]
Where = Annotated[str | None, typer.Option("--from", help="Where it is from.")]
Water = Annotated[str | None, typer.Option(help="Water in the herb, % by mass: 75%.")]


def _must_know(weight: Amount | None) -> Amount:
    if weight is None:
        raise MisusedError(
            "A lot needs a weight.", where="its weight", do="weigh it, or write about 500 g."
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
) -> Recorded:
    """Record herb gathered: a lot that jars are charged from."""
    called = herb_named(desk, desk.code(herb, "Which herb"), common, part)
    form, weight = weighed(desk, fresh, dried)
    amount = _must_know(weight)
    fact = Gathered(
        code=next_lot_code(desk),
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
    return desk.record(fact.code, fact)


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
) -> Recorded:
    """Record herb, spirit or another liquid bought, as a lot.

    Jars are charged from it.
    """
    words = desk.need(what, "What was bought, such as 700 ml 45%", read=str.strip)
    price = money(paid, "--paid")
    if begins_a_pour(words) and fresh is None and dried is None:
        units = desk.bench.practice.units
        bought = read_pour(desk, desk.settled(words, lambda text: pour(text, units)))
        assert bought.liquid != "extract"  # of which nothing is bought
        fact = Bought(
            code=next_lot_code(desk),
            liquid=bought.liquid,
            volume_ml=bought.volume_ml,
            ethanol_pct_vol=bought.ethanol_pct_vol,
            glycerin_pct_mass=bought.glycerin_pct_mass,
            name=bought.name,
            written=bought.written,
            known=bought.known,
            where=where,
            their_lot=their_lot,
            paid=price,
        )
        return desk.record(fact.code, fact)
    called = herb_named(desk, words, common, part)
    form, weight = weighed(desk, fresh, dried)
    amount = _must_know(weight)
    herb = BoughtHerb(
        code=next_lot_code(desk),
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
    return desk.record(herb.code, herb)


@app.command()
@recording
def dry(
    desk: Desk,
    lot: Annotated[str | None, typer.Argument(help="The lot, such as LOT-26-01.")] = None,
    after: Annotated[str | None, typer.Argument(help="What it weighs dried: 180 g.")] = None,
    before: Annotated[
        str | None, typer.Option("--of", help="How much of it, fresh; all where left out.")
    ] = None,
) -> Recorded:
    """Record fresh herb of a lot dried.

    What is left of it is a lot of its own.
    """
    units = desk.bench.practice.units
    code = desk.need(lot, "Which lot", read=str.strip)
    dried = desk.need(
        grams(after, units) if after else None,
        "What does it weigh dried",
        read=lambda text: grams(text, units),
    )
    fresh = lot_of_herb(desk, code)
    fresh_g = grams(before, units).value if before else desk.book.left_of(fresh) or fresh.amount
    fact = Dried(
        about=About(jar=fresh.id),
        code=next_lot_code(desk),
        fresh_g=fresh_g,
        herb_g=dried.value,
        written=dried.written,
        known=dried.known,
    )
    return desk.record(fresh.code, fact)


@app.command()
@recording
def found(
    desk: Desk,
    herb: Herb = None,
    form: Annotated[
        str | None, typer.Option(help="fresh or dried, as far as it can be told; else dried.")
    ] = None,
    part: Part = None,
    common: Common = None,
    amount: Annotated[
        str | None, typer.Option("--volume", help="How much liquid stands in it.")
    ] = None,
    jar: Annotated[str | None, typer.Option(help="The size of the jar.")] = None,
    lid: Annotated[str | None, typer.Option(help="What the lid is made of.")] = None,
    barrier: Annotated[str | None, typer.Option(help="What lies under the lid.")] = None,
    place: Annotated[str | None, typer.Option(help="Where it stands.")] = None,
    belongs: Belongs = None,
    charged: Annotated[
        str | None,
        typer.Option(help="When it may have been charged, as a guess: 2023-summer, 2023."),
    ] = None,
    least: Annotated[
        str | None, typer.Option(help="The shortest time on the herb, as a guess: 42d.")
    ] = None,
    longest: Annotated[str | None, typer.Option(help="The longest time on the herb.")] = None,
    code: Annotated[str | None, typer.Option(help="A code of your own for the jar.")] = None,
) -> Recorded:
    """Record a jar of unknown history found on the shelf.

    It is on hold until released.
    """
    called = herb_named(desk, desk.code(herb, "Which herb does it seem"), common, part)
    there, size = desk.volume_if(amount), desk.volume_if(jar)
    stem = code_stem(called.herb, desk.happened.start.year)
    (given,) = next_codes(code, 1, stem, desk.book.codes())
    began, precision = guessed_charge(desk, charged or "unknown", "--charged")
    fact = Found(
        code=given,
        herb=called.herb,
        common=called.common,
        part=called.part,
        form=_form(form or "dried"),
        volume_ml=there.value if there else None,
        written=there.written if there else None,
        jar_ml=size.value if size else None,
        lid=lid,
        barrier=barrier,
        place=place,
        belongs_to=belongs,
        charged_from=began,
        charged_precision=precision,
        least=parse_period(least).iso if least else None,
        longest=parse_period(longest).iso if longest else None,
    )
    return desk.record(given, fact)


def _form(text: str) -> Form:
    match text.strip().lower():
        case "fresh":
            return "fresh"
        case "dried":
            return "dried"
    raise MisusedError(f"{text!r} is neither.", where="--form", do="write fresh or dried.")
