"""Books on disk written through facts, for what no verb of the test's own records."""

from collections.abc import Iterable

from tests.command import Command
from tracker.bench.bench import Draft
from tracker.core.facts.entry import Entry


def written_down(command: Command, entries: Iterable[Entry]) -> Command:
    """The command with these entries in its book, under their own ids."""
    command.practice('zone = "Europe/Berlin"\ncurrency = "EUR"\n')
    drafts = [Draft(one.id, one.subject, one.when, one.fact) for one in entries]
    command.bench().record(drafts)
    return command
