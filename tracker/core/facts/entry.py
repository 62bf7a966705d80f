"""The entry that carries a fact: a line of the book. Never edited."""

from datetime import UTC, datetime, timedelta

import msgspec

from tracker.core.facts.kinds import Recorded, jars_of
from tracker.core.values.times import Order, When


class Entry(msgspec.Struct, gc=False):
    """One line of the book: a fact, when it happened, and who wrote it down when.

    Treated as frozen; it is not declared so because one is built per line on every rebuild.
    """

    id: str
    source: str
    sequence: int
    subject: str
    when: When
    recorded: datetime
    fact: Recorded

    @property
    def kind(self) -> str:
        """The event kind, as it stands on the line."""
        return self.fact.kind

    @property
    def jars(self) -> tuple[str, ...]:
        """The charges of every jar whose history this entry belongs to."""
        return jars_of(self.id, self.fact)


def replay_order(entry: Entry) -> Order:
    """The place of an entry in the history: happened, recorded, source, sequence.

    What is known to a day or less stands where it was written down, or at the end of its range:
    after what was written before it and may have happened before it.
    """
    start = entry.when.start
    if entry.when.precision not in ("time", "unknown"):
        start = max(start, min(entry.when.last, entry.recorded))
    return (start, entry.recorded, entry.source, entry.sequence)


_FIRST_DAY = datetime(1, 1, 1, tzinfo=UTC)
_ONE_DAY_US = 24 * 3600 * 1_000_000


def order_key(entry: Entry) -> str:
    """The place of an entry in the history as text: such keys sort as `replay_order` does."""
    start, recorded, source, sequence = replay_order(entry)
    return f"{_instant(start)} {_instant(recorded)} {source} {sequence:010d}"


def _instant(when: datetime) -> str:
    # A zone east of Greenwich puts the first day of the calendar before itself.
    microseconds = (when - _FIRST_DAY) // timedelta(microseconds=1) + _ONE_DAY_US
    return f"{microseconds:018d}"
