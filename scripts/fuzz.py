#!/usr/bin/env python3
"""Fuzz the reader of the book and the command line: `python scripts/fuzz.py [EXAMPLES]`.

The reader gets bytes: the named files of tests/damaged_books, broken further by flips, cuts,
repeats and values of any shape, half of them with a chain made to fit so that what lies behind
the digest is reached. The command gets words: verbs, options, codes, amounts and hostile text.
Both run in this process under Hypothesis, which makes a failing input small before it shows it;
put it into tests/damaged_books under a name that says what is wrong with it.

Held to: no exception but the expected ones, no line of an untouched file lost, no byte written
by a refused command, and after every command a chain that holds.
"""

import json
import os
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from unittest import mock

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from tracker.bench.bench import Bench
from tracker.cli.help.verb_table import VERBS
from tracker.cli.main import app
from tracker.core.values.errors import TrackerError
from tracker.journal.check import check
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import link
from tracker.journal.read import read_book

CORPUS = Path(__file__).parents[1] / "tests" / "damaged_books"
# These stay, ring, fill a folder or set up a service; the rest is run as it is.
VERBS_RUN = sorted(VERBS.keys() - {"daemon", "remind", "demo", "reminders"})

NOW = datetime(2026, 1, 1, 12, 0, tzinfo=UTC)
_SPACE = 1 << 16

_hostile = st.sampled_from(
    [
        "", " ", "-", "--", "\t", "\x1b[2J", "\u202egnp", "=1+1", "@SUM(A1)", "<b>",
        "../../x", "CON", "NaN", "1e999", "-1", "99999999999999999999", "\udc80", "\u2028",
        "🌿" * 600, "C\u0410OF-25-01", "%s%n", "${HOME}", "BEGIN:VEVENT", "'; DROP TABLE jars;",
    ]
)  # fmt: skip
_words = st.sampled_from(
    [
        "CAOF-25-01", "CAOF-25-01A", "CAOF-25-01A/1", "CAOF", "100g", "12 oz", "500 ml 45%",
        "370ml", "3x50ml", "60%", "1:5", "water", "2025-03-03", "2025", "unknown", "28d",
        "Melissa officinalis", "bench-0001", "volume=330ml", "when=2025-04-01", "set={}",
        "--when", "--by", "--note", "--json", "--csv", "--on", "--dry-run", "--pour", "--to",
        "--dried", "--fresh", "--set", "--why", "--from", "--jar", "--ratio", "--verdict",
        "--sign", "--code", "--count", "--digest", "--against", "--accept", "--done", "--help",
        ".", "-", "1", "2", "3", "calendula", "marigold flower", "CAOF-25-01..12", "LOT-25-01",
        "CAOF-25-01A/1..3", "..", "CAOF-25-01..", "--all", "--due", "--sure", "--yes", "--like",
        "--list", "--at", "--me", "--country", "--hour", "--place", "--kind", "--herb", "--sheet",
        "--restore", "--poured-off", "--again", "--with", "--not-weighed", "by eye", "monday",
        "2 Feb", "29 Feb", "3 days ago", "yesterday 18:30", "3/4", "summer 2023", "24:00", "me",
        "herb=Melissa", "day=monday", "thing=.", "bash", "zsh", "CAOF-25-01A = 6 ml", "DE",
    ]
)  # fmt: skip
# No system passes a NUL in an argument.
_texts = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=8)
commands = st.tuples(
    st.sampled_from(VERBS_RUN), st.lists(_words | _hostile | _texts, max_size=7)
).map(lambda said: [said[0], *said[1]])

_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner),
    max_leaves=5,
)


def corpus() -> list[bytes]:
    """The named files."""
    return [path.read_bytes() for path in sorted(CORPUS.glob("*.jsonl"))]


def relinked(lines: list[bytes]) -> bytes:
    """The bodies of these lines with a chain that fits, whatever they contain."""
    digest, blob = GENESIS, b""
    for line in lines:
        body = line.rpartition(b',"digest":')[0] or line
        digest = link(digest, body)
        blob += body + b',"digest":"' + digest.encode() + b'"}\n'
    return blob


def _cut(draw: st.DrawFn, blob: bytes) -> bytes:
    start = draw(st.integers(0, _SPACE)) % (len(blob) + 1)
    length = draw(st.integers(0, 80))
    put = draw(st.binary(max_size=12) | st.just(blob[start : start + length] * 2))
    return blob[:start] + put + blob[start + length :]


def _flipped(draw: st.DrawFn, blob: bytes) -> bytes:
    place = draw(st.integers(0, _SPACE)) % max(len(blob), 1)
    return blob[:place] + bytes([blob[place] ^ 1 << draw(st.integers(0, 7))]) + blob[place + 1 :]


def _reshaped(draw: st.DrawFn, blob: bytes) -> bytes:
    """One value of one line made another, the chain made to fit."""
    lines = blob.split(b"\n")[:-1]
    place = draw(st.integers(0, _SPACE)) % max(len(lines), 1)
    try:
        event = json.loads(lines[place])
        inside = event["data"] if draw(st.booleans()) else event
        name = draw(st.sampled_from(sorted(inside)))
        inside[name] = draw(_json)
        lines[place] = json.dumps(event).encode("utf-8", "surrogatepass")
    except (ValueError, TypeError, KeyError, IndexError, RecursionError):
        return blob
    return relinked(lines)


@st.composite
def files(draw: st.DrawFn) -> bytes:
    """The bytes of a writer's file after an accident or two."""
    blob = draw(st.sampled_from(corpus()))
    for _ in range(draw(st.integers(0, 3))):
        breaks: Callable[[st.DrawFn, bytes], bytes] = draw(
            st.sampled_from([_cut, _flipped, _reshaped])
        )
        blob = breaks(draw, blob) if blob else blob
    return relinked(blob.split(b"\n")[:-1]) if draw(st.booleans()) else blob


def read_whole(blob: bytes, whole: bytes) -> None:
    """Read a broken file beside a whole one; everything is asked of both."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        events = home / "book" / "events"
        events.mkdir(parents=True)
        (events / "whole.jsonl").write_bytes(whole)
        (events / "broken.jsonl").write_bytes(blob)
        placed, _ = read_book(home / "book")
        kept = [one for one in placed if one.file == "whole.jsonl"]
        assert len(kept) == whole.count(b"\n"), "a line of the untouched file is lost"
        bench = Bench(home / "book", cache=home / "c", state=home / "s", read_clock=lambda: NOW)
        for one in bench.batches():
            bench.entries_of(one.id)
        bench.questions()
        bench.unplaced()
        check(bench.book, bench.damages(), NOW)
        assert (events / "broken.jsonl").read_bytes() == blob, "reading wrote"


def run_command(words: list[str], whole: bytes) -> None:
    """Run one command on a small book of its own."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        file = home / "book" / "events" / "bench.jsonl"
        file.parent.mkdir(parents=True)
        file.write_bytes(whole)
        env = {
            f"XDG_{name}_HOME": str(home / name) for name in ("CACHE", "STATE", "DATA", "CONFIG")
        }
        env |= {"STILLROOM_BOOK": str(home / "book"), "STILLROOM_WRITER": "bench"}
        here = Path.cwd()
        os.chdir(home)
        try:
            with mock.patch.dict(os.environ, {"HOME": str(home)}):
                done = CliRunner().invoke(app, words, env=env, input="")
        finally:
            os.chdir(here)
        expected = (TrackerError, SystemExit)
        if done.exception is not None and not isinstance(done.exception, expected):
            raise done.exception
        now = file.read_bytes()
        assert now.startswith(whole), "an earlier byte changed"
        assert done.exit_code == 0 or now == whole, "a refused command wrote"
        assert not [one for one in read_book(home / "book")[1] if one.counts]


def fuzz(examples: int, *, derandomize: bool = False) -> int:
    """Both fuzzers with this many inputs each; how many were tried."""
    whole = (CORPUS / "whole.jsonl").read_bytes()
    tried = 0
    search = settings(
        max_examples=examples,
        deadline=None,
        derandomize=derandomize,
        database=None,
        suppress_health_check=list(HealthCheck),
    )

    @search
    @given(files())
    def reader(blob: bytes) -> None:
        nonlocal tried
        tried += 1
        read_whole(blob, whole)

    @search
    @given(commands)
    def command(words: list[str]) -> None:
        nonlocal tried
        tried += 1
        run_command(words, whole)

    reader()
    command()
    return tried


def main() -> None:
    """Fuzz, and say how much."""
    examples = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    print(f"{fuzz(examples)} inputs: no crash, no hang, no loss")


if __name__ == "__main__":
    main()
