"""What happens while the herb is in: `shake`, `look`, `topup`, `move`."""

from functools import partial
from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.find import jar_of
from tracker.cli.pours import Pours, poured, pours_asked
from tracker.cli.sheet import Sheet, about_of, one_of, recording
from tracker.core.facts.fields import Sign, Verdict
from tracker.core.facts.jars import LookedAt, Moved, Shaken, ToppedUp
from tracker.core.reckoning.amounts import poured_ml
from tracker.core.rules.reminders import every_line, next_shake
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing, whole
from tracker.core.values.errors import MisusedError
from tracker.outputs.words.amounts import ratio_text, strength_text
from tracker.outputs.words.ingredients import pours as pours_text
from tracker.quantities import millilitres

app = typer.Typer(rich_markup_mode=None)

Codes = Annotated[list[str] | None, typer.Argument(help="Codes, such as CAOF-26-01.")]
Code = Annotated[str | None, typer.Argument(help="The code, such as CAOF-26-01.")]


@app.command()
@recording
def shake(
    desk: Desk,
    codes: Codes = None,
    every: Annotated[
        bool, typer.Option("--all", help="Every jar with herb in it on that day.")
    ] = False,
    only_due: Annotated[
        bool, typer.Option("--due", help="Every jar whose shake is due on that day.")
    ] = False,
) -> None:
    """Record that jars were shaken."""
    whole = every or only_due
    if whole and (codes or (every and only_due)):
        raise MisusedError(
            "Either jars are named, or --all, or --due.", where="shake", do="say one of them."
        )
    if not whole:
        codes = desk.need(codes or None, "Which jars", read=str.split)
    with desk.recording() as sheet:
        things = _on_the_shelf(sheet, only_due) if whole else map(sheet.find, codes or ())
        jars = {}
        for thing in things:
            jar = jar_of(thing, "shaken")
            jars[jar.id] = jar.code
        if not jars:
            what = "No shake is due" if only_due else "There is no jar to shake"
            typer.echo(f"{what} on {sheet.when}.", err=True)
            return
        fact = Shaken(by=desk.by, note=desk.note, jars=tuple(jars))
        sheet.add(" ".join(jars.values()), fact)
        for jar_id in jars:
            sheet.tell(partial(_shaken, sheet, jar_id))


def _on_the_shelf(sheet: Sheet, only_due: bool) -> list[Thing]:
    """The jars that could be shaken on the day, as they stood then; or those that were due."""
    if not sheet.when.is_exact:
        raise MisusedError(
            f"{sheet.when} is not one day.",
            where="--when",
            do="say the day the shelf was shaken, such as 2025-03-03, or name the jars.",
        )
    bench, day = sheet.desk.bench, sheet.when.earliest
    shelf = sheet.book.jars_on(day)
    if only_due:
        lines = every_line(shelf, bench.practice, day)
        due = {line.code for line in lines if line.what == "shake"}
        shelf = [jar for jar in shelf if jar.code in due]
    return [whole(jar) for jar in shelf]


@app.command()
@recording
def look(
    desk: Desk,
    codes: Codes = None,
    signs: Annotated[
        list[str] | None,
        typer.Option("--sign", help="mould, flecks, level, smell, lid, cloudy, other."),
    ] = None,
    verdict: Annotated[str, typer.Option(help="fine, watch or hold.")] = "fine",
    lid: Annotated[str | None, typer.Option(help="A new lid: glass, plastic, metal …")] = None,
    barrier: Annotated[str | None, typer.Option(help="What lies under the lid now.")] = None,
) -> None:
    """Record that jars or extracts were looked at, and what was seen."""
    codes = desk.need(codes or None, "Which jars", read=str.split)
    with desk.recording() as sheet:
        for code in codes:
            thing = sheet.find(code)
            fact = LookedAt(
                by=desk.by,
                note=desk.note,
                about=about_of(thing),
                signs=tuple(one_of(sign, Sign, "--sign") for sign in signs or ()),
                verdict=one_of(verdict, Verdict, "--verdict"),
                lid=lid,
                barrier=barrier,
            )
            sheet.add(thing.code, fact)
            sheet.tell_fact(thing.code, fact)


@app.command()
@recording
def topup(desk: Desk, code: Code = None, pours: Pours = None) -> None:
    """Record that more menstruum was poured onto the herb."""
    code = desk.need(code, "Which jar", read=str.strip)
    texts = pours_asked(desk, pours)
    with desk.recording() as sheet:
        thing = sheet.find(code)
        filled = poured(sheet, texts)
        sheet.add(
            thing.code,
            ToppedUp(by=desk.by, note=desk.note, about=about_of(thing), pours=filled),
        )
        sheet.tell(
            lambda: _topped_up(thing.code, pours_text(filled), sheet.jar_after(thing.batch.id))
        )


@app.command()
@recording
def move(
    desk: Desk,
    codes: Codes = None,
    to: Annotated[str | None, typer.Option("--to", help="Where it stands now.")] = None,
    jar: Annotated[str | None, typer.Option(help="The size of the jar it is in now.")] = None,
    lid: Annotated[str | None, typer.Option(help="The lid it has now.")] = None,
    barrier: Annotated[str | None, typer.Option(help="What lies under the lid now.")] = None,
) -> None:
    """Record that jars or extracts stand elsewhere, or in another vessel."""
    codes = desk.need(codes or None, "Which jars", read=str.split)
    if not (to or jar or lid or barrier):
        to = desk.need(None, "Where to", read=str.strip)
    size = millilitres(jar, desk.bench.practice.units) if jar else None
    with desk.recording() as sheet:
        for code in codes:
            thing = sheet.find(code)
            fact = Moved(
                by=desk.by,
                note=desk.note,
                about=about_of(thing),
                place=to,
                jar_ml=size.value if size else None,
                lid=lid,
                barrier=barrier,
            )
            sheet.add(thing.code, fact)
            sheet.tell_fact(thing.code, fact)


def _shaken(sheet: Sheet, jar_id: str) -> str:
    jar = sheet.jar_after(jar_id)
    following = next_shake(jar, sheet.desk.bench.today())
    then = f"; next {following}" if following else ""
    return f"{jar.code} shaken {sheet.when}{then}."


def _topped_up(code: str, poured: str, jar: Jar) -> str:
    strength = strength_text(jar)
    strong = f", {strength} % vol" if strength != "–" else ""
    in_all = f"{poured_ml(jar):.1f} ml in all, {ratio_text(jar)}{strong}"
    return f"{code} topped up with {poured}: {in_all}."
