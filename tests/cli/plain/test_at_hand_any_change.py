"""Whatever is done to a book and around it, what is at hand is what would be printed anyway."""

import os
import shutil
import tempfile
from contextlib import suppress
from datetime import UTC
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from tests.cli.plain.forked import Screen, asked
from tests.command import Command
from tests.conftest import WORK
from tests.hypothesis_profile import searching
from tracker import clock

pytestmark = pytest.mark.thorough

LINES = ("due", "shelf", "stock", "show CAOF-25-01", "show MEOF-25-01A", "show X")
PRACTICES = ("", 'zone = "Europe/Berlin"\n', 'zone = "Pacific/Auckland"\n', "zone = 3\n")
PRACTICES += ("[reminders]\n", 'count_every = "1 month"\n')
FACTS = ("note CAOF-25-01 seen", "dispense CAOF-25-01A 10ml --sure", "away 2026-01-01 2026-02-01")
FACTS += ("look CAOF-25-01A --sign mould --verdict hold", "shake MEOF --when 2031-01-01")
HOUR_S = 3600.0
HITS = {"count": 0}
# Which of some files: drawn before it is known how many there are, which the disk's time decides.
PLACES = st.integers(0, 11)


class AnyChange(RuleBasedStateMachine):
    """One book, two writers, a clock that jumps, and a disk on which anything may change."""

    def __init__(self) -> None:
        super().__init__()
        self.home = Path(tempfile.mkdtemp())
        self.maker = Command(self.home)
        self.line, self.screen = "due", Screen()
        self.other = Command(self.home, writer="loft")
        # Ahead of what the disk says, for what was changed a moment ago is not kept.
        self.now = clock.now(UTC).timestamp() + 48 * HOUR_S

    def teardown(self) -> None:
        shutil.rmtree(self.home)

    @initialize()
    def begin(self) -> None:
        self.maker.practice(PRACTICES[1])
        for line in WORK:
            self.maker.ok(line)

    def files(self) -> list[Path]:
        return sorted((self.maker.book / "events").glob("*.jsonl"))

    @rule(line=st.sampled_from(LINES), columns=st.sampled_from([None, None, None, 60, 100]))
    def look_elsewhere(self, line: str, columns: int | None) -> None:
        self.line, self.screen = line, Screen(columns)

    @invariant()
    def the_answer_is_the_same_once_and_twice(self) -> None:
        line, screen = self.line, self.screen
        for _ in range(2):
            if (self.maker.bench().state / "untold").exists():  # it is printed once
                found, was_at_hand = asked(self.maker, line, self.now, screen)
                assert not was_at_hand
                assert found.err.startswith("CAOF-25-01 is ready\n")
                continue
            found, was_at_hand = asked(self.maker, line, self.now, screen)
            HITS["count"] += was_at_hand
            assert found == asked(self.maker, line, self.now, screen, fully=True)[0]

    @rule(hours=st.sampled_from([-100, -24, -1, 1, 7, 24, 24 * 40]))
    def the_clock_is_set(self, hours: int) -> None:
        self.now = max(self.now + hours * HOUR_S, clock.now(UTC).timestamp() + HOUR_S)

    @rule(fact=st.sampled_from(FACTS), by_other=st.booleans(), same_tick=st.booleans())
    def record(self, fact: str, by_other: bool, same_tick: bool) -> None:
        seen = {file: file.stat() for file in self.files()}
        (self.other if by_other else self.maker).run(fact)
        for file, before in seen.items():
            if same_tick:
                os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))

    @rule(text=st.sampled_from(PRACTICES))
    def practise(self, text: str) -> None:
        self.maker.practice(text)

    @rule(place=PLACES, how=st.integers(0, 3), is_new=st.booleans(), keep_time=st.booleans())
    def spoil(self, place: int, how: int, is_new: bool, keep_time: bool) -> None:
        files = self.files()
        file = files[place % len(files)]
        before, whole = file.stat(), file.read_bytes()
        spelt = whole.replace(b"Calendula", b"Calenduli", 1)
        if is_new:
            file.unlink()
        file.write_bytes((whole[:-1], spelt, whole + b"{", whole)[how])
        if keep_time:
            os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))

    @rule(name=st.sampled_from(["x.jsonl", "~x.jsonl", "x.txt", "y.jsonl"]))
    def something_lies_beside(self, name: str) -> None:
        file = self.maker.book / "events" / name
        if file.exists():
            file.unlink()
        else:
            file.write_bytes(self.files()[0].read_bytes() if name < "y" else b"")

    @rule(what=st.sampled_from(["said-*", "shelf-*", "own-ends"]))
    def forget(self, what: str) -> None:
        for place in (self.maker.cache, self.maker.state):
            for file in place.rglob(what):
                file.unlink()

    @rule(place=PLACES, further=st.integers(1, 3))
    def swap_what_is_kept(self, place: int, further: int) -> None:
        kept = sorted(self.maker.cache.rglob("said-*"))
        one, two = (kept[at % len(kept)] if kept else None for at in (place, place + further))
        if one is not None and two is not None and one != two:
            shutil.copy(one, two)

    @rule(name=st.sampled_from(["NO_COLOR", "TZ"]), text=st.sampled_from([None, "1", "Asia/Tokyo"]))
    def surround(self, name: str, text: str | None) -> None:
        self.maker.env.pop(name, None)
        if text is not None:
            self.maker.env[name] = text

    @rule()
    def something_was_not_delivered(self) -> None:
        with suppress(FileNotFoundError):
            (self.maker.bench().state / "untold").write_text("CAOF-25-01 is ready")


def test_what_is_at_hand_is_what_would_be_printed():
    HITS["count"] = 0
    told = settings(searching(12), stateful_step_count=20)
    run_state_machine_as_test(AnyChange, settings=told)

    assert HITS["count"] > 25
