"""What may be chosen by its number: words beside each other, things in columns."""

from collections.abc import Sequence

import msgspec
import typer

from tracker.cli.choosing import Choice
from tracker.cli.screen import columns
from tracker.core.values.text import shown
from tracker.outputs.terminal.name_column import cut_middle, told_apart
from tracker.outputs.terminal.table import cut, width

# So many things are offered by number: more would push the question off a small screen.
_MOST_OFFERED = 9
_NUMBER = 5  # cells before the name
_GAP = 2
_LEAST_NAME, _LEAST_BESIDE = 14, 20


class Candidate(msgspec.Struct, frozen=True):
    """A thing to choose from: the plant, its code, and what helps to choose.

    `heed` is what must be known before it is chosen, and is never cut.
    """

    name: str
    code: str
    beside: str = ""
    heed: str = ""

    @property
    def given(self) -> str:
        """What it stands for on a command line."""
        return self.code


def show(offers: Sequence[Choice | Candidate]) -> list[str]:
    """Print what may be chosen, with its number.

    Returns:
        What each number shown stands for.
    """
    words = [one.said for one in offers if isinstance(one, Choice) and one.said == one.given]
    if offers and len(words) == len(offers):
        lines, listed = _beside_each_other(words, columns()), offers
    else:
        listed = offers[:_MOST_OFFERED]
        lines = _below_each_other(listed, columns())
    for line in lines:
        typer.echo(line, err=True)
    if len(offers) > len(listed):
        typer.echo(f"     and {len(offers) - len(listed)} more: type a name", err=True)
    return [one.given for one in listed]


def _beside_each_other(words: Sequence[str], total: int) -> list[str]:
    rows, row = list[str](), "  "
    for number, one in enumerate(words, 1):
        cell = f"{number} {shown(one)}   "
        if row.strip() and len(row) + len(cell.rstrip()) > total:
            rows.append(row.rstrip())
            row = "  "
        row += cell
    return [*rows, row.rstrip()]


def _below_each_other(listed: Sequence[Choice | Candidate], total: int) -> list[str]:
    things = [one for one in listed if isinstance(one, Candidate)]
    rows = candidate_rows(things, total - _NUMBER)
    if len(things) < len(listed):
        rows = [cut(shown(one.said), total - _NUMBER) for one in listed if isinstance(one, Choice)]
    return [f"  {number}  {row}" for number, row in enumerate(rows, 1)]


def candidate_rows(things: Sequence[Candidate], total: int) -> list[str]:
    """The name, the code and what helps to choose, in columns; a code is never cut.

    What is to be heeded stands before the rest, or in a line of its own where there is no room.
    """
    below = [""] * len(things)
    beside = [shown(", ".join(filter(None, (one.heed, one.beside)))) for one in things]
    rows = _in_columns(things, beside, total)
    if any(one.heed and shown(one.heed) not in row for one, row in zip(things, rows, strict=True)):
        rows = _in_columns(things, [shown(one.beside) for one in things], total)
        below = [f"\n{' ' * _NUMBER}  {shown(one.heed)}" if one.heed else "" for one in things]
    return [row + more for row, more in zip(rows, below, strict=True)]


def _in_columns(things: Sequence[Candidate], beside: Sequence[str], total: int) -> list[str]:
    names = [shown(one.name) for one in things]
    codes = [shown(one.code) for one in things]
    code_width = max(map(width, codes), default=0)
    longest, behind = (max(map(width, texts), default=0) for texts in (names, beside))
    room = total - code_width - _GAP
    if behind:
        room -= _GAP
        behind = min(behind, max(room - longest, _LEAST_BESIDE), max(room - _LEAST_NAME, 0))
    name_width = min(longest, room - behind)
    if longest > name_width:
        names = told_apart([cut_middle(one, name_width) for one in names], names, name_width)
    rows = zip(names, codes, beside, strict=True)
    return [
        f"{_padded(name, name_width)}  {_padded(code, code_width)}  {cut(more, behind)}".rstrip()
        for name, code, more in rows
    ]


def _padded(text: str, cells: int) -> str:
    return text + " " * (cells - width(text))
