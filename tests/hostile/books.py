"""A book with an honest writer's file and a hostile one beside it."""

import shutil
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path
from random import Random
from unittest.mock import patch

from tests.command import Command
from tests.hostile.any_line import sent
from tracker.core.facts.entry import Entry
from tracker.core.shelf.thing import things
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import write_unit
from tracker.journal.read import read_book

DEMO = Path(__file__).parents[2] / "demo_events"
STRANGER = "stranger"


def put(book: Path, writer: str, entries: Sequence[Entry], *, units: Iterable[int] = ()) -> None:
    """A writer's file of these lines, as units of these sizes and then line by line.

    Its program has no bounds: what is beyond them is for the reader to set apart.
    """
    digest, blob, start = GENESIS, b"", 0
    with patch("tracker.journal.line.beyond_bounds", return_value=None):
        for size in (*units, *[1] * len(entries)):
            if start >= len(entries):
                break
            lines, digest = write_unit(entries[start : start + size], digest)
            blob += b"".join(lines)
            start += size
    (book / "events").mkdir(parents=True, exist_ok=True)
    (book / "events" / f"{writer}.jsonl").write_bytes(blob)


@cache
def known(events: Path) -> tuple[Entry, ...]:
    """Every entry of a book that is whole."""
    placed, damages = read_book(events)
    assert not damages
    return tuple(one.entry for one in placed)


def beside(
    home: Path, honest: Path, chance: Random, many: int, *, ends_of_time: bool = False
) -> tuple[Command, list[Entry]]:
    """The command with a copy of an honest book and so many lines of a stranger's in it."""
    command = Command(home)
    (command.book / "events").mkdir(parents=True)
    for file in (honest / "events").glob("*.jsonl"):
        shutil.copy(file, command.book / "events" / file.name)
    practice = honest / "practice.toml"
    if practice.exists():
        shutil.copy(practice, command.book / "practice.toml")
    else:
        command.practice('zone = "Europe/Berlin"\n')
    lines = sent(chance, known(honest), many, STRANGER, ends_of_time=ends_of_time)
    sizes = [chance.choice((1, 1, 2, 5)) for _ in range(many)]
    put(command.book, STRANGER, lines, units=sizes)
    return command, lines


def codes_there(command: Command) -> list[str]:
    """The codes things of a book go by."""
    bench = command.bench()
    found = [one.code for batch in bench.batches() for one in things(batch)]
    return list(dict.fromkeys([*found, *(one.code for one in bench.lots())]))
