"""Reminders that wait: `away` for all of them, `later` for one."""

from datetime import date
from typing import Annotated, cast

import typer

from tracker.cli.desk import Desk
from tracker.cli.sheet import Sheet, about_of, one_of, recording
from tracker.core.facts.amendments import Away, Later
from tracker.core.facts.fields import Waiting
from tracker.core.rules.away import Stay
from tracker.core.rules.before_leaving import while_away
from tracker.core.rules.reminders import Due, line_to_put_off
from tracker.core.values.errors import MisusedError
from tracker.core.values.times import parse_period, parse_when
from tracker.outputs.words.due_lines import why_due

app = typer.Typer(rich_markup_mode=None)

Codes = Annotated[list[str] | None, typer.Argument(help="Codes, such as CAOF-26-01.")]


@app.command()
@recording
def away(
    desk: Desk,
    first: Annotated[str | None, typer.Argument(help="The first day: 2026-07-05.")] = None,
    last: Annotated[str | None, typer.Argument(help="The last day: 2026-07-19.")] = None,
) -> None:
    """No reminders from one day through another; what will happen meanwhile is said before."""
    first = desk.need(first, "First day away", read=str.strip)
    last = desk.need(last, "Last day away", read=str.strip)
    stay = Stay(_day(desk, first), _day(desk, last))
    if stay.last < stay.first:
        raise MisusedError(
            f"{stay.last} comes before {stay.first}.",
            where="the days away",
            do="say the first day, then the last.",
        )
    with desk.recording() as sheet:
        fact = Away(by=desk.by, note=desk.note, first=stay.first, last=stay.last)
        event_id = sheet.add("house", fact)
        sheet.tell(
            lambda: (
                f"Away {stay.first} through {stay.last}: no reminders. "
                f"`stillroom strike {_called(sheet, event_id)}` takes it back."
            )
        )
        for line in while_away(sheet.book.batches(live_only=True), stay):
            _tell_line(sheet, line)


def _called(sheet: Sheet, event_id: str) -> str:
    """The number that a fact of the sheet has, or would have, in the book."""
    return sheet.book.names_of(sheet.recorded.entries)[event_id]


def _tell_line(sheet: Sheet, line: Due) -> None:
    sheet.tell(lambda: f"{line.code} {why_due(line)}.")


@app.command()
@recording
def later(
    desk: Desk,
    codes: Codes = None,
    until: Annotated[
        str | None, typer.Argument(help="How long, or until which day: 3d, 2026-07-10.")
    ] = None,
    what: Annotated[
        str | None, typer.Option(help="Which reminder, where a code has several.")
    ] = None,
) -> None:
    """Put off the one reminder a jar or extract has until a day, and be told again then."""
    if codes and until is None and len(codes) > 1:
        codes, until = codes[:-1], codes[-1]
    codes = desk.need(codes or None, "Which jars", read=str.split)
    until = desk.need(until, "Until when, such as 3d or 2026-07-10", read=str.strip)
    with desk.recording() as sheet:
        day = _until(desk, until)
        for code in codes:
            thing = sheet.find(code)
            line = line_to_put_off(thing, desk.bench.practice, desk.bench.today(), _what(what))
            about = about_of(thing)
            fact = Later(
                by=desk.by,
                note=desk.note,
                about=about,
                what=cast("Waiting", line.what),
                until=day,
            )
            sheet.add(line.code, fact)
            sheet.tell_fact(line.code, fact)


def _day(desk: Desk, text: str) -> date:
    found = parse_when(text, desk.bench.now(), desk.bench.practice.hemisphere)
    if found.precision not in ("day", "time"):
        raise MisusedError(
            f"{text!r} is not one day.", where="the day", do="write it like 2026-07-05."
        )
    return found.earliest


def _until(desk: Desk, text: str) -> date:
    today = desk.bench.today()
    try:
        day = parse_period(text).after(today)
    except (ValueError, MisusedError):
        day = _day(desk, text)
    if day <= today:
        raise MisusedError(
            f"{day} has come already.",
            where="until when",
            do=f"name a day after {today}, or a time such as 3d.",
        )
    return day


def _what(text: str | None) -> str | None:
    return None if text is None else one_of(text, Waiting, "--what")
