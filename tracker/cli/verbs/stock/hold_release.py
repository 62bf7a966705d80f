"""What may not be given out: `hold`, `release`."""

from collections.abc import Sequence
from typing import Annotated

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.lots_named import the_named
from tracker.cli.given.several_codes import All, codes_or_all, each_once
from tracker.cli.options import Why, recording
from tracker.core.facts.amendments import Held, Released
from tracker.core.reckoning.flows.named_lots import NamedLots, key_of
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.acted_on import on_hold
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, whole
from tracker.core.values.command_words import command
from tracker.core.values.errors import RefusedError, UnknownCodeError

app = typer.Typer(rich_markup_mode=None)

Codes = Annotated[
    list[str] | None, typer.Argument(help="Jars, extracts or lots: CAOF-26-01A, LOT-26-01.")
]
_WHICH = "Which jar, extract or lot"


@app.command()
@recording
def hold(desk: Desk, codes: Codes = None, every: All = False, why: Why = None) -> Recorded:
    """Put something on hold: nothing of it is used until released."""
    named = codes_or_all(desk, codes, every, question=_WHICH)
    reason = _reason(desk, why, named)
    things = each_once(desk.find_any(code) for code in named)
    return desk.record_all((one.code, Held(about=about_of(one), why=reason)) for one in things)


@app.command()
@recording
def release(desk: Desk, codes: Codes = None, every: All = False, why: Why = None) -> Recorded:
    """Release something from hold, and say why.

    The name of a lot that is not in the book releases all that was called back with it.
    """
    named = codes_or_all(desk, codes, every, on_hold, _WHICH)
    reason = _reason(desk, why, named)
    things = each_once(one for code in named for one in _called(desk, code))
    return desk.record_all((one.code, Released(about=about_of(one), why=reason)) for one in things)


def _reason(desk: Desk, why: str | None, named: Sequence[str]) -> str:
    such_as = command(desk.verb, *named, options="--why …")
    return desk.need(why, "Why", read=str.strip, such_as=such_as)


def _called(desk: Desk, code: str) -> list[Thing | Lot]:
    """What a code names, or all that is on hold with a lot that only charges name so."""
    try:
        return [desk.find_any(code, on_hold)]
    except UnknownCodeError as unknown:
        batches = desk.book.batches()
        key = the_named(code, NamedLots(batches, desk.book.lots()), unknown)
        holds = [(one, one.hold) for one in batches]
        found = [one for one, hold in holds if hold and hold.named and key_of(hold.named) == key]
        if not found:
            raise RefusedError(
                code, "nothing is on hold with that lot", do="`stillroom trace` shows its jars."
            ) from None
        return [whole(one) for one in found]
