"""What else becomes of herb and liquid: `top-up`, `add-herb`, `draw`, `recharge`, `steep-again`."""

from typing import Annotated, cast

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.pours import (
    Dried,
    Fresh,
    Paid,
    Pours,
    herb_named,
    lot_of_herb,
    money,
    must_fit,
    of_form,
    poured,
    pours_asked,
    ratio_meant,
    weighed,
)
from tracker.cli.options import ExtractCode, JarCode, one_of, recording
from tracker.cli.rules_of_jar import rules_in
from tracker.core.facts.fields import About, Form, HerbFact
from tracker.core.facts.jars import DrawnOff, HerbAdded, Recharged, SteepedAgain, ToppedUp
from tracker.core.practice.practice import Way
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.rules.checks.jar_state import came_from_a_jar
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.verdict import Verdict, refusal
from tracker.core.shelf.acted_on import steeping, with_marc
from tracker.core.shelf.codes import letter
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import parse_period
from tracker.quantities import percent

app = typer.Typer(rich_markup_mode=None)

Herb = Annotated[str | None, typer.Option(help="The herb, where it is another one.")]
Part = Annotated[str | None, typer.Option(help="The part used, where it is another one.")]
Water = Annotated[str | None, typer.Option(help="Water in the herb, % by mass: 75%.")]
LotCode = Annotated[str | None, typer.Option("--lot", help="The lot of the herb.")]
Least = Annotated[str | None, typer.Option(help="Shortest time on the herb: 28d.")]
Longest = Annotated[str | None, typer.Option(help="Longest time on the herb.")]
Why = Annotated[str | None, typer.Option(help="Why it is used past its date, or with none known.")]
Shake = Annotated[str | None, typer.Option(help='Shake plan: "daily 14d, weekly", or none.')]


@app.command()
@recording
def top_up(desk: Desk, code: JarCode = None, pours: Pours = None) -> Recorded:
    """Record more menstruum poured onto the herb."""
    named, texts = desk.code(code, "Which jar"), pours_asked(desk, pours)
    thing = desk.find(named, steeping)
    return desk.record(thing.code, ToppedUp(about=about_of(thing), pours=poured(desk, texts)))


@app.command()
@recording
def add_herb(
    desk: Desk,
    code: JarCode = None,
    fresh: Fresh = None,
    dried: Dried = None,
    herb: Herb = None,
    part: Part = None,
    water: Water = None,
    lot: LotCode = None,
    paid: Paid = None,
) -> Recorded:
    """Record more herb put into a jar.

    Its shortest time starts again from then.
    """
    named = desk.code(code, "Which jar")
    form, weight = weighed(desk, fresh, dried)
    jar = desk.jar(named, "given more herb")
    put = _herb(desk, jar, form, herb, part, lot)
    fact = HerbAdded(
        about=About(jar=jar.id),
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
    return desk.record(jar.code, fact)


def _herb(
    desk: Desk, jar: Jar, form: Form, herb: str | None, part: str | None, lot: str | None
) -> HerbFact:
    """What herb it is: that of the lot, the one named, or the jar's own."""
    if lot is not None:
        one = lot_of_herb(desk, lot)
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
    found = herb_named(desk, herb, None, part)
    return HerbFact(herb=found.herb, common=found.common, part=found.part, form=form)


@app.command()
@recording
def draw(
    desk: Desk,
    code: JarCode = None,
    amount: Annotated[str | None, typer.Argument(help="How much was drawn off.")] = None,
    keeps: Annotated[str | None, typer.Option(help="How long it keeps: 12 months.")] = None,
) -> Recorded:
    """Record liquid drawn off the herb, which stays in.

    It opens an extract.
    """
    named, off = desk.code(code, "Which jar"), desk.volume(amount, "How much was drawn off")
    jar = desk.jar(named, "drawn from")
    rule = parse_period(keeps) if keeps else rules_in(desk, jar).keeps
    fact = DrawnOff(
        about=About(jar=jar.id),
        letter=letter(len(jar.extracts) + 1),
        volume_ml=off.value,
        written=off.written,
        known=off.known,
        keeps=rule.iso,
    )
    return desk.record(jar.code, fact)


def _times(desk: Desk, least: str | None, longest: str | None, jar: Jar) -> tuple[str, str | None]:
    """The shortest and the longest time of a later steep, as the book writes them."""
    shortest = parse_period(least) if least else jar.least or rules_in(desk, jar).least
    is_none = longest is None or longest.strip().lower() in ("none", "never")
    most = None if is_none or longest is None else parse_period(longest)
    must_fit(shortest, most)
    return shortest.iso, most.iso if most else None


@app.command()
@recording
def recharge(
    desk: Desk,
    code: ExtractCode = None,
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
    why: Why = None,
) -> Recorded:
    """Record new herb put in an old extract.

    It goes back into its jar for a new steep.
    """
    named = desk.code(code, "Which extract")
    form, weight = weighed(desk, fresh, dried)
    back = desk.volume_if(amount)
    thing = desk.extract(named, "recharged")
    steep = _steep_of(thing)
    put = _herb(desk, steep, form, herb, part, lot)
    shortest, most = _times(desk, least, longest, steep)
    fact = Recharged(
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
        shake=parse_shake_plan(shake) if shake else rules_in(desk, steep, "maceration").shake,
        ratio_meant=ratio_meant(meant),
        past_date_why=why.strip() or None if why else None,
    )
    return desk.record(thing.code, fact)


def _steep_of(thing: Thing) -> Jar:
    """The jar an extract goes back into."""
    if thing.jar is None:
        raise refusal(Verdict.of(came_from_a_jar(thing)).refusals)
    return thing.jar


@app.command("steep-again")
@recording
def steep_again(
    desk: Desk,
    code: JarCode = None,
    pours: Pours = None,
    least: Least = None,
    longest: Longest = None,
    shake: Shake = None,
    why: Why = None,
    way: Annotated[str | None, typer.Option(help="How: maceration, percolation, simmered.")] = None,
) -> Recorded:
    """Record new menstruum poured on the old marc of a jar.

    The jar was pressed before, and its marc kept.
    """
    named, texts = desk.code(code, "Which jar"), pours_asked(desk, pours)
    jar = desk.jar(named, "steeped again", with_marc)
    made = cast("Way", one_of(way or "maceration", Way, "--way"))
    rules = rules_in(desk, jar, made)
    shortest, most = _times(desk, least or (rules.least.iso if way else None), longest, jar)
    fact = SteepedAgain(
        about=About(jar=jar.id),
        pours=poured(desk, texts),
        least=shortest,
        longest=most,
        shake=parse_shake_plan(shake) if shake else rules.shake,
        way=made,
        past_date_why=why.strip() or None if why else None,
    )
    return desk.record(jar.code, fact)
