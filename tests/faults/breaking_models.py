"""Read models broken in every way that a disk, a program or a person can break a file."""

import os
import random
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path

from tracker.bench.bench import Bench
from tracker.bench.record import opened
from tracker.core.shelf.lot import Lot
from tracker.core.values.errors import TrackerError

PAGE = 4096
# A broken model costs one look and one rebuild; this is generous for a book of a few jars.
MOST_S = 20.0

Break = Callable[[random.Random, Path, bytes, bytes], None]


def flip(rng: random.Random, file: Path, whole: bytes, _older: bytes) -> None:
    """One bit, anywhere."""
    broken = bytearray(whole)
    broken[rng.randrange(len(whole))] ^= 1 << rng.randrange(8)
    file.write_bytes(broken)


def flip_many(rng: random.Random, file: Path, whole: bytes, _older: bytes) -> None:
    """Bits all over one page."""
    broken, start = bytearray(whole), page(rng, whole)
    for _ in range(rng.randrange(2, 200)):
        broken[start + rng.randrange(PAGE)] ^= 1 << rng.randrange(8)
    file.write_bytes(broken)


def cut(rng: random.Random, file: Path, whole: bytes, _older: bytes) -> None:
    """The end is gone."""
    file.write_bytes(whole[: rng.randrange(len(whole))])


def zero_page(rng: random.Random, file: Path, whole: bytes, _older: bytes) -> None:
    """A page that was never written."""
    put_page(file, whole, page(rng, whole), bytes(PAGE))


def noise_page(rng: random.Random, file: Path, whole: bytes, _older: bytes) -> None:
    """A page of anything."""
    put_page(file, whole, page(rng, whole), rng.randbytes(PAGE))


def swap_pages(rng: random.Random, file: Path, whole: bytes, _older: bytes) -> None:
    """One page stands where another should."""
    start = page(rng, whole)
    put_page(file, whole, page(rng, whole), whole[start : start + PAGE])


def stale_page(rng: random.Random, file: Path, whole: bytes, older: bytes) -> None:
    """A page as it was some commands ago: the write was lost."""
    start = page(rng, older)
    put_page(file, whole, start, older[start : start + PAGE])


def stale_all_but_a_page(rng: random.Random, file: Path, whole: bytes, older: bytes) -> None:
    """All pages but one as they were some commands ago."""
    start = page(rng, older)
    put_page(file, older, start, whole[start : start + PAGE])


def stale(_rng: random.Random, file: Path, _whole: bytes, older: bytes) -> None:
    """The model of some commands ago, which was a good one."""
    file.write_bytes(older)


def page(rng: random.Random, whole: bytes) -> int:
    """Where one page begins."""
    return rng.randrange(len(whole) // PAGE) * PAGE


def put_page(file: Path, whole: bytes, start: int, body: bytes) -> None:
    """The model with one page put into it."""
    file.write_bytes(whole[:start] + body + whole[start + PAGE :])


def by_sqlite(rng: random.Random, file: Path, whole: bytes, _older: bytes) -> None:
    """A program that knows SQLite edits, deletes, adds and drops."""
    file.write_bytes(whole)
    table = rng.choice(["seal", "cards", "states", "kin", "steps", "ids", "asides", "heads"])
    statement = rng.choice(
        [
            "DELETE FROM {0} WHERE rowid = (SELECT max(rowid) FROM {0})",
            "DELETE FROM {0}",
            "UPDATE {0} SET rowid = rowid + 1000",
            "DROP TABLE {0}",
            "DROP TABLE {0}; CREATE VIEW {0} AS WITH RECURSIVE n(number) AS (SELECT 0 UNION ALL"
            " SELECT number + 1 FROM n) SELECT number, x'00' AS body, '' AS file FROM n",
            "DROP TABLE {0}; CREATE TABLE {0} (number INTEGER PRIMARY KEY, body BLOB)",
            "ALTER TABLE {0} RENAME TO other",
            "ALTER TABLE {0} ADD COLUMN more TEXT DEFAULT 'x'",
            "CREATE TRIGGER t AFTER INSERT ON {0} BEGIN DELETE FROM cards; END",
            "CREATE INDEX more ON {0} (rowid)",
            "INSERT INTO heads SELECT 'x' || value, 9, '00', 1, 1 FROM generate",
            "PRAGMA user_version = 7; UPDATE {0} SET rowid = rowid + 1",
            "PRAGMA journal_mode = WAL; DELETE FROM {0}",
            "UPDATE states SET body = replace(body, '370', '470')",
            "UPDATE states SET body = CAST(body AS TEXT)",
            "UPDATE states SET body = (SELECT body FROM states LIMIT 1)",
            "UPDATE kin SET body = (SELECT body FROM kin LIMIT 1)",
            "UPDATE heads SET lines = lines + 5",
            "UPDATE heads SET digest = lower(hex(randomblob(32)))",
            "UPDATE cards SET body = zeroblob(length(body))",
        ]
    )
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute("CREATE TEMP TABLE generate (value)")
        rows = ((number,) for number in range(20_000 if "generate" in statement else 1))
        connection.executemany("INSERT INTO generate VALUES (?)", rows)
        try:
            connection.executescript(statement.format(table))
        except sqlite3.Error:
            connection.rollback()


def beside(rng: random.Random, file: Path, whole: bytes, older: bytes) -> None:
    """What SQLite takes for an unfinished change lies beside the model."""
    file.write_bytes(whole)
    tail = rng.choice(["-journal", "-wal", "-shm"])
    header = bytes.fromhex(
        {"-journal": "d9d505f920a163d7", "-wal": "377f0683002de218", "-shm": "007a2c18"}[tail]
    )
    body = rng.choice([b"", rng.randbytes(5000), header + rng.randbytes(5000), header + older])
    file.with_name(file.name + tail).write_bytes(body)


BREAKS: tuple[Break, ...] = (
    flip, flip, flip, flip_many, cut, zero_page, noise_page, swap_pages,
    stale_page, stale_all_but_a_page, stale, by_sqlite, by_sqlite, beside,
)  # fmt: skip


class BrokenModels:
    """One book, its good model, and an older one of the same book."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self.bench = Bench(home / "book", cache=home / "broken", state=home / "state-of-its-own")
        self.file = self.bench.model.file
        (events,) = (home / "book" / "events").glob("*.jsonl")
        written = events.read_bytes()
        whole_lines = written.splitlines(keepends=True)
        events.write_bytes(b"".join(whole_lines[: len(whole_lines) // 2]))
        answers(self.bench)
        self.older = self.file.read_bytes()
        with events.open("ab") as file:
            file.write(b"".join(whole_lines[len(whole_lines) // 2 :]))
        self.right = answers(self.bench)
        self.whole = self.file.read_bytes()

    def break_one(self, seed: int) -> str:
        """Break the model as this seed has it, ask everything, and see that all is right."""
        rng = random.Random(seed)
        for left in self.file.parent.iterdir():
            left.unlink()
        how = rng.choice(BREAKS)
        how(rng, self.file, self.whole, self.older)
        self.file.chmod(0o600)
        began = time.monotonic()
        found = self.read_only_answers() if rng.random() < 0.1 else answers(self.bench)
        took = time.monotonic() - began
        wrong = [pair for pair in zip(found, self.right, strict=True) if pair[0] != pair[1]]
        assert not wrong, f"seed {seed}, {how.__name__}: {wrong[0]}"
        assert took < MOST_S, f"seed {seed}, {how.__name__}: {took:.1f} s"
        return how.__name__

    def read_only_answers(self) -> list[str]:
        """The same where no model can be put in the place of the broken one."""
        aside = self.file.with_name("aside.sqlite")
        self.file.replace(aside)
        self.file.mkdir()
        try:
            os.link(aside, self.file / "in-the-way")
            return answers(self.bench)
        finally:
            (self.file / "in-the-way").unlink()
            self.file.rmdir()


def answers(bench: Bench) -> list[str]:
    """What is answered to every question there is, in words."""
    with bench.asking():
        batches = bench.batches()
        found = [
            bench.damages(), batches, bench.batches(live_only=True), bench.lots(),
            sorted(bench.codes()), bench.questions(), bench.not_held(), bench.unplaced(),
            bench.taken_out(), bench.stays(),
            [bench.find(one.code) for one in batches],
            [bench.find_lot(one.code) for one in bench.lots()],
            [refused(bench.find, f"X{one.code}") for one in batches[:1]],
            [bench.entries_of(one.id) for one in batches],
            [bench.pressed_alike(one.herb, date.max) for one in batches],
            [bench.read_alike(one.herb) for one in batches],
            sorted(bench.names_of(bench.entries_of(batches[0].id)).items()),
        ]  # fmt: skip
    return [*map(repr, found), *held_open(bench)]


def held_open(bench: Bench) -> list[str]:
    """What a recording verb looks up before it writes."""
    with opened(bench) as book:
        things = sorted(book.batches(), key=lambda one: one.id)
        lots: list[Lot] = sorted(book.lots(), key=lambda one: one.id)
        every = sorted(
            (entry for one in things for entry in book.entries_of(one.id)), key=lambda one: one.id
        )
        found = [
            things, lots, sorted(book.codes()), list(book.not_held()),
            sorted(book.names_of(every).items()),
            [book.entry(one.id) for one in every], book.entry("2"), book.entry(every[0].id[-12:]),
            refused(book.entry, "999"), refused(book.entry, "ffffffffffff"),
            [book.account_of(lot) for lot in lots], book.jars_on(date(2025, 3, 20)),
            [book.find(one.code) for one in things],
        ]  # fmt: skip
    return [repr(one) for one in found]


def refused(ask: Callable[[str], object], text: str) -> str:
    """Why there is no answer to that."""
    try:
        return repr(ask(text))
    except TrackerError as reason:
        return str(reason)
