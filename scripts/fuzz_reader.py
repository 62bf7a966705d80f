#!/usr/bin/env python3
"""Let coverage lead the fuzz of the reader and of the replay of what it read.

    .venv/bin/pip install atheris     # 3.0.0 was used; nothing else here needs it
    .venv/bin/python scripts/fuzz_reader.py CORPUS -max_total_time=3600

CORPUS is a folder that what reaches further is kept in; it begins as the named files of
tests/damaged_books. Of an input whose first byte is odd the chain is made to fit, so that what lies
behind the digest is reached. What breaks is left as `crash-…` in the folder it is run from: put it
into tests/damaged_books under a name that says what is wrong with it, with its row.
"""

import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import atheris

with atheris.instrument_imports(include=["tracker"]):
    from fuzz import corpus, relinked

    from tracker.core.practice.practice import Practice
    from tracker.core.replay.replay import replay
    from tracker.core.rules.reminders import due
    from tracker.journal.check import check
    from tracker.journal.read import read_book

NOW = datetime(2026, 1, 1, 12, 0, tzinfo=UTC)
_HOME = tempfile.TemporaryDirectory(dir="/dev/shm" if Path("/dev/shm").is_dir() else None)
_BOOK = Path(_HOME.name) / "book"


def one_input(data: bytes) -> None:
    """Read a file of these bytes, and replay and ask what was read."""
    blob = data[1:]
    if data[:1] and data[0] % 2:
        blob = relinked(blob.removesuffix(b"\n").split(b"\n"))
    file = _BOOK / "events" / "broken.jsonl"
    file.write_bytes(blob)
    placed, damages = read_book(_BOOK)
    shelf = replay([one.entry for one in placed])
    due([*shelf.jars.values(), *shelf.blends.values()], Practice(), NOW.date())
    check(_BOOK, damages, NOW)


def main() -> None:
    """Fuzz until it is stopped or something breaks."""
    (_BOOK / "events").mkdir(parents=True)
    for one in sys.argv[1:2]:
        folder = Path(one)
        folder.mkdir(parents=True, exist_ok=True)
        for number, blob in enumerate(corpus()):
            for first in (b"\0", b"\1"):
                if len(blob) < 20_000:
                    (folder / f"named-{number}-{first[0]}").write_bytes(first + blob)
    atheris.Setup([*sys.argv, "-max_len=20000"], one_input)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
