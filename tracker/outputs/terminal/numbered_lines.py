"""The lines of one thing to choose from: number, day, what it says; shakes folded."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby

from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.values.times import Hemisphere
from tracker.outputs.terminal.history_table import Said, lines_of
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.row_dates import when_in_row

# So many shakes in a row are shown one by one.
_FEW_SHAKES = 2


def numbered_lines(
    entries: Sequence[Entry],
    names: Mapping[str, str],
    columns: int,
    today: date,
    hemisphere: Hemisphere,
    *,
    folded: bool = True,
) -> list[str]:
    """A line for each entry, as the history sets them, with the year in the day.

    Args:
        entries: in the order of the history.
        names: what each is called, by its id, and the codes of what they take from.
        columns: how wide the screen is.
        today: the day they are read; its year is not said.
        hemisphere: decides which months a season has.
        folded: whether all but the first of many shakes in a row are counted instead.
    """
    rows: list[Said] = []
    for one, more in _folded(entries, folded=folded):
        day = when_in_row(one.when, today, hemisphere)
        rows.append(Said(names[one.id], day, said(one.fact, names)))
        if more:
            rows.append(Said("…", "", f"{more} more shakes"))
    return lines_of(rows, total=columns, colour=False)


def _folded(entries: Sequence[Entry], *, folded: bool) -> Iterator[tuple[Entry, int]]:
    """Each entry that is shown, and how many shakes are folded behind it."""
    for is_shake, run in groupby(entries, key=lambda one: isinstance(one.fact, Shaken)):
        every = list(run)
        if folded and is_shake and len(every) > _FEW_SHAKES:
            yield every[0], len(every) - 1
        else:
            yield from ((one, 0) for one in every)
