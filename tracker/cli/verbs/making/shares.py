"""Jars into others, herb and all: `split`, `join`."""

from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.given.codes_given import codes_for
from tracker.cli.given.pours import share_of
from tracker.cli.options import Codes, JarCode, recording
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Joined, Split, SplitPart
from tracker.core.rules.recorded import Recorded
from tracker.core.values.errors import MisusedError, QuantityError

app = typer.Typer(rich_markup_mode=None)

OwnCodes = Annotated[
    list[str] | None, typer.Option("--code", help="A code of your own for each new jar.")
]
OwnCode = Annotated[str | None, typer.Option("--code", help="A code of your own for it.")]


@app.command()
@recording
def split(
    desk: Desk,
    code: JarCode = None,
    into: Annotated[
        int | None, typer.Option(help="Into so many equal parts.", min=2, max=99)
    ] = None,
    shares: Annotated[
        list[str] | None,
        typer.Option("--share", help="A part of the whole: 1/3, 40%. Can be repeated."),
    ] = None,
    codes: OwnCodes = None,
    jar: Annotated[str | None, typer.Option(help="The size of the new jars.")] = None,
) -> Recorded:
    """Record a jar shared out into others, herb and liquid alike."""
    named, parts = desk.code(code, "Which jar"), _shares(desk, into, shares)
    size = desk.volume_if(jar)
    old = desk.jar(named, "split")
    given = codes_for(desk, old, len(parts), codes)
    fact = Split(
        about=About(jar=old.id),
        into=tuple(
            SplitPart(code=one, share=part, jar_ml=size.value if size else None)
            for one, part in zip(given, parts, strict=True)
        ),
    )
    return desk.record(old.code, fact)


def _shares(desk: Desk, into: int | None, shares: list[str] | None) -> list[float]:
    if shares and into:
        raise MisusedError(
            "The parts are either equal or of given shares.",
            where="--into and --share",
            do="use one of them.",
        )
    if shares:
        found = [share_of(one) for one in shares]
        if len(found) == 1 and found[0] > 1 - 1e-9:
            raise MisusedError(
                "All of it in one jar is not a split.",
                where="--share",
                do="`stillroom move` records that it stands in another jar.",
            )
        if sum(found) > 1 + 1e-9:
            raise QuantityError(
                " + ".join(shares), "that is more than the whole", do="check the shares."
            )
        return found
    count = desk.need(into, "Into how many equal parts", read=parts_of_whole)
    return [1 / count] * count


def parts_of_whole(text: str) -> int:
    """So many equal parts.

    Raises:
        MisusedError: it is no such number.
    """
    if not text.strip().isdecimal() or not 2 <= int(text) <= 99:
        raise MisusedError(f"{text!r} is not a number of parts.", where="--into", do="Write 2.")
    return int(text)


@app.command()
@recording
def join(
    desk: Desk,
    codes: Codes = None,
    code: OwnCode = None,
    jar: Annotated[str | None, typer.Option(help="The size of the new jar.")] = None,
) -> Recorded:
    """Record jars put into one, herb and all."""
    named, size = desk.codes(codes), desk.volume_if(jar)
    jars = {one.id: one for one in (desk.jar(text, "joined") for text in named)}
    if len(jars) < 2:
        raise MisusedError("One jar alone joins nothing.", where="CODES", do="name two.")
    (given,) = codes_for(desk, next(iter(jars.values())), 1, [code] if code else None)
    parts, jar_ml = tuple(jars), size.value if size else None
    return desk.record(given, Joined(code=given, parts=parts, jar_ml=jar_ml))
