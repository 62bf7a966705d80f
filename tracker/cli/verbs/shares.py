"""Jars into others, herb and all: `split`, `join`."""

from functools import partial
from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.find import jar_of
from tracker.cli.pours import share_of, volume
from tracker.cli.sheet import Sheet, about_of, recording
from tracker.cli.verbs.charge import next_codes
from tracker.core.facts.jars import Joined, Split, SplitPart
from tracker.core.facts.ties import children
from tracker.core.shelf.codes import code_stem
from tracker.core.shelf.jar import Jar
from tracker.core.values.errors import MisusedError, QuantityError
from tracker.outputs.words.amounts import ml, ratio_text, strength_text
from tracker.outputs.words.fact_lines import said

app = typer.Typer(rich_markup_mode=None)

Codes = Annotated[list[str] | None, typer.Argument(help="Jars, such as CAOF-26-01.")]
OwnCodes = Annotated[
    list[str] | None, typer.Option("--code", help="A code of your own for each new jar.")
]
OwnCode = Annotated[str | None, typer.Option("--code", help="A code of your own for it.")]


@app.command()
@recording
def split(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(help="The jar, such as CAOF-26-01.")] = None,
    into: Annotated[
        int | None, typer.Option(help="Into so many equal parts.", min=2, max=99)
    ] = None,
    shares: Annotated[
        list[str] | None,
        typer.Option("--share", help="A part of the whole: 1/3, 40%. May be said again."),
    ] = None,
    codes: OwnCodes = None,
    jar: Annotated[str | None, typer.Option(help="The size of the new jars.")] = None,
) -> None:
    """Record a jar shared out into others, herb and liquid alike."""
    code = desk.need(code, "Which jar", read=str.strip)
    parts = _shares(desk, into, shares)
    size = volume(desk, jar) if jar else None
    with desk.recording() as sheet:
        thing = sheet.find(code)
        old = jar_of(thing, "split")
        given = _codes_for(sheet, old, len(parts), codes)
        fact = Split(
            by=desk.by,
            note=desk.note,
            about=about_of(thing),
            into=tuple(
                SplitPart(code=one, share=part, jar_ml=size.value if size else None)
                for one, part in zip(given, parts, strict=True)
            ),
        )
        event = sheet.add(old.code, fact)
        sheet.tell(lambda: f"{old.code} {said(fact)}.")
        for jar_id in children(event, fact):
            sheet.tell(partial(_told, sheet, jar_id))


def _told(sheet: Sheet, jar_id: str) -> str:
    return f"{_of_jar(sheet.jar_after(jar_id))}."


def _shares(desk: Desk, into: int | None, shares: list[str] | None) -> list[float]:
    if shares and into:
        raise MisusedError(
            "The parts are equal or of said shares.",
            where="--into and --share",
            do="say one of them.",
        )
    if shares:
        found = [share_of(one) for one in shares]
        if len(found) == 1 and found[0] > 1 - 1e-9:
            raise MisusedError(
                "All of it in one jar is no split.",
                where="--share",
                do="`stillroom move` says that it stands in another jar.",
            )
        if sum(found) > 1 + 1e-9:
            raise QuantityError(
                " + ".join(shares), "that is more than the whole", do="see the shares again."
            )
        return found
    count = desk.need(into, "Into how many equal parts", read=_count)
    return [1 / count] * count


def _count(text: str) -> int:
    if not text.strip().isdecimal() or not 2 <= int(text) <= 99:
        raise MisusedError(f"{text!r} is no number of parts.", where="--into", do="Write 2.")
    return int(text)


def _codes_for(sheet: Sheet, jar: Jar, count: int, own: list[str] | None) -> list[str]:
    taken = sheet.book.codes()
    if not own:
        return next_codes(None, count, code_stem(jar.herb, sheet.when.start.year), taken)
    if len(own) != count:
        raise MisusedError(
            f"{count} jars want {count} codes.", where="--code", do="say it once for each jar."
        )
    given: list[str] = []
    for one in own:
        given += next_codes(one, 1, "", [*taken, *given])
    return given


def _of_jar(jar: Jar) -> str:
    grams = f"{jar.marc_g:.1f} g, " if jar.marc_g is not None else ""
    return (
        f"{jar.code}: {grams}{ml(jar.contents.volume_ml)}, {ratio_text(jar)}, "
        f"{strength_text(jar)} % vol"
    )


@app.command()
@recording
def join(
    desk: Desk,
    codes: Codes = None,
    code: OwnCode = None,
    jar: Annotated[str | None, typer.Option(help="The size of the new jar.")] = None,
) -> None:
    """Record jars put into one, herb and all."""
    named = desk.need(codes or None, "Which jars", read=str.split)
    size = volume(desk, jar) if jar else None
    with desk.recording() as sheet:
        jars = {}
        for one in named:
            shared = jar_of(sheet.find(one), "joined")
            jars[shared.code] = shared
        if len(jars) < 2:
            raise MisusedError("One jar alone joins nothing.", where="CODES", do="name two.")
        first = next(iter(jars.values()))
        (given,) = _codes_for(sheet, first, 1, [code] if code else None)
        fact = Joined(
            by=desk.by,
            note=desk.note,
            code=given,
            parts=tuple(one.id for one in jars.values()),
            jar_ml=size.value if size else None,
        )
        event = sheet.add(given, fact)
        from_codes = " + ".join(one.code for one in jars.values())
        sheet.tell(lambda: f"{from_codes} joined: {_of_jar(sheet.jar_after(event))}.")
