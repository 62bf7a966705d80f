"""What is seen of a jar, and where it stands: `look`, `move`."""

from datetime import date
from typing import Annotated, cast

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.days_given import day_to_come
from tracker.cli.given.several_codes import All, codes_or_all, each_once
from tracker.cli.given.signs_given import signs_named
from tracker.cli.options import Codes, Filled, one_of, recording
from tracker.core.facts.fields import Verdict
from tracker.core.facts.jars import LookedAt, Moved
from tracker.core.reckoning.signs import verdict_of
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.thing import Thing
from tracker.core.values.errors import MisusedError

app = typer.Typer(rich_markup_mode=None)


@app.command()
@recording
def look(
    desk: Desk,
    codes: Codes = None,
    every: All = False,
    signs: Annotated[
        list[str] | None,
        typer.Option(
            "--sign",
            help="mould, slime, gas, smell (an off one), flecks, cloudy, level, sediment, taste, "
            "colour, lid, other. Can be repeated.",
        ),
    ] = None,
    verdict: Annotated[
        str | None,
        typer.Option(
            help="fine, watch or hold. Without it the signs decide: hold for mould, slime, gas "
            "or smell; watch for flecks, cloudy or level; else fine."
        ),
    ] = None,
    again: Annotated[
        str | None,
        typer.Option(help="When to look again: 3d, 2025-03-09, none. After watch: the practice."),
    ] = None,
    filled: Filled = None,
) -> Recorded:
    """Record what was seen of jars or extracts."""
    named, stood = codes_or_all(desk, codes, every), desk.volume_if(filled)
    if stood is not None and len(named) > 1:
        raise MisusedError(
            "What it stands at is read of one jar.", where="--filled", do="name one jar."
        )
    seen = signs_named(signs or ())
    found = (
        verdict_of(seen)
        if verdict is None
        else cast("Verdict", one_of(verdict, Verdict, "--verdict"))
    )
    day = _again_on(desk, again, found)
    return desk.record_all(
        (
            thing.code,
            LookedAt(
                about=about_of(thing),
                signs=seen,
                verdict=found,
                again_on=day,
                lifts=_to_lift(thing, found),
                filled_ml=stood.value if stood else None,
                filled_written=stood.written if stood else None,
                filled_known=stood.known if stood else "measured",
            ),
        )
        for thing in each_once(map(desk.find, named))
    )


def _to_lift(thing: Thing, verdict: Verdict) -> str | None:
    """The hold of an earlier look that this one lifts."""
    hold = None if verdict == "hold" else thing.held_by_look
    return hold.event if hold is not None else None


def _again_on(desk: Desk, again: str | None, verdict: Verdict) -> date | None:
    """The day to look again: as given, or after a watch as the practice has it."""
    if again is None:
        rule = desk.bench.practice.look_again
        return rule.after(desk.happened.latest) if rule and verdict == "watch" else None
    if again.strip().lower() in ("none", "never"):
        return None
    return day_to_come(desk, again, desk.happened.latest, "--again")


@app.command()
@recording
def move(
    desk: Desk,
    codes: Codes = None,
    every: All = False,
    to: Annotated[str | None, typer.Option("--to", help="Where it stands now.")] = None,
    jar: Annotated[str | None, typer.Option(help="The size of the jar it is in now.")] = None,
    lid: Annotated[
        str | None, typer.Option(help="The lid it has now: glass, plastic, metal …")
    ] = None,
    barrier: Annotated[str | None, typer.Option(help="What lies under the lid now.")] = None,
    belongs: Annotated[
        str | None,
        typer.Option("--belongs", help="Whose it is now: a reference, or none for nobody's."),
    ] = None,
) -> Recorded:
    """Record where something stands now, its lid, or whose it is.

    A jar, extract or bottle may stand elsewhere, in another vessel, under another lid.
    """
    named = codes_or_all(desk, codes, every)
    if not (to or jar or lid or barrier or belongs):
        to = desk.need(None, "Where to", read=str.strip)
    size = desk.volume_if(jar)
    jar_ml = size.value if size else None
    return desk.record_all(
        (
            thing.code,
            Moved(
                about=about_of(thing),
                place=to,
                jar_ml=jar_ml,
                lid=lid,
                barrier=barrier,
                belongs_to=belongs,
            ),
        )
        for thing in each_once(map(desk.find, named))
    )
