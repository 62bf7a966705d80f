"""Books on disk written through facts, for what no verb of the test's own records."""

from collections.abc import Iterable
from datetime import UTC

from msgspec.structs import replace

from tests.command import Command
from tracker.core.facts.entry import Entry
from tracker.journal.append import append


def written_down(command: Command, entries: Iterable[Entry]) -> Command:
    """The command with these entries in its book, under their own ids."""
    command.practice('zone = "Europe/Berlin"\ncurrency = "EUR"\n')
    bench = command.bench()
    recorded = bench.now().astimezone(UTC)
    lines = [replace(one, recorded=recorded) for one in entries]
    append(bench.book, bench.writer, lines, bench.state / "set-aside")
    return command
