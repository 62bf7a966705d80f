"""What else becomes of herb and liquid: `addherb`, `draw`, `recharge`, `steep-again`."""

from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.find import extract_of, jar_of
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
    volume,
    weighed,
)
from tracker.cli.sheet import Sheet, about_of, recording
from tracker.core.facts.fields import Form, HerbFact
from tracker.core.facts.jars import DrawnOff, HerbAdded, Recharged, SteepedAgain
from tracker.core.herbs.names import named
from tracker.core.practice.practice import Rules
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.reckoning import amounts
from tracker.core.rules.checks.steeps import came_from_a_jar
from tracker.core.rules.verdict import Verdict, refusal
from tracker.core.shelf.codes import letter
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import parse_period
from tracker.outputs.words.amounts import ml, ratio_text, strength_text
from tracker.outputs.words.fact_lines import said
from tracker.quantities import percent

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[str | None, typer.Argument(help="The jar, such as CAOF-26-01.")]
Herb = Annotated[str | None, typer.Option(help="The herb, where it is another one.")]
Part = Annotated[str | None, typer.Option(help="The part used, where it is another one.")]
Water = Annotated[str | None, typer.Option(help="Water in the herb, % by mass: 75%.")]
LotCode = Annotated[str | None, typer.Option("--lot", help="The lot the herb is of.")]
Least = Annotated[str | None, typer.Option(help="Shortest time on the herb: 28d.")]
Longest = Annotated[str | None, typer.Option(help="Longest time on the herb.")]
Shake = Annotated[str | None, typer.Option(help='Shake plan: "daily 14d, weekly", or none.')]


@app.command()
@recording
def addherb(
    desk: Desk,
    code: Code = None,
    fresh: Fresh = None,
    dried: Dried = None,
    herb: Herb = None,
    part: Part = None,
    water: Water = None,
    lot: LotCode = None,
    paid: Paid = None,
) -> None:
    """Record that more herb went into a jar; its shortest time runs anew from then."""
    code = desk.need(code, "Which jar", read=str.strip)
    form, weight = weighed(desk, fresh, dried)
    with desk.recording() as sheet:
        thing = sheet.find(code)
        put = _herb(sheet, jar_of(thing, "given more herb"), form, herb, part, lot)
        fact = HerbAdded(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            herb=put.herb,
            common=put.common,
            part=put.part,
            form=form,
            herb_g=weight.value if weight else None,
            herb_written=weight.written if weight else None,
            herb_known=weight.known if weight else "unknown",
            herb_water_pct_mass=percent(water) if water else put.herb_water_pct_mass,
            herb_lot=put.herb_lot,
            herb_paid=money(paid, "--paid"),
        )
        sheet.add(thing.code, fact)
        sheet.tell(lambda: f"{thing.code} {said(fact)}: {_now(sheet.jar_after(thing.batch.id))}")


def _herb(
    sheet: Sheet, jar: Jar, form: Form, herb: str | None, part: str | None, lot: str | None
) -> HerbFact:
    """What herb it is: that of the lot, the one named, or the jar's own."""
    if lot is not None:
        one: Lot = lot_of_herb(sheet, lot)
        of_form(one, form)
        return HerbFact(
            herb=one.herb or jar.herb,
            common=one.common,
            part=part or one.part,
            form=form,
            herb_lot=one.id,
            herb_water_pct_mass=one.water_pct_mass,
        )
    if herb is None:
        return HerbFact(herb=jar.herb, common=jar.common, part=part or jar.part, form=form)
    found = named(herb, common=None, part=part)
    return HerbFact(herb=found.herb, common=found.common, part=found.part, form=form)


def _now(jar: Jar) -> str:
    strength = strength_text(jar)
    strong = f", {strength} % vol" if strength != "–" else ""
    ratio = ratio_text(jar)
    shown = f", {ratio}" if ratio != "–" else ""
    return f"{ml(jar.contents.volume_ml)}{shown}{strong}; press from {amounts.earliest_press(jar)}."


@app.command()
@recording
def draw(
    desk: Desk,
    code: Code = None,
    amount: Annotated[str | None, typer.Argument(help="How much was drawn off.")] = None,
    keeps: Annotated[str | None, typer.Option(help="How long it keeps: 12 months.")] = None,
) -> None:
    """Record liquid drawn off the herb, which stays in; it opens an extract."""
    code = desk.need(code, "Which jar", read=str.strip)
    off = desk.need(
        volume(desk, amount) if amount else None,
        "How much was drawn off",
        read=lambda text: volume(desk, text),
    )
    with desk.recording() as sheet:
        thing = sheet.find(code)
        jar = jar_of(thing, "drawn from")
        rule = parse_period(keeps) if keeps else _rules(desk, jar).keeps
        fact = DrawnOff(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            letter=letter(len(jar.extracts) + 1),
            volume_ml=off.value,
            written=off.written,
            known=off.known,
            keeps=rule.iso,
        )
        opened = sheet.add(jar.code, fact)
        sheet.tell(lambda: _drawn(sheet.jar_after(jar.id), opened))


def _drawn(jar: Jar, opened: str) -> str:
    extract = jar.extract(opened)
    if extract is None:
        return f"{jar.code}: the draw-off is kept, but does not count."
    return (
        f"{jar.code} drawn off {ml(extract.pressed_ml)}: extract {jar.extract_code(extract)}, good "
        f"through {extract.good_through}. In the jar {_now(jar)}"
    )


def _rules(desk: Desk, jar: Jar) -> Rules:
    return desk.bench.practice.rules[jar.preparation]


def _times(least: str | None, longest: str | None, jar: Jar) -> tuple[str, str | None]:
    """The shortest and the longest time of a later steep, as the book writes them."""
    shortest = parse_period(least) if least else jar.least
    is_none = longest is None or longest.strip().lower() in ("none", "never")
    most = None if is_none or longest is None else parse_period(longest)
    must_fit(shortest, most)
    return shortest.iso, most.iso if most else None


@app.command()
@recording
def recharge(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(help="The extract, such as CAOF-26-01A.")] = None,
    fresh: Fresh = None,
    dried: Dried = None,
    amount: Annotated[
        str | None, typer.Option("--volume", help="How much of it; all where left out.")
    ] = None,
    herb: Herb = None,
    part: Part = None,
    water: Water = None,
    lot: LotCode = None,
    paid: Paid = None,
    least: Least = None,
    longest: Longest = None,
    shake: Shake = None,
    meant: Annotated[str | None, typer.Option("--ratio", help="The ratio meant: 1:5.")] = None,
) -> None:
    """Record new herb put in an old extract: it goes back into its jar for a new steep."""
    code = desk.need(code, "Which extract", read=str.strip)
    form, weight = weighed(desk, fresh, dried)
    back = volume(desk, amount) if amount else None
    with desk.recording() as sheet:
        thing = sheet.find(code)
        thing = extract_of(thing, "recharged")
        code = thing.code
        steep = _steep_of(thing)
        put = _herb(sheet, steep, form, herb, part, lot)
        rules = _rules(desk, steep)
        shortest, most = _times(least, longest, steep)
        fact = Recharged(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            volume_ml=back.value if back else None,
            herb=put.herb,
            common=put.common,
            part=put.part,
            form=form,
            herb_g=weight.value if weight else None,
            herb_written=weight.written if weight else None,
            herb_known=weight.known if weight else "unknown",
            herb_water_pct_mass=percent(water) if water else put.herb_water_pct_mass,
            herb_lot=put.herb_lot,
            herb_paid=money(paid, "--paid"),
            least=shortest,
            longest=most,
            shake=parse_shake_plan(shake) if shake else rules.shake,
            ratio_meant=ratio_said(meant),
        )
        sheet.add(code, fact)
        sheet.tell(lambda: f"{code} {said(fact)}. {steep.code}: {_now(sheet.jar_after(steep.id))}")


def _steep_of(thing: Thing) -> Jar:
    """The jar an extract goes back into."""
    if thing.jar is None:
        raise refusal(Verdict.of(came_from_a_jar(thing)).refusals)
    return thing.jar


@app.command("steep-again")
@recording
def steep_again(
    desk: Desk,
    code: Code = None,
    pours: Pours = None,
    least: Least = None,
    longest: Longest = None,
    shake: Shake = None,
) -> None:
    """Record new menstruum poured on the old marc of a jar that was pressed."""
    code = desk.need(code, "Which jar", read=str.strip)
    texts = pours_asked(desk, pours)
    with desk.recording() as sheet:
        thing = sheet.find(code)
        jar = jar_of(thing, "steeped again")
        shortest, most = _times(least, longest, jar)
        fact = SteepedAgain(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            pours=poured(sheet, texts),
            least=shortest,
            longest=most,
            shake=parse_shake_plan(shake) if shake else _rules(desk, jar).shake,
        )
        sheet.add(jar.code, fact)
        sheet.tell(lambda: f"{jar.code} {said(fact)}. {_now(sheet.jar_after(jar.id))}")
