"""Steps that say the same again and again, as one row: shakes, labels, what was given out."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date, tzinfo

from tracker.outputs.records.batch_parts import Step

# What follows a fact's own words where its maker added a remark.
_REMARK = " – "
# So many that say the same are worth one row.
_FEW = 3


def runs_of(steps: Sequence[Step], listed: Collection[str]) -> Iterator[list[Step]]:
    """The steps, three or more together where they are one row.

    Args:
        steps: all of them, in their order.
        listed: the ids of those that a table of the record has already, each by itself.
    """
    run: list[Step] = []
    for one in steps:
        if run and not _goes_on(run[-1], one, listed):
            yield from _few_apart(run)
            run = []
        run.append(one)
    yield from _few_apart(run)


def _few_apart(run: list[Step]) -> Iterator[list[Step]]:
    if len(run) < _FEW:
        yield from ([one] for one in run)
    else:
        yield run


def _folds(one: Step, listed: Collection[str]) -> bool:
    """Whether it says no more than that it was done once more, or is said elsewhere."""
    is_plain = one.in_force and not one.amended and one.now is None
    is_shake = one.kind == "shaken" and _REMARK not in one.said and is_of_a_day(one)
    return is_plain and (is_shake or one.id in listed)


def _goes_on(before: Step, one: Step, listed: Collection[str]) -> bool:
    """Shakes by one person are one row; so is what tables of the record have already."""
    if not (_folds(before, listed) and _folds(one, listed)):
        return False
    both_listed = before.id in listed and one.id in listed
    return both_listed or (before.kind, before.by) == (one.kind, one.by)


def is_of_a_day(one: Step) -> bool:
    """Whether the day it happened is known."""
    return len(one.when) == len("2025-03-03") and " " not in one.when


def days_of(run: Sequence[Step]) -> list[date]:
    """The days of a run of shakes."""
    return [date.fromisoformat(one.when) for one in run]


def days_late(run: Sequence[Step], zone: tzinfo) -> int:
    """The most days between what happened and when it was written down; 0 on the same day."""
    pairs = ((one.recorded.astimezone(zone).date(), date.fromisoformat(one.when)) for one in run)
    return max(abs((down - on).days) for down, on in pairs)
