"""Extracts put together and seen to: `blend`, `make-up`, `dilute`, `settle`, `refill`."""

import re
from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.find import extract_of
from tracker.cli.pours import Pours, poured, pours_asked, volume
from tracker.cli.sheet import Sheet, about_of, recording
from tracker.cli.verbs.charge import next_codes
from tracker.core.facts.extracts import Blended, Diluted, MadeUp, Refilled, Settled
from tracker.core.facts.fields import Portion
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.thing import Batch, Thing, a_kind
from tracker.core.values.errors import MisusedError, QuantityError, RefusedError
from tracker.outputs.words.amounts import ml, ratio_text, strength_text
from tracker.outputs.words.fact_lines import said
from tracker.quantities import Amount, millilitres

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[str | None, typer.Argument(help="The extract, such as CAOF-26-01A.")]
Volume = Annotated[str | None, typer.Argument(help="How much there is of it now.")]

_PART = re.compile(r"\s*(\d[\d.,]*)\s*(.*?)\s+(\S+)\s*")


@app.command()
@recording
def blend(
    desk: Desk,
    parts: Annotated[
        list[str] | None,
        typer.Option("--part", help='So much of one: "40 ml CAOF-26-01A". Say it again.'),
    ] = None,
    total: Annotated[
        str | None, typer.Option(help="All parts in proportion to this: 200 ml.")
    ] = None,
    measured: Annotated[
        str | None, typer.Option(help="What the blend came to, where it was measured.")
    ] = None,
    code: Annotated[str | None, typer.Option("--code", help="A code of your own for it.")] = None,
) -> None:
    """Record extracts put together; the blend keeps the earliest good-through of its parts."""
    texts = desk.need(parts or None, "Which parts, such as 40 ml CAOF-26-01A", read=_lines)
    whole, came_to = _volume(desk, total), _volume(desk, measured)
    with desk.recording() as sheet:
        taken = _portions(sheet, texts, whole)
        _must_be_several([one.code for one, _ in taken])
        stem = f"BLEND-{sheet.when.start.year % 100:02d}-"
        (given,) = next_codes(code, 1, stem, sheet.book.codes())
        fact = Blended(
            by=desk.by,
            note=desk.note,
            code=given,
            parts=tuple(portion for _, portion in taken),
            volume_ml=came_to.value if came_to else None,
            written=came_to.written if came_to else None,
        )
        event = sheet.add(given, fact)
        sheet.tell(lambda: _blended(sheet.after(event), [one for one, _ in taken], fact))


def _must_be_several(codes: list[str]) -> None:
    twice = next((one for one in codes if codes.count(one) > 1), None)
    if len(codes) < 2 or twice is not None:
        raise MisusedError(
            f"{twice} is named twice." if twice else "One extract alone is no blend.",
            where="--part",
            do="say two or more, and of each all that went in.",
        )


def _lines(text: str) -> list[str]:
    return [one.strip() for one in text.split("+")]


def _volume(desk: Desk, text: str | None) -> Amount | None:
    return volume(desk, text) if text else None


def _portions(sheet: Sheet, texts: list[str], whole: Amount | None) -> list[tuple[Thing, Portion]]:
    """Each part with the thing it is taken from; in proportion where a whole was said."""
    units = sheet.desk.bench.practice.units
    read = [_part(text) for text in texts]
    if whole is not None and not any(unit for _, unit, _ in read):
        # Bare numbers: so many parts of the whole.
        amounts = [millilitres(f"{number} ml", units).value for number, _, _ in read]
    else:
        amounts = [millilitres(f"{number} {unit}", units).value for number, unit, _ in read]
    if whole is not None:
        amounts = [whole.value * amount / sum(amounts) for amount in amounts]
    found = []
    for (number, unit, code), amount in zip(read, amounts, strict=True):
        thing = extract_of(sheet.find(code), "blended")
        written = f"{number} {unit}".strip()
        about = about_of(thing)
        found.append((thing, Portion(about=about, volume_ml=amount, written=written)))
    return found


def _part(text: str) -> tuple[str, str, str]:
    part = _PART.fullmatch(text)
    if part is None:
        raise QuantityError(text, "no amount and code", do="write it like 40 ml CAOF-26-01A.")
    return part[1], part[2], part[3]


def _blended(made: Batch, things: list[Thing], fact: Blended) -> str:
    parts = " + ".join(
        f"{ml(part.volume_ml)} of {thing.code}"
        for thing, part in zip(things, fact.parts, strict=True)
    )
    extract = made.extracts[0]
    return (
        f"{made.code} blended: {parts}: {ml(extract.volume_ml)}, {ratio_text(made, extract.made)}, "
        f"{strength_text(extract.made)} % vol, good through {extract.good_through}, the "
        "earliest of its parts."
    )


@app.command("make-up")
@recording
def make_up(
    desk: Desk,
    code: Code = None,
    to: Annotated[str | None, typer.Option(help="The volume it was made up to.")] = None,
    pours: Pours = None,
) -> None:
    """Record an extract made up to a volume with fresh menstruum."""
    code = desk.need(code, "Which extract", read=str.strip)
    texts = pours_asked(desk, pours)
    after = desk.need(
        _volume(desk, to), "Made up to how much", read=lambda text: volume(desk, text)
    )
    with desk.recording() as sheet:
        thing = extract_of(sheet.find(code), "made up")
        filled = poured(sheet, texts)
        fact = MadeUp(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            pours=filled,
            volume_ml=after.value,
            written=after.written,
        )
        sheet.add(thing.code, fact)
        sheet.tell(lambda: _mixed(sheet, thing, said(fact)))


@app.command()
@recording
def dilute(
    desk: Desk,
    code: Code = None,
    pours: Pours = None,
    to: Annotated[str | None, typer.Option(help="What it came to, where measured.")] = None,
) -> None:
    """Record an extract diluted or sweetened."""
    code = desk.need(code, "Which extract", read=str.strip)
    texts = pours_asked(desk, pours)
    after = _volume(desk, to)
    with desk.recording() as sheet:
        thing = extract_of(sheet.find(code), "diluted")
        filled = poured(sheet, texts)
        fact = Diluted(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            pours=filled,
            volume_ml=after.value if after else None,
            written=after.written if after else None,
        )
        sheet.add(thing.code, fact)
        sheet.tell(lambda: _mixed(sheet, thing, said(fact)))


def _mixed(sheet: Sheet, thing: Thing, words: str) -> str:
    batch = sheet.after(thing.batch.id)
    extract = _now(batch, thing)
    return (
        f"{thing.code} {words}: {ml(extract.volume_ml)}, {ratio_text(batch, extract.made)}, "
        f"{strength_text(extract.made)} % vol; good through {extract.good_through}."
    )


def _now(batch: Batch, thing: Thing) -> Extract:
    assert thing.extract is not None
    return batch.extract(thing.extract.id) or thing.extract


@app.command()
@recording
def settle(
    desk: Desk,
    code: Code = None,
    amount: Volume = None,
    before: Annotated[str | None, typer.Option(help="How much there was before.")] = None,
) -> None:
    """Record an extract poured off its lees, and what there is of it now."""
    code = desk.need(code, "Which extract", read=str.strip)
    after = desk.need(
        _volume(desk, amount),
        "How much is there without the lees",
        read=lambda text: volume(desk, text),
    )
    was = _volume(desk, before)
    with desk.recording() as sheet:
        thing = extract_of(sheet.find(code), "settled")
        fact = Settled(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            volume_ml=after.value,
            before_ml=was.value if was else None,
            written=after.written,
            known=after.known,
        )
        sheet.add(thing.code, fact)
        sheet.tell(
            lambda: (
                f"{thing.code} {said(fact)}; lees "
                f"{ml(_now(sheet.after(thing.batch.id), thing).lees_ml)}."
            )
        )


@app.command()
@recording
def refill(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(help="The bottle, such as CAOF-26-01A/3.")] = None,
    source: Annotated[
        str | None, typer.Option("--from", help="The extract or bottle it is filled from.")
    ] = None,
    amount: Annotated[str | None, typer.Option("--volume", help="How much went in.")] = None,
) -> None:
    """Record a bottle in use filled again; left out, from its own extract up to its size."""
    code = desk.need(code, "Which bottle", read=str.strip)
    filled = _volume(desk, amount)
    with desk.recording() as sheet:
        thing = sheet.find(code)
        much_ml = filled.value if filled else _room_ml(thing)
        own = thing.code.rpartition("/")[0]
        taken = extract_of(sheet.find(source or own), "refilled from")
        fact = Refilled(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            source=Portion(
                about=about_of(taken),
                volume_ml=much_ml,
                written=filled.written if filled else None,
            ),
        )
        sheet.add(thing.code, fact)
        sheet.tell(lambda: _refilled(sheet.after(thing.batch.id), thing, taken, fact))


def _room_ml(thing: Thing) -> float:
    """What a bottle takes until it is full; its size where it is full, which the gate refuses."""
    bottle = thing.bottle
    if bottle is None:
        raise RefusedError(
            thing.code,
            f"it is {a_kind(thing)}, and only a bottle can be refilled",
            do="name the bottle, such as CAOF-26-01A/1.",
        )
    room_ml = bottle.size_ml - bottle.volume_ml
    return room_ml if room_ml >= DROP_ML else bottle.size_ml


def _refilled(batch: Batch, thing: Thing, taken: Thing, fact: Refilled) -> str:
    extract = _now(batch, thing)
    bottle = extract.bottle(thing.bottle.number) if thing.bottle else None
    now = Thing(thing.code, batch, extract, bottle)
    volume_ml = bottle.volume_ml if bottle else 0.0
    return (
        f"{thing.code} {said(fact)} of {taken.code}: {ml(volume_ml)} in it, good through "
        f"{now.good_through}."
    )
