"""From herb to bottle: `press`, `filter`, `bottle`."""

from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.find import extract_of, jar_of
from tracker.cli.sheet import Sheet, about_of, one_of, recording
from tracker.core.facts.extracts import Bottled, Filtered, Pressed
from tracker.core.facts.fields import About, Marc
from tracker.core.reckoning import amounts, likely_yield
from tracker.core.reckoning.sizing import FLUID_OUNCE_ML
from tracker.core.shelf.codes import letter
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.times import parse_period
from tracker.outputs.words import outlook
from tracker.outputs.words.amounts import days_text, ml
from tracker.outputs.words.fact_lines import said
from tracker.quantities import bottles as bottle_run
from tracker.quantities import millilitres

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[str | None, typer.Argument(help="The code, such as CAOF-26-01A.")]
Volume = Annotated[str | None, typer.Argument(help="How much: 370 ml, 28.5 fl oz.")]


_METHODS = ("hand", "cloth", "ricer", "screw press", "hydraulic press")


@app.command()
@recording
def press(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(help="The jar, such as CAOF-26-01.")] = None,
    volume: Volume = None,
    how: Annotated[str | None, typer.Option("--with", help=f"How: {', '.join(_METHODS)} …")] = None,
    marc: Annotated[str | None, typer.Option(help="What becomes of it: kept, composted.")] = None,
    keeps: Annotated[str | None, typer.Option(help="How long it keeps: 12 months.")] = None,
) -> None:
    """Record a pressing: what came out opens an extract."""
    practice = desk.bench.practice
    code = desk.need(code, "Which jar", read=str.strip)
    amount = desk.need(
        millilitres(volume, practice.units) if volume else None,
        "How much came out",
        read=lambda text: millilitres(text, practice.units),
    )
    with desk.recording() as sheet:
        jar = jar_of(sheet.find(code), "pressed")
        rule = parse_period(keeps) if keeps else practice.rules[jar.preparation].keeps
        fact = Pressed(
            by=desk.by,
            note=desk.note,
            about=About(jar=jar.id),
            letter=letter(len(jar.extracts) + 1),
            volume_ml=amount.value,
            written=amount.written,
            known=amount.known,
            how=how,
            marc=one_of(marc.lower(), Marc, "--marc") if marc else None,
            keeps=rule.iso,
        )
        opened = sheet.add(jar.code, fact)
        sheet.tell(lambda: _pressed(sheet, sheet.jar_after(jar.id), opened))


def _pressed(sheet: Sheet, jar: Jar, opened: str) -> str:
    extract, today = jar.extract(opened), sheet.now.date()
    if extract is None:
        return f"{jar.code}: the pressing is kept, but does not count."
    text = f"{jar.code} pressed {ml(extract.pressed_ml)}"
    bound_ml, held = amounts.hard_bound_ml(jar), amounts.held_ml_per_g(jar)
    text += f" of {amounts.poured_ml(jar):.1f} ml poured" if bound_ml else ""
    text += f"; the marc held {held:.2f} ml per g" if held is not None else ""
    text += f"; {days_text(jar, today)} days on the herb."
    opened_code = jar.extract_code(extract)
    text += f" Extract {opened_code}, good through {extract.good_through}."
    return text + _odd(sheet, jar, extract)


def _odd(sheet: Sheet, jar: Jar, extract: Extract) -> str:
    """A second look at a volume outside the likely band: a warning, never a refusal."""
    alike = sheet.book.pressed_alike(jar.herb)
    likely = likely_yield.likely_by_method(jar, alike, extract.how)
    if not likely_yield.is_odd(jar, extract.pressed_ml, likely):
        return ""
    usual = f"{outlook.likely(likely)} would be usual" if likely else "That is little"
    ounce_ml = FLUID_OUNCE_ML[sheet.desk.bench.practice.units]
    meant_ml = likely_yield.if_ounces_ml(extract.pressed_ml, jar, likely, ounce_ml)
    in_ounces = f" (the other way it is {meant_ml:.0f} ml)" if meant_ml else ""
    return f" {usual}: ml or oz{in_ounces}? Which jar?{_would_fit(sheet, jar, extract)}"


def _would_fit(sheet: Sheet, jar: Jar, extract: Extract) -> str:
    """The jars that are still to be pressed, and of which such a yield would be usual."""
    codes = [
        other.code
        for other in sheet.book.jars(live_only=True)
        if other.is_macerating
        and other.id != jar.id
        and (likely := likely_yield.likely_by_method(other, (), extract.how))
        and not likely_yield.is_odd(other, extract.pressed_ml, likely)
    ]
    if not codes:
        return ""
    more = f" and {len(codes) - 3} more" if len(codes) > 3 else ""
    return f" It would be usual for {', '.join(codes[:3])}{more}."


@app.command("filter")
@recording
def filter_(
    desk: Desk,
    code: Code = None,
    volume: Volume = None,
    before: Annotated[str | None, typer.Option(help="How much there was before.")] = None,
    through: Annotated[str | None, typer.Option(help="Through what: paper, cloth …")] = None,
) -> None:
    """Record that an extract was filtered, and what there is of it now."""
    units = desk.bench.practice.units
    code = desk.need(code, "Which extract", read=str.strip)
    amount = desk.need(
        millilitres(volume, units) if volume else None,
        "How much is there after the filter",
        read=lambda text: millilitres(text, units),
    )
    with desk.recording() as sheet:
        thing = extract_of(sheet.find(code), "filtered")
        fact = Filtered(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            volume_ml=amount.value,
            before_ml=millilitres(before, units).value if before else None,
            written=amount.written,
            known=amount.known,
            through=through,
        )
        sheet.add(thing.code, fact)
        sheet.tell(
            lambda: f"{thing.code} {said(fact)}: {_loss(sheet.after(thing.batch.id), thing)}."
        )


def _loss(batch: Batch, thing: Thing) -> str:
    extract = batch.extract(thing.extract.id) if thing.extract else None
    if extract is None:
        return "nothing changed"
    return f"{ml(extract.filter_loss_ml)} lost, {extract.filter_loss_ml / extract.pressed_ml:.1%}"


@app.command()
@recording
def bottle(
    desk: Desk,
    code: Code = None,
    sizes: Annotated[
        list[str] | None, typer.Argument(help="Sizes and counts: 3x100ml 1x50ml.")
    ] = None,
) -> None:
    """Record bottles filled from an extract; the rest stays in it."""
    units = desk.bench.practice.units
    code = desk.need(code, "Which extract", read=str.strip)
    texts = desk.need(sizes or None, "Which bottles, such as 3x100ml 1x50ml", read=str.split)
    with desk.recording() as sheet:
        thing = extract_of(sheet.find(code), "bottled")
        filled = thing.extract.bottles if thing.extract else []
        first, runs = max((one.number for one in filled), default=0) + 1, []
        for text in texts:
            run = bottle_run(text, first, units)
            runs.append(run)
            first += run.count
        fact = Bottled(by=desk.by, note=desk.note, about=about_of(thing), bottles=tuple(runs))
        sheet.add(thing.code, fact)
        sheet.tell(lambda: _bottled(sheet.after(thing.batch.id), thing, said(fact)))


def _bottled(batch: Batch, thing: Thing, words: str) -> str:
    extract = batch.extract(thing.extract.id) if thing.extract else None
    if extract is None:
        return f"{thing.code} {words}."
    return (
        f"{thing.code} {words}; {ml(extract.volume_ml)} left in bulk. "
        f"Good through {extract.good_through}, as the pressing."
    )
