"""A sample of the long clock: `scripts/long_clock.py` lives years of it."""

from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from tests.daemon.long_clock import LongClock
from tracker.core.rules import morning
from tracker.core.rules.morning import Told


@pytest.mark.parametrize("seed", [7])
def test_three_weeks_of_two_machines_keep_every_promise(tmp_path, seed):
    clock = LongClock(tmp_path, seed)
    clock.live(21)

    assert clock.broken() == []
    assert sum(len(one.awake) for one in clock.machines) > 20


@pytest.mark.thorough
@pytest.mark.parametrize("seed", [1, 4])
def test_months_of_two_machines_keep_every_promise(tmp_path, seed):
    clock = LongClock(tmp_path, seed)
    clock.live(80)

    assert clock.broken() == []
    assert clock.counts["clock set wrongly"] > 0
    assert clock.counts["marks damaged"] > 0
    assert sum(many for name, many in clock.counts.items() if name.startswith("killed")) > 0


@pytest.mark.thorough
def test_marks_that_silence_what_comes_before_them_are_noticed(tmp_path, monkeypatch):
    """So that the silence above means something: here a mark of 2106 counts for every day."""

    def has(told: Told, today: date) -> bool:
        return any(day - today >= timedelta() for day in told.days)

    monkeypatch.setattr(morning.Told, "has", has)
    clock = LongClock(tmp_path, 1)
    clock.live(60)

    assert any("nothing was told" in one for one in clock.broken())


@pytest.mark.thorough
def test_marks_that_are_forgotten_are_noticed(tmp_path, monkeypatch):
    """Likewise: here no digest is ever remembered."""
    after = morning.after_telling
    monkeypatch.setattr(
        "tracker.daemon.deliver.after_telling",
        lambda *given: replace(after(*given), last_digest=None, digests=()),
    )
    clock = LongClock(tmp_path, 1)
    clock.live(10)

    assert any("at most" in one for one in clock.broken())
