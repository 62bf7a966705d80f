"""Codes as verbs of many things take them: `MEOF-26-01..12`, `CAOF-26-01A/1..6`, `.`, `--all`."""

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli.given.things_named import LAST, Found, all_spoken_of
from tracker.core.shelf.acted_on import Fits, on_the_shelf
from tracker.core.values.errors import MisusedError

if TYPE_CHECKING:
    from tracker.cli.desk import Desk

All = Annotated[bool, typer.Option("--all", help="All there are; asks how many are meant.")]

_MOST = 10_000
_RANGE = re.compile(r"(?P<stem>.*?)(?P<first>\d{1,40})\.\.(?P<again>.*?)(?P<last>\d{1,40})")


def spread(desk: "Desk", texts: Sequence[str], fits: Fits = on_the_shelf) -> list[str]:
    """Every code, those of ranges and what `.` stands for in their place, each once."""
    codes: list[str] = []
    for text in _of_one_name(desk, texts):
        if text.strip() == LAST:
            codes += all_spoken_of(desk)
        elif ".." in text:
            codes += _between(desk, text.strip(), fits)
        else:
            codes.append(text)
    return list(dict.fromkeys(codes))


def _of_one_name(desk: "Desk", texts: Sequence[str]) -> Sequence[str]:
    """`lemon balm` typed without quotation marks as one text, where it is the name of something."""
    if len(texts) < 2 or not all(text.isalpha() for text in texts):
        return texts
    from tracker.core.shelf.find_by_name import named

    together = " ".join(texts)
    return [together] if named(together, desk.book.batches(live_only=True)) else texts


def each_once(found: Iterable[Found]) -> list[Found]:
    """Each thing once, however often it was named."""
    return list({one.code: one for one in found}.values())


def codes_or_all(
    desk: "Desk",
    codes: Sequence[str] | None,
    every: bool,
    fits: Fits = on_the_shelf,
    question: str = "Which jars",
) -> Sequence[str]:
    """The codes that were given or asked for; of `--all`, every code there is of what fits.

    Raises:
        MisusedError: both are given, or there is nothing to be all of.
        AskedError: whether so many are meant is not known.
    """
    if not every:
        return desk.codes(codes, question)
    if codes:
        raise MisusedError(
            "Give either codes or --all.", where="the command line", do="use one of them."
        )
    found = [one.code for batch in desk.book.batches(live_only=True) for one in fits(batch)]
    if not found:
        raise MisusedError("There is none of that kind.", where="--all", do="name what there is.")
    from tracker.core.rules.verdict import Finding

    what = f"all {len(found)} are meant: {_some(found)}" if len(found) > 1 else f"{found[0]} alone"
    desk.ask_about(Finding("whole", "--all", what, "name those that are meant", weight="question"))
    return found


def _between(desk: "Desk", text: str, fits: Fits) -> list[str]:
    """The codes of a range, of what is there; what is missing in it is said.

    Raises:
        MisusedError: it is no range, runs backwards, or nothing of it is there.
    """
    found = _RANGE.fullmatch(text)
    if found is None or found["again"].upper() not in ("", found["stem"].upper()):
        raise MisusedError(
            f"{text!r} is not a range of codes.",
            where="the codes",
            do="write it like MEOF-26-01..12.",
        )
    first, last = int(found["first"]), int(found["last"])
    if last < first:
        raise MisusedError(
            f"{text!r} runs backwards.", where="the codes", do="begin with the lower number."
        )
    if last - first > _MOST:
        raise MisusedError(
            f"{text!r} is a range of more than {_MOST}.",
            where="the codes",
            do="take a smaller one.",
        )
    there = _numbered(desk, found["stem"], fits)
    codes = [code for number, code in there if first <= number <= last]
    if not codes:
        raise MisusedError(
            f"Nothing of {text} is there.",
            where="the codes",
            do="`stillroom shelf` and `stillroom stock` list what is.",
        )
    numbers = {number for number, _ in there}
    absent = [number for number in range(first, last + 1) if number not in numbers]
    if absent:
        _say_absent(desk, text, found["stem"], absent, len(found["first"]))
    return codes


def _say_absent(desk: "Desk", text: str, stem: str, absent: Sequence[int], width: int) -> None:
    """What of a range is left out: never there, or there no longer."""
    every = (_number_of(code, stem) for code in desk.book.codes())
    known = {one for one in every if one is not None}
    gone = [one for one in absent if one in known]
    never = [one for one in absent if one not in known]
    said = [f"{_runs(never, width)} not in the book"] if never else []
    said += [f"{_runs(gone, width)} left out, not there any more"] if gone else []
    desk.remarks.append(f"{text}: {'; '.join(said)}.")


def _numbered(desk: "Desk", stem: str, fits: Fits) -> list[tuple[int, str]]:
    """What is there under codes that are a stem and a number, in the order of their numbers."""
    if stem.endswith("/"):
        thing = desk.extract(stem[:-1], "taken by its bottles")
        bottles = thing.extract.bottles if thing.extract else []
        return [(one.number, f"{thing.code}/{one.number}") for one in bottles if not one.discarded]
    if stem.upper().startswith("LOT-"):
        every = [(lot.code, [lot.code]) for lot in desk.book.lots()]
    else:
        live = desk.book.batches(live_only=True)
        every = [(batch.code, [one.code for one in fits(batch)]) for batch in live]
    fitting = ((_number_of(of, stem), codes) for of, codes in every)
    return sorted((number, one) for number, codes in fitting if number for one in codes)


def _number_of(code: str, stem: str) -> int | None:
    """The number behind a stem, of a code that is no more; one given twice has a letter."""
    found = re.fullmatch(f"{re.escape(stem)}([0-9]{{1,9}})[a-z]?", code, re.IGNORECASE)
    return int(found[1]) if found else None


def _runs(numbers: Sequence[int], width: int) -> str:
    """`03, 05 to 07`."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]:0{width}}" if len(run) == 1 else f"{run[0]:0{width}} to {run[-1]:0{width}}"
        for run in runs
    )


def _some(codes: Sequence[str]) -> str:
    more = f" and {len(codes) - 6} more" if len(codes) > 6 else ""
    return ", ".join(codes[:6]) + more
