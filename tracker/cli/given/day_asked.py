"""Days as people say them: what was understood is said, beside the answer or among remarks."""

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from tracker.bench.bench import Bench
from tracker.cli.screen import say
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown
from tracker.core.values.times import Toward, When, is_as_people_say

if TYPE_CHECKING:
    from tracker.cli.desk import Desk


def day_asked(bench: Bench, text: str | None, toward: Toward = "future") -> date | None:
    """The day a text means, said beside the answer where it was said in words; None of none.

    Raises:
        AmbiguousDateError, MisusedError: it may be two days, or is none.
    """
    if text is None:
        return None
    when = bench.when(text, where="--on", toward=toward)
    if is_as_people_say(text):
        if not when.is_exact:
            raise MisusedError(
                f"{text!r} is not one day.", where="--on", do="write the day, such as 2 Feb."
            )
        from tracker.core.values.spoken_dates import taken_as

        say(shown(taken_as(text, when, bench.practice.hemisphere)), err=True)
    return when.earliest


def day_said(desk: "Desk", text: str, read: Callable[[str], When]) -> When:
    """When a text means; said among the remarks where it was said in words.

    Raises:
        AmbiguousDateError, MisusedError: it may be two days and nobody can be asked, or is none.
    """
    if not is_as_people_say(text):
        return read(text)
    from tracker.core.values.spoken_dates import taken_as

    when = read(desk.settled(text, read))
    remark = taken_as(text, when, desk.bench.practice.hemisphere)
    if remark not in desk.remarks:
        desk.remarks.append(remark)
    return when
