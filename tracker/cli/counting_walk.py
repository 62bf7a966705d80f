"""The walk of a stocktake at a terminal: one question a thing, place by place."""

from collections.abc import Sequence

import msgspec
import typer

from tracker.bench.bench import Bench
from tracker.cli.asking import choose, settled
from tracker.cli.given.counts_given import found_of
from tracker.cli.questions.walk import said
from tracker.cli.typed_line import typed_line
from tracker.core.reckoning.shelf_count import Found, ToCount
from tracker.core.values.errors import TrackerError
from tracker.core.values.text import shown
from tracker.outputs.terminal.stocktake_lines import place_of, question
from tracker.outputs.terminal.wrapping import wrapped

KEYS = "Enter: as the book says; else what is there; - none; s skip; < back; q stop."


class Walked(msgspec.Struct):
    """What was answered so far, by the place of the item in the walk; None where it was skipped."""

    items: Sequence[ToCount]
    found: dict[int, Found | None] = {}

    @property
    def counted(self) -> list[Found]:
        """What was counted, in the order of the walk."""
        return [one for _, one in sorted(self.found.items()) if one is not None]

    @property
    def skipped(self) -> list[ToCount]:
        """What was not counted."""
        return [one for at, one in enumerate(self.items) if self.found.get(at) is None]


def walk(bench: Bench, items: Sequence[ToCount], total: int) -> Walked:
    """Ask about each thing until the last, or until the person stops; nothing is recorded."""
    walked = Walked(items)
    typer.echo("\n".join(wrapped(KEYS, total)), err=True)
    at, heading = 0, ""
    while at < len(items):
        item = items[at]
        if place_of(item) != heading:
            heading = place_of(item)
            typer.echo(f"\n{shown(heading)}", err=True)
        answer = _answer(bench, item, f"{at + 1}/{len(items)}", total)
        if answer == "q":
            break
        if answer == "<":
            at = max(at - 1, 0)
            walked.found.pop(at, None)
            continue
        walked.found[at] = answer if isinstance(answer, Found) else None
        at += 1
    typer.echo("", err=True)
    return walked


def _answer(bench: Bench, item: ToCount, at: str, total: int) -> Found | str:
    """What is found of an item, or one of the keys."""
    units, names = bench.practice.units, bench.practice.names
    above, asked = question(item, names, at, total)
    for line in above:
        typer.echo(line, err=True)
    while True:
        text = str(typed_line(asked, show_default=False)).strip()
        if text.lower() in ("s", "q", "<"):
            return text.lower()
        try:
            clear = settled(text, lambda one: found_of(item, one, units), choose)
            return found_of(item, clear, units)
        except TrackerError as reason:
            for line in wrapped(shown(said(reason)), total - 2):
                typer.echo(f"  {line}", err=True)
