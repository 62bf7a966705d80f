"""Extracts put together and worked on: `blend`, `dilute`, `refill`."""

import re
from collections.abc import Iterable
from typing import Annotated

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.codes_given import next_codes
from tracker.cli.given.pours import Pours, poured, pours_asked
from tracker.cli.options import ExtractCode, recording
from tracker.core.facts.extracts import Blended, Diluted, MadeUp, Refilled
from tracker.core.facts.fields import Portion, Pour
from tracker.core.practice.practice import UnitSystem, preparation
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.acted_on import with_room
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.thing import Thing, a_kind
from tracker.core.values.errors import (
    AmbiguousAmountError,
    MisusedError,
    QuantityError,
    RefusedError,
)
from tracker.quantities import Amount, millilitres

app = typer.Typer(rich_markup_mode=None)

_PART = re.compile(r"(\d[\d.,]*) ?(.*)")
_MOST_WORDS_OF_UNIT = 2  # fl oz


@app.command()
@recording
def blend(
    desk: Desk,
    parts: Annotated[
        list[str] | None,
        typer.Option("--part", help='How much of one: "40 ml CAOF-26-01A". Can be repeated.'),
    ] = None,
    total: Annotated[
        str | None, typer.Option(help="All parts in proportion to this: 200 ml.")
    ] = None,
    measured: Annotated[
        str | None, typer.Option(help="What the blend came to, where it was measured.")
    ] = None,
    code: Annotated[str | None, typer.Option("--code", help="A code of your own for it.")] = None,
) -> Recorded:
    """Record extracts put together.

    The blend keeps the earliest good-through of its parts.
    """
    texts = desk.need(parts or None, "Which parts, such as 40 ml CAOF-26-01A", read=_lines)
    whole, came_to = desk.volume_if(total), desk.volume_if(measured)
    taken = _portions(desk, texts, whole)
    _must_be_several([one.code for one, _ in taken])
    stem = f"BLEND-{desk.happened.start.year % 100:02d}-"
    (given,) = next_codes(code, 1, stem, desk.book.codes())
    fact = Blended(
        code=given,
        parts=tuple(portion for _, portion in taken),
        volume_ml=came_to.value if came_to else None,
        written=came_to.written if came_to else None,
    )
    return desk.record(given, fact)


def _lines(text: str) -> list[str]:
    return [one.strip() for one in text.split("+")]


def _must_be_several(codes: list[str]) -> None:
    twice = next((one for one in codes if codes.count(one) > 1), None)
    if len(codes) < 2 or twice is not None:
        raise MisusedError(
            f"{twice} is named twice." if twice else "One extract alone is not a blend.",
            where="--part",
            do="name two or more, and of each all that went in.",
        )


def _portions(desk: Desk, texts: list[str], whole: Amount | None) -> list[tuple[Thing, Portion]]:
    """Each part with the thing it is taken from; in proportion where a whole was given."""
    units = desk.bench.practice.units
    read = [_part(text, units) for text in texts]
    if whole is not None and not any(unit for _, unit, _ in read):
        # Bare numbers: so many parts of the whole.
        amounts = [millilitres(f"{number} ml", units).value for number, _, _ in read]
    else:
        amounts = [millilitres(f"{number} {unit}", units).value for number, unit, _ in read]
    if whole is not None:
        amounts = [whole.value * amount / sum(amounts) for amount in amounts]
    found = []
    for (number, unit, code), amount in zip(read, amounts, strict=True):
        thing = desk.extract(code, "blended")
        written = f"{number} {unit}".strip()
        about = about_of(thing)
        found.append((thing, Portion(about=about, volume_ml=amount, written=written)))
    return found


def _part(text: str, units: UnitSystem) -> tuple[str, str, str]:
    """Number, unit and what is taken, of `40 ml CAOF-26-01A` or `40 ml lemon balm`."""
    part = _PART.fullmatch(" ".join(text.split()))
    words = part[2].split() if part else []
    if part is None or not words:
        raise QuantityError(text, "not an amount and a code", do="write it like 40 ml CAOF-26-01A.")
    count = _words_of_unit(part[1], words, units)
    return part[1], " ".join(words[:count]), " ".join(words[count:]).removeprefix("of ")


def _words_of_unit(number: str, words: list[str], units: UnitSystem) -> int:
    """How many of the words are the unit; the name behind it may have several."""
    for count in range(min(_MOST_WORDS_OF_UNIT, len(words) - 1), 0, -1):
        try:
            millilitres(f"{number} {' '.join(words[:count])}", units)
        except AmbiguousAmountError:
            return count
        except QuantityError:
            continue
        return count
    # In front of a code there is no name: what stands there was meant as a unit.
    return len(words) - 1 if any(map(str.isdecimal, words[-1])) else 0


@app.command()
@recording
def dilute(
    desk: Desk,
    code: ExtractCode = None,
    pours: Pours = None,
    to: Annotated[str | None, typer.Option(help="The volume it was made up to: 500ml.")] = None,
) -> Recorded:
    """Record an extract diluted, sweetened or made up to a volume."""
    named, texts = desk.code(code, "Which extract"), pours_asked(desk, pours)
    after = desk.volume_if(to)
    thing, into = desk.extract(named, "made up" if after else "diluted"), poured(desk, texts)
    about, keeps = about_of(thing), _keeps_from_now(desk, thing, into)
    if after is None:
        return desk.record(thing.code, Diluted(about=about, pours=into, keeps=keeps))
    fact = MadeUp(
        about=about, pours=into, volume_ml=after.value, written=after.written, keeps=keeps
    )
    return desk.record(thing.code, fact)


def _keeps_from_now(desk: Desk, thing: Thing, pours: Iterable[Pour]) -> str | None:
    """How long something weak keeps from now on by the practice, with what is poured into it.

    A poured extract has a day of its own as well, so it counts as spirit.
    """
    if thing.extract is None or not thing.extract.keeps_days:
        return None
    liquids = {*(one.liquid for one in thing.made.pours), *(one.liquid for one in pours)}
    kind = preparation(
        ("ethanol" if one == "extract" else one for one in liquids), thing.batch.form
    )
    return None if kind == "water" else desk.bench.practice.rules[kind].keeps.iso


@app.command()
@recording
def refill(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(help="The bottle, such as CAOF-26-01A/3.")] = None,
    source: Annotated[
        str | None, typer.Option("--from", help="The extract or bottle it is filled from.")
    ] = None,
    amount: Annotated[str | None, typer.Option("--volume", help="How much went in.")] = None,
) -> Recorded:
    """Record a bottle in use filled again.

    It is filled from its own extract, up to its size, unless --from and --volume say otherwise.
    """
    named, filled = desk.code(code, "Which bottle"), desk.volume_if(amount)
    thing = desk.find(named, with_room)
    much_ml = filled.value if filled else _room_ml(thing)
    taken = desk.extract(source or thing.code.rpartition("/")[0], "refilled from")
    written = filled.written if filled else None
    portion = Portion(about=about_of(taken), volume_ml=much_ml, written=written)
    return desk.record(thing.code, Refilled(about=about_of(thing), source=portion))


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
