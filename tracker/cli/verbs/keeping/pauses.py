"""Reminders that wait: `away` for all of them, `later` for one."""

from datetime import date
from typing import Annotated, cast

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.days_given import day_to_come
from tracker.cli.options import Codes, one_of, recording
from tracker.core.facts.amendments import Away, Later
from tracker.core.facts.fields import Waiting
from tracker.core.facts.ties import HOUSE
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.reminders import line_to_put_off
from tracker.core.values.day_words import short_day
from tracker.core.values.errors import MisusedError

app = typer.Typer(rich_markup_mode=None)

_AWAY = "the days away"


@app.command()
@recording
def away(
    desk: Desk,
    first: Annotated[str | None, typer.Argument(help="The first day: 2026-07-05.")] = None,
    last: Annotated[str | None, typer.Argument(help="The last day: 2026-07-19.")] = None,
) -> Recorded:
    """No reminders from one day through another.

    What will happen meanwhile is named before.
    """
    today = desk.bench.today()
    begin = day_to_come(desk, desk.need(first, "First day away", read=str.strip), today, _AWAY)
    end = day_to_come(desk, desk.need(last, "Last day away", read=str.strip), begin, _AWAY)
    if end < begin:
        raise MisusedError(
            f"{short_day(end)} comes before {short_day(begin)}.",
            where=_AWAY,
            do="give the first day, then the last.",
        )
    return desk.record(HOUSE, Away(first=begin, last=end))


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
) -> Recorded:
    """Put off one reminder of a jar or extract until a day.

    It comes back then.
    """
    if codes and until is None and len(codes) > 1:
        codes, until = codes[:-1], codes[-1]
    named = desk.codes(codes)
    day = _until(desk, desk.need(until, "Until when, such as 3d or 10 Jul", read=str.strip))
    kind = None if what is None else one_of(what, Waiting, "--what")
    facts = []
    for thing in map(desk.find, named):
        line = line_to_put_off(thing, desk.bench.practice, desk.bench.today(), kind)
        about, waiting = about_of(thing), cast("Waiting", line.what)
        facts.append((line.code, Later(about=about, what=waiting, until=day)))
    return desk.record_all(facts)


def _until(desk: Desk, text: str) -> date:
    today = desk.bench.today()
    day = day_to_come(desk, text, today, "until when")
    if day <= today:
        raise MisusedError(
            f"{short_day(day, today.year)} has come already.",
            where="until when",
            do=f"name a day after {short_day(today, today.year)}, or a time such as 3d.",
        )
    return day
