"""Books on disk for the tests of the journal: written, read, and their chains reckoned anew."""

import json
from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path

from tests.lives import KITCHEN, OneJar
from tracker.bench.bench import Bench
from tracker.core.facts.entry import Entry
from tracker.journal.append import append
from tracker.journal.read import read_book


def a_bench(home: Path) -> Bench:
    """The bench of a book in a folder that holds its cache and state as well."""
    return Bench(home / "book", cache=home / "cache", state=home / "state")


def file_of(book: Path, source: str = KITCHEN) -> Path:
    """A writer's file."""
    return book / "events" / f"{source}.jsonl"


def some(count: int) -> list[Entry]:
    """A charge and so many shakes less one."""
    one = OneJar.charged()
    one.shake(*["2025-03-04"] * (count - 1))
    return one.entries


def write(book: Path, entries: Iterable[Entry]) -> None:
    """Each entry onto the end of its own writer's file, as a command of its own."""
    for one in entries:
        append(book, one.source, [one], book / "spare")


def write_together(book: Path, entries: list[Entry]) -> None:
    """The entries onto the end of their writer's file, as what one command recorded."""
    append(book, entries[0].source, entries, book / "spare")


def read(book: Path) -> list[Entry]:
    """Every entry of a book that has no damage."""
    placed, damages = read_book(book)
    assert damages == []
    return [one.entry for one in placed]


def check_chain(path: Path) -> list[dict[str, object]]:
    """Every line of a file, its digests reckoned anew with hashlib as FORMAT.md says."""
    previous, lines = "0" * 64, []
    for raw in path.read_bytes().split(b"\n")[:-1]:
        body, _, tail = raw.rpartition(b',"digest":')
        previous = sha256(previous.encode("ascii") + body).hexdigest()
        assert tail == b'"%b"}' % previous.encode()
        lines.append(json.loads(raw))
    return lines


def put(path: Path, lines: bytes) -> None:
    """As synchronising tools do: a temporary beside it, renamed over it."""
    fresh = path.with_name(f".{path.name}.tmp")
    fresh.write_bytes(lines)
    fresh.replace(path)
