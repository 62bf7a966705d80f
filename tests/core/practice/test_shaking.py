"""Shake plans: the phase in force on a day, and plans in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.core.practice.shake_plan import (
    ShakePhase,
    ShakePlan,
    parse_shake_plan,
    phase_on,
    plan_text,
)
from tracker.core.values.errors import MisusedError

DAILY_THEN_WEEKLY = (ShakePhase(1, 14), ShakePhase(7, until_ready=True))


@pytest.mark.parametrize(
    ("day", "ready", "every"),
    [
        # Common practice, no source: daily for two weeks, then weekly until it may be pressed.
        (0, False, 1),
        (14, False, 1),
        (15, False, 7),
        (89, False, 7),
        (89, True, None),
        (10, True, 1),  # the first phase says nothing of readiness
    ],
)
def test_the_phase_in_force_depends_on_the_day_and_on_readiness(day, ready, every):
    phase = phase_on(DAILY_THEN_WEEKLY, day, ready=ready)

    assert (phase.every_days if phase else None) == every


def test_after_the_last_phase_nobody_is_asked_to_shake():
    assert phase_on((ShakePhase(1, 14),), 15, ready=False) is None
    assert phase_on((), 0, ready=False) is None


@pytest.mark.parametrize(
    ("text", "plan"),
    [
        ("daily 14d, weekly", (ShakePhase(1, 14), ShakePhase(7))),
        ("daily 14d, weekly until ready", DAILY_THEN_WEEKLY),
        ("Daily for 2 weeks, weekly", (ShakePhase(1, 14), ShakePhase(7))),
        ("every 3d", (ShakePhase(3),)),
        ("every 3 days until ready", (ShakePhase(3, until_ready=True),)),
        ("twice a week", (ShakePhase(3),)),
        ("every other day 10d, fortnightly", (ShakePhase(2, 10), ShakePhase(14))),
        (
            "daily 14d, every 3d 21d, weekly",
            (ShakePhase(1, 14), ShakePhase(3, 35), ShakePhase(7)),
        ),
        ("daily 1 month", (ShakePhase(1, 30),)),
        ("daily 14d until ready", (ShakePhase(1, 14, until_ready=True),)),
        ("none", ()),
        ("never", ()),
        ("", ()),
    ],
)
def test_a_plan_is_read_as_a_maker_says_it(text, plan):
    assert parse_shake_plan(text) == plan


@pytest.mark.parametrize(
    "text",
    [
        "hourly", "every 0d", "every d", "daily,", "weekly, daily 14d", "daily 0d",
        "daily soon", "daily 14", "14d", "every -1d", "weekly until pressed",
        "daily 14d;weekly",
    ],
)  # fmt: skip
def test_a_plan_that_means_nothing_is_refused_in_its_own_words(text):
    with pytest.raises(MisusedError) as refused:
        parse_shake_plan(text)
    assert "daily 14d, weekly until ready" in refused.value.do or "28d" in refused.value.do


@pytest.mark.parametrize("wrong", [(0, None), (-1, None), (1, 0), (1, -3)])
def test_a_phase_counts_whole_days_from_one(wrong):
    with pytest.raises(ValueError):
        ShakePhase(*wrong)


@st.composite
def plans(draw: st.DrawFn) -> ShakePlan:
    """Phases that follow each other; the last may have no end."""
    through, phases = 0, []
    for _ in range(draw(st.integers(0, 3))):
        through += draw(st.integers(1, 60))
        phases.append(ShakePhase(draw(st.integers(1, 40)), through, draw(st.booleans())))
    if draw(st.booleans()):
        phases.append(ShakePhase(draw(st.integers(1, 40)), None, draw(st.booleans())))
    return tuple(phases)


@USUAL
@given(plans())
def test_a_plan_reads_back_from_the_words_it_is_shown_in(plan):
    assert parse_shake_plan(plan_text(plan)) == plan


@USUAL
@given(st.text(max_size=40) | st.text("daily wek0123,nturevdmohs", max_size=40))
def test_any_text_is_a_plan_or_is_refused(text):
    try:
        plan = parse_shake_plan(text)
    except MisusedError:
        return
    assert all(phase.every_days >= 1 for phase in plan)
