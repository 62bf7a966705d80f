"""The day that `--on` names, beside the verbs that answer questions."""

from datetime import date

from tracker.bench.bench import Bench
from tracker.cli.screen import say
from tracker.core.values.text import shown
from tracker.core.values.times import Toward, is_as_people_say


def day_asked(bench: Bench, text: str | None, toward: Toward = "future") -> date | None:
    """The day a text means, said beside the answer where it was said in words; None of none.

    Raises:
        AmbiguousDateError, MisusedError: it may be two days, or is none.
    """
    if text is None:
        return None
    when = bench.when(text, where="--on", toward=toward)
    if is_as_people_say(text):
        from tracker.core.values.spoken_dates import taken_as

        say(shown(taken_as(text, when)), err=True)
    return when.earliest
