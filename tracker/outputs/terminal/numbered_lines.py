"""The lines of one thing to choose from: number, day, what it says; shakes folded."""

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby

from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.values.text import shown
from tracker.core.values.times import Hemisphere
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.short_dates import short_when

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
    """A line for each entry, wrapped at words.

    Args:
        entries: in the order of the history.
        names: what each is called, by its id, and the codes of what they take from.
        columns: how wide the screen is.
        today: the day they are read; its year is not said.
        hemisphere: decides which months a season has.
        folded: whether all but the first of many shakes in a row are counted instead.
    """
    days = {one.id: short_when(one.when, today, hemisphere) for one in entries}
    wide = max((len(days[one.id]) for one in entries), default=0)
    number = max((len(names[one.id]) for one in entries), default=1)
    lines: list[str] = []
    for one, more in _folded(entries, folded=folded):
        head = f"  {names[one.id]:>{number}}  {days[one.id]:<{wide}}  "
        text = shown(said(one.fact, names))
        lines += textwrap.wrap(
            text, max(columns - 1, 40), initial_indent=head, subsequent_indent=" " * len(head)
        )
        if more:
            lines.append(f"  {'…':>{number}}  {'':<{wide}}  {more} more shakes")
    return lines


def _folded(entries: Sequence[Entry], *, folded: bool) -> Iterator[tuple[Entry, int]]:
    """Each entry that is shown, and how many shakes are folded behind it."""
    for is_shake, run in groupby(entries, key=lambda one: isinstance(one.fact, Shaken)):
        every = list(run)
        if folded and is_shake and len(every) > _FEW_SHAKES:
            yield every[0], len(every) - 1
        else:
            yield from ((one, 0) for one in every)
