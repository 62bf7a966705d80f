"""What a digest at the maker's hour says on a morning of a story told afterwards."""

from collections.abc import Iterable
from datetime import date, timedelta

from tests.command import Command
from tracker.core.rules.morning import Told, after_telling, lines_to_say
from tracker.core.rules.reminders import Due, due


def due_at_eight(command: Command, morning: date) -> dict[str, Due]:
    """What is due that morning by all that happened through the evening before."""
    bench = command.bench()
    jars = bench.batches(on=morning - timedelta(days=1))
    return {line.code: line for line in due(jars, bench.practice, morning)}


def digests(command: Command, mornings: Iterable[date]) -> dict[date, dict[str, Due]]:
    """The digest of each morning in turn, one remembering what the last one said."""
    bench, told, said = command.bench(), Told(), {}
    for morning in mornings:
        jars = bench.batches(on=morning - timedelta(days=1))
        lines = lines_to_say(jars, bench.practice, morning, told)
        told = after_telling(told, lines, morning)
        said[morning] = {line.code: line for line in lines}
    return said


def days(first: str, last: str) -> list[date]:
    """Every day from the first to the last, both included."""
    start, end = date.fromisoformat(first), date.fromisoformat(last)
    return [start + timedelta(days=number) for number in range((end - start).days + 1)]
