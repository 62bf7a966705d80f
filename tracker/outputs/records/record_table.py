"""What a batch record is set from: headings with rows of cells, in words and without a layout."""

import re
from collections.abc import Iterable, Sequence
from typing import Final, Literal, NamedTuple

from tracker.core.values.text import shown
from tracker.outputs.words.latin_names import is_latin, latin_runs

Style = Literal["", "B", "I"]


class Words(NamedTuple):
    """Words of one style."""

    text: str
    style: Style = ""


class Para(NamedTuple):
    """Words that begin a line of their own; `struck` is drawn through but for the bold.

    `is_barred`: on paper white on a black bar.
    """

    runs: tuple[Words, ...]
    struck: bool = False
    is_barred: bool = False

    @property
    def text(self) -> str:
        """All of its words."""
        return "".join(run.text for run in self.runs)


RecordCell = tuple[Para, ...]
RecordRow = tuple[RecordCell, ...]


class RecordColumn(NamedTuple):
    """A column and the most of the width it takes.

    `is_flexible`: it takes what the others leave. `is_number`: it is set to the right.
    """

    head: str
    most: float = 0.2
    is_flexible: bool = False
    is_number: bool = False


class Section(NamedTuple):
    """A heading, what is said beside it, and its rows; `ruled` rows are told apart by a line."""

    head: str
    columns: tuple[RecordColumn, ...]
    rows: tuple[RecordRow, ...]
    ruled: bool = False
    note: str = ""

    @property
    def of_none(self) -> str:
        """What there is nothing of where it has no rows, in a list of such."""
        return f"{self.head[:1].lower()}{self.head[1:]}"


_BINOMIAL: Final = re.compile(r"[A-Z][a-z-]+ (?:[x×] ?)?[a-z][a-z-]+")
# What it means that the column BY is not there.
NOBODY: Final = "nobody is named"
_LINES: Final = (RecordColumn("", 1.0, is_flexible=True),)
_NAMED: Final = (RecordColumn("", 0.22), RecordColumn("", 1.0, is_flexible=True))


def cell(text: str, style: Style = "") -> RecordCell:
    """A cell of one paragraph."""
    return (para(text, style),)


def para(text: str, style: Style = "", *, struck: bool = False) -> Para:
    """A paragraph of one style."""
    return Para((Words(shown(text), style),), struck)


def barred(text: str) -> Para:
    """What has to be seen before the rest of a row."""
    return Para((Words(shown(text), "B"),), is_barred=True)


def plant_para(herb: str, rest: str = "") -> Para:
    """A plant, in italics as far as its name is Latin, and what follows it."""
    runs = [Words(shown(text), "I" if italic else "") for text, italic in latin_runs(herb)]
    return Para((*runs, Words(shown(rest))) if rest else tuple(runs))


def plant_named(herb: str, common: str | None) -> Para:
    """A plant as people call it, in bold, and its Latin name behind."""
    latin = plant_para(herb)
    if common is None or common.lower() == herb.lower():
        return latin
    return Para((Words(shown(f"{common[:1].upper()}{common[1:]} "), "B"), *latin.runs))


def plants_in(text: str, latin: Iterable[str]) -> Para:
    """A sentence with the plants it names in italics."""
    named = [re.escape(shown(one)) for one in sorted(latin, key=len, reverse=True) if is_latin(one)]
    if not named:
        return para(text)
    runs: list[Words] = []
    for part in re.split(f"({'|'.join(named)})", shown(text)):
        runs += plant_para(part).runs if re.fullmatch("|".join(named), part) else (Words(part),)
    return Para(tuple(run for run in runs if run.text))


def latin_led(text: str) -> Para:
    """Herbs joined by ` + `, each with its Latin name in italics."""
    runs: list[Words] = []
    for place, one in enumerate(text.split(" + ")):
        latin = _BINOMIAL.match(one)
        runs += [Words(" + ")] * bool(place)
        if latin is not None:
            runs.append(Words(shown(latin[0]), "I"))
        runs.append(Words(shown(one[latin.end() :] if latin is not None else one)))
    return Para(tuple(runs))


def led(name: str, text: str, *, struck: bool = False) -> Para:
    """A paragraph that begins with a word in bold."""
    return Para((Words(name, "B"), Words(f" {shown(text)}")), struck)


def listed(head: str, texts: Iterable[str], *, bold: Sequence[str] = ()) -> Section:
    """A heading with a line for each text, those that weigh most in bold."""
    return Section(head, _LINES, tuple((cell(one, "B" if one in bold else ""),) for one in texts))


def named(head: str, rows: Iterable[tuple[str, str]], latin: Sequence[str] = ()) -> Section:
    """A heading with names and values, in which plants stand in italics."""
    return Section(
        head, _NAMED, tuple((cell(name), (plants_in(value, latin),)) for name, value in rows)
    )


def tabled(
    head: str,
    columns: Sequence[RecordColumn],
    rows: Iterable[RecordRow],
    *,
    said_once: str = "",
    blank: str = "–",
) -> Section:
    """A table without the columns in which nothing stands.

    Args:
        head: its heading.
        columns: those there may be.
        rows: a cell for each of them.
        said_once: what it means that nobody is named, where the column BY is left out.
        blank: what stands in a cell of which nothing is known.
    """
    rows = list(rows)
    kept = [at for at in range(len(columns)) if any(_says_something(row[at]) for row in rows)]
    left_out = {columns[at].head for at in range(len(columns)) if at not in kept}
    return Section(
        head,
        tuple(columns[at] for at in kept),
        tuple(tuple(_said(row[at], blank) for at in kept) for row in rows),
        ruled=True,
        note=said_once if rows and "BY" in left_out else "",
    )


def _said(one: RecordCell, blank: str) -> RecordCell:
    return one if _says_something(one) else cell(blank)


def _says_something(one: RecordCell) -> bool:
    return any(found.text for found in one)
