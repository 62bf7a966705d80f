"""A picture given as a file: SVG, or a page with the same in words below it."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli.damaged_book import missing_of
from tracker.cli.desk import Desk
from tracker.cli.named_file import write_named
from tracker.core.shelf.thing import Batch, whole
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown
from tracker.outputs.view.thing_view import ThingView, view_of

if TYPE_CHECKING:
    from tracker.outputs.pictures.svg import Picture

To = Annotated[
    Path | None,
    typer.Option("--to", help="Write it to a file instead: NAME.svg or NAME.html."),
]


def views_of(desk: Desk, batches: Iterable[Batch], today: date) -> list[ThingView]:
    """What is to be drawn, as every output sees it."""
    practice, not_held = desk.bench.practice, desk.bench.not_held()
    return [view_of(whole(one), practice, today, flags=not_held) for one in batches]


def write_picture(
    desk: Desk, to: Path, draw: "Callable[[str], Picture]", words: Sequence[str], *, force: bool
) -> None:
    """The picture as SVG, or as a page with the same in words below it, by the file's name.

    Args:
        desk: whose book it is of.
        to: the file.
        draw: makes the picture, with what is to be said first of the whole of it.
        words: the same as lines of a terminal.
        force: whether a file that stands there is replaced.

    Raises:
        MisusedError: the name says neither.
    """
    from tracker.outputs.words.not_whole import incomplete

    kind = to.suffix.lower()
    if kind not in (".svg", ".html", ".htm"):
        raise MisusedError(
            f"What a file named {to.name!r} should hold is not clear.",
            where="--to",
            do="name it so that it ends in .svg or .html.",
        )
    heed = incomplete(missing_of(desk.bench.damages()))
    found = draw(heed)
    if kind == ".svg":
        write_named(to, found.narrow, force=force)
    else:
        from tracker.outputs.page.render import picture_page

        write_named(to, picture_page(found, [heed, *words] if heed else words), force=force)
    typer.echo(shown(f"Wrote {to}: {found.title}."), err=True)
