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
    return [view_of(whole(one), desk.bench.practice, today) for one in batches]


def write_picture(
    desk: Desk, to: Path, draw: "Callable[[], Picture]", words: Sequence[str], *, force: bool
) -> None:
    """The picture as SVG, or as a page with the same in words below it, by the file's name.

    Raises:
        MisusedError: the name says neither.
    """
    kind = to.suffix.lower()
    if kind not in (".svg", ".html", ".htm"):
        raise MisusedError(
            f"What a file named {to.name!r} should hold is not clear.",
            where="--to",
            do="name it so that it ends in .svg or .html.",
        )
    found = draw()
    if kind == ".svg":
        write_named(to, found.svg, force=force)
    else:
        from tracker.outputs.page.render import picture_page
        from tracker.outputs.words.not_whole import incomplete

        heed = incomplete(missing_of(desk.bench.damages()))
        write_named(to, picture_page(found, [heed, *words] if heed else words), force=force)
    typer.echo(shown(f"Wrote {to}: {found.title}."), err=True)
