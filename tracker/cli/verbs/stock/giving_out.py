"""What becomes of the stock: `dispense`, `count`, `discard`, `restore`."""

from collections.abc import Callable
from functools import partial
from typing import Annotated

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.options import recording
from tracker.core.facts.extracts import Counted, Discarded, Dispensed, Restored
from tracker.core.facts.ties import opener_of
from tracker.core.rules.checks.repeated import SOON
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf import acted_on
from tracker.core.shelf.end import DiscardedEnd
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.command_words import command
from tracker.core.values.errors import RefusedError
from tracker.quantities import Amount, millilitres

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[
    str | None, typer.Argument(help="A jar, extract or bottle: CAOF-26-01A, CAOF-26-01A/3.")
]
Volume = Annotated[str | None, typer.Argument(help="How much; all of it where left out.")]

_WHICH = "Which jar, extract, bottle or lot"


@app.command()
@recording
def dispense(
    desk: Desk,
    code: Code = None,
    volume: Volume = None,
    reference: Annotated[
        str | None, typer.Option("--for", help="A reference or initials, never a name.")
    ] = None,
) -> Recorded:
    """Record what was given out, from an extract, bottle or jar.

    A jar leaves whole, with its herb.
    """
    named, amount = desk.code(code, "Which jar, extract or bottle"), desk.volume_if(volume)
    fits = acted_on.to_give_out if amount is None else acted_on.liquids
    thing = desk.find(named, fits)
    is_jar = thing.kind == "jar" and thing.jar is not None and thing.jar.is_macerating
    if not is_jar or amount is not None:
        thing = desk.extract(thing.code, "dispensed")
    fact = Dispensed(
        about=about_of(thing),
        volume_ml=amount.value if amount else None,
        written=amount.written if amount else None,
        reference=reference,
    )
    return desk.record(thing.code, fact)


@app.command()
@recording
def count(
    desk: Desk,
    code: Code = None,
    amount: Annotated[
        str | None, typer.Argument(help="What is really there: 640 ml, 850 g.")
    ] = None,
) -> Recorded:
    """Say what is really there of an extract, bottle or lot.

    Give what was measured; what is missing is said.
    """
    units = desk.bench.practice.units
    named = desk.code(code, "Which extract, bottle or lot")
    thing = desk.find_any(named, acted_on.liquids)
    is_herb = isinstance(thing, Lot) and thing.liquid is None
    read = partial(_reader(thing), units=units, may_be_none=True)
    there = desk.need(
        read(amount) if amount else None, "How much is really there", read=lambda text: read(text)
    )
    if not isinstance(thing, Lot):
        thing = desk.extract(thing.code, "counted")
    fact = Counted(
        about=about_of(thing),
        volume_ml=None if is_herb else there.value,
        herb_g=there.value if is_herb else None,
        written=there.written,
        known=there.known,
    )
    return desk.record(thing.code, fact)


@app.command()
@recording
def discard(
    desk: Desk,
    code: Code = None,
    volume: Volume = None,
    why: Annotated[str | None, typer.Option(help="Why: mould, expired, spilt …")] = None,
) -> Recorded:
    """Record that something was thrown out, all of it or a part."""
    named, reason = desk.code(code, _WHICH), desk.need(why, "Why", read=str.strip)
    thing = desk.find_any(named)
    if isinstance(thing, Lot):
        return desk.record(thing.code, _lot_gone(desk, thing, volume, reason))
    desk.remarks += _may_never_have_been(desk, thing)
    amount = desk.volume_if(volume)
    fact = Discarded(
        about=about_of(thing),
        volume_ml=amount.value if amount else None,
        written=amount.written if amount else None,
        why=reason,
    )
    return desk.record(thing.code, fact)


def _may_never_have_been(desk: Desk, thing: Thing) -> list[str]:
    """What else may be meant where a jar is thrown out that was recorded a moment ago."""
    opener = opener_of(thing.batch.id)
    opened = [one for one in desk.book.entries_of(thing.batch.id) if one.id == opener]
    if thing.kind != "jar" or not opened or desk.book.now - opened[0].recorded > SOON:
        return []
    return [
        f"{thing.code} was recorded only just now. If it never was, `stillroom undo` takes "
        "this back, and once more the jar."
    ]


def _reader(thing: Lot | Thing) -> Callable[..., Amount]:
    """How an amount of it is read: herb and sugar are weighed, any other liquid is measured."""
    if not isinstance(thing, Lot) or thing.liquid not in (None, "sugar"):
        return millilitres
    from tracker.cli.given.pour_named import amount_of_lot

    return partial(amount_of_lot, thing)


def _lot_gone(desk: Desk, lot: Lot, amount: str | None, why: str) -> Discarded:
    """So much of a lot thrown out; what the book says is left where no amount is given."""
    units, left = desk.bench.practice.units, desk.book.left_of(lot)
    is_herb = lot.liquid is None
    given = _reader(lot)(amount, units) if amount else None
    gone = given.value if given else left or lot.amount  # the gate says that nothing is left
    return Discarded(
        about=about_of(lot),
        herb_g=gone if is_herb else None,
        volume_ml=None if is_herb else gone,
        written=given.written if given else None,
        why=why,
    )


@app.command()
@recording
def restore(
    desk: Desk,
    code: Code = None,
    why: Annotated[str | None, typer.Option(help="Why it is back.")] = None,
) -> Recorded:
    """Take back the last discard of something."""
    named = desk.code(code, _WHICH)
    thing = desk.find_any(named, acted_on.thrown_out)
    fact = Restored(about=about_of(thing), discard=_last_discard(desk, thing), why=why)
    return desk.record(thing.code, fact)


def _last_discard(desk: Desk, thing: Thing | Lot) -> str:
    """The id of the last discard in force of just this thing."""
    if isinstance(thing, Lot):
        in_force, family = list(thing.discards), thing.id
    else:
        in_force = _discards(thing)
        family = thing.batch.id
    own = [
        entry.id
        for entry in desk.book.entries_of(family)
        if entry.id in in_force
        and isinstance(entry.fact, Discarded)
        and entry.fact.about == about_of(thing)
    ]
    if not own:
        raise RefusedError(
            thing.code,
            "nothing of it was discarded",
            do=f"`{command('history', thing.code)}` shows what was.",
        )
    return own[-1]


def _discards(thing: Thing) -> list[str]:
    """The ids of the discards in force of an extract with its bottles, or of a jar."""
    if thing.extract is not None:
        return list(thing.extract.discards)
    end = thing.jar.end if thing.jar is not None else None
    return [end.event] if isinstance(end, DiscardedEnd) else []
