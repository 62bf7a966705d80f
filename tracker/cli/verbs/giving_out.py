"""What becomes of the stock: `dispense`, `count`, `discard`, `restore`."""

from dataclasses import replace
from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.find import extract_of
from tracker.cli.sheet import Sheet, about_of, recording
from tracker.core.facts.extracts import Counted, Discarded, Dispensed, Restored
from tracker.core.shelf.end import DiscardedEnd
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.errors import RefusedError
from tracker.outputs.words.amounts import ml
from tracker.outputs.words.fact_lines import said
from tracker.quantities import Amount, grams, millilitres

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[
    str | None, typer.Argument(help="A jar, extract or bottle: CAOF-26-01A, CAOF-26-01A/3.")
]
Volume = Annotated[str | None, typer.Argument(help="How much; all of it where left out.")]


def _amount(desk: Desk, volume: str | None) -> Amount | None:
    return millilitres(volume, desk.bench.practice.units) if volume else None


@app.command()
@recording
def dispense(
    desk: Desk,
    code: Code = None,
    volume: Volume = None,
    reference: Annotated[
        str | None, typer.Option("--for", help="A reference or initials, never a name.")
    ] = None,
) -> None:
    """Record what was given out of an extract or bottle."""
    code = desk.need(code, "Which extract or bottle", read=str.strip)
    amount = _amount(desk, volume)
    with desk.recording() as sheet:
        thing = extract_of(sheet.find(code), "dispensed")
        fact = Dispensed(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            volume_ml=amount.value if amount else None,
            written=amount.written if amount else None,
            reference=reference,
        )
        sheet.add(thing.code, fact)
        sheet.tell(
            lambda: f"{thing.code} {said(fact)}; {_left(sheet.after(thing.batch.id), thing)}."
        )


@app.command()
@recording
def count(
    desk: Desk,
    code: Code = None,
    volume: Annotated[str | None, typer.Argument(help="What is really there.")] = None,
) -> None:
    """Restate what is really there, as measured on the shelf."""
    units = desk.bench.practice.units
    code = desk.need(code, "Which extract or bottle", read=str.strip)
    amount = desk.need(
        millilitres(volume, units, may_be_none=True) if volume else None,
        "How much is really there",
        read=lambda text: millilitres(text, units, may_be_none=True),
    )
    with desk.recording() as sheet:
        thing = extract_of(sheet.find(code), "counted")
        fact = Counted(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            volume_ml=amount.value,
            written=amount.written,
            known=amount.known,
        )
        before_ml = _volume_ml(thing)
        sheet.add(thing.code, fact)
        missing_ml = before_ml - amount.value
        sheet.tell(
            lambda: (
                f"{thing.code} {said(fact)}; the book said {ml(before_ml)}: "
                f"{ml(abs(missing_ml))} {'unaccounted' if missing_ml >= 0 else 'more'}."
            )
        )


@app.command()
@recording
def discard(
    desk: Desk,
    code: Code = None,
    volume: Volume = None,
    why: Annotated[str | None, typer.Option(help="Why: mould, expired, spilt …")] = None,
) -> None:
    """Record that a jar, extract, bottle or lot was thrown out, all of it or a part."""
    code = desk.need(code, "Which jar, extract, bottle or lot", read=str.strip)
    reason = desk.need(why, "Why", read=str.strip)
    with desk.recording() as sheet:
        thing = sheet.find_any(code)
        if isinstance(thing, Lot):
            fact = _lot_gone(sheet, thing, volume, reason)
        else:
            amount = _amount(desk, volume)
            fact = Discarded(
                about=about_of(thing),
                volume_ml=amount.value if amount else None,
                written=amount.written if amount else None,
                why=reason,
            )
        sheet.add(thing.code, replace(fact, by=desk.by, note=desk.note))
        sheet.tell_fact(thing.code, fact)


def _lot_gone(sheet: Sheet, lot: Lot, amount: str | None, why: str) -> Discarded:
    """So much of a lot thrown out; what the book says is left where nobody says how much."""
    units, left = sheet.desk.bench.practice.units, sheet.left_of(lot)
    is_herb = lot.liquid is None
    read = grams if is_herb else millilitres
    said = read(amount, units) if amount else None
    gone = said.value if said else left or lot.amount  # the gate says that nothing is left
    return Discarded(
        about=about_of(lot),
        herb_g=gone if is_herb else None,
        volume_ml=None if is_herb else gone,
        written=said.written if said else None,
        why=why,
    )


@app.command()
@recording
def restore(
    desk: Desk,
    code: Code = None,
    why: Annotated[str | None, typer.Option(help="Why it is back.")] = None,
) -> None:
    """Take back the last discard of a jar, extract, bottle or lot."""
    code = desk.need(code, "Which jar, extract, bottle or lot", read=str.strip)
    with desk.recording() as sheet:
        thing = sheet.find_any(code)
        fact = Restored(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            discard=_last_discard(sheet, thing),
            why=why,
        )
        sheet.add(thing.code, fact)
        sheet.tell_fact(thing.code, fact)


def _last_discard(sheet: Sheet, thing: Thing | Lot) -> str:
    """The id of the last discard in force of just this thing."""
    if isinstance(thing, Lot):
        in_force, family = list(thing.discards), thing.id
    else:
        in_force = _discards(thing)
        family = thing.batch.id
    own = [
        entry.id
        for entry in sheet.book.entries_of(family)
        if entry.id in in_force
        and isinstance(entry.fact, Discarded)
        and entry.fact.about == about_of(thing)
    ]
    if not own:
        raise RefusedError(
            thing.code,
            "nothing of it was discarded",
            do=f"`stillroom history {thing.code}` shows what was.",
        )
    return own[-1]


def _discards(thing: Thing) -> list[str]:
    """The ids of the discards in force of an extract with its bottles, or of a jar."""
    if thing.extract is not None:
        return list(thing.extract.discards)
    end = thing.jar.end if thing.jar is not None else None
    return [end.event] if isinstance(end, DiscardedEnd) else []


def _volume_ml(thing: Thing) -> float:
    if thing.bottle is not None:
        return thing.bottle.volume_ml
    return thing.extract.volume_ml if thing.extract else 0.0


def _left(batch: Batch, thing: Thing) -> str:
    extract = batch.extract(thing.extract.id) if thing.extract else None
    bottle = extract.bottle(thing.bottle.number) if extract and thing.bottle else None
    left_ml = bottle.volume_ml if bottle else extract.volume_ml if extract else 0.0
    return f"{ml(left_ml)} left"
