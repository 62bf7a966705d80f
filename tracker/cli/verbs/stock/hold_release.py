"""What may not be given out: `hold`, `release`."""

from typing import Annotated

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.options import Why, recording
from tracker.core.facts.amendments import Held, Released
from tracker.core.rules.recorded import Recorded

app = typer.Typer(rich_markup_mode=None)

Codes = Annotated[
    list[str] | None, typer.Argument(help="Jars, extracts or lots: CAOF-26-01A, LOT-26-01.")
]
_WHICH = "Which jar, extract or lot"


@app.command()
@recording
def hold(desk: Desk, codes: Codes = None, why: Why = None) -> Recorded:
    """Put jars, extracts or lots on hold: nothing of them is used until they are released."""
    named, reason = desk.codes(codes, _WHICH), desk.need(why, "Why", read=str.strip)
    things = [desk.book.find_any(code) for code in named]
    return desk.record_all((one.code, Held(about=about_of(one), why=reason)) for one in things)


@app.command()
@recording
def release(desk: Desk, codes: Codes = None, why: Why = None) -> Recorded:
    """Release jars, extracts or lots from hold, and say why."""
    named, reason = desk.codes(codes, _WHICH), desk.need(why, "Why", read=str.strip)
    things = [desk.book.find_any(code) for code in named]
    return desk.record_all((one.code, Released(about=about_of(one), why=reason)) for one in things)
