"""The house's rules and the kinds of preparation: common practice, no source, unless said."""

from datetime import date, time
from typing import get_args

import pytest

from tests.lives import OneJar
from tracker.core.practice.practice import BUILT_IN_RULES, Practice, Preparation, preparation
from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.reckoning import amounts
from tracker.core.values.times import Period

SPIRITS = ("spirit on fresh herb", "spirit on dried herb")


def test_every_preparation_has_its_rules():
    assert set(BUILT_IN_RULES) == set(get_args(Preparation))


@pytest.mark.parametrize("kind", SPIRITS)
def test_spirit_stands_three_months_at_least_without_a_longest_and_keeps_a_year(kind):
    """Common practice, no source."""
    rules = BUILT_IN_RULES[kind]

    assert rules.least == Period(months=3)
    assert rules.longest is None
    assert rules.keeps == Period(months=12)
    assert rules.shake == (ShakePhase(1, 14), ShakePhase(7, until_ready=True))


def test_three_months_are_calendar_months_clamped_to_the_end():
    """From 30 November 2025: to 28 February 2026, by the corresponding-date rule."""
    one = OneJar.charged("2025-11-30", least=BUILT_IN_RULES["spirit on dried herb"].least.iso)

    assert amounts.earliest_press(one.now()) == date(2026, 2, 28)


def test_a_year_of_keeping_is_counted_from_the_pressing():
    one = OneJar.charged("2025-01-10")
    one.press("2025-06-03", keeps=BUILT_IN_RULES["spirit on dried herb"].keeps.iso)

    assert one.now().extracts[0].good_through == date(2026, 6, 3)


def test_an_oil_has_a_longest_time_and_is_looked_at_early():
    """Common practice, no source: damp herb in oil spoils within days."""
    rules = BUILT_IN_RULES["oil"]

    assert rules.longest is not None
    assert rules.look_days[0] <= 3


@pytest.mark.parametrize("kind", get_args(Preparation))
def test_no_rule_of_the_house_contradicts_itself(kind):
    rules, day = BUILT_IN_RULES[kind], date(2025, 1, 31)

    assert rules.least.after(day) > day
    assert rules.keeps.after(day) > day
    assert rules.longest is None or rules.longest.after(day) >= rules.least.after(day)


def test_a_digest_comes_within_waking_hours_by_default():
    practice = Practice()

    assert practice.waking_from <= practice.digest_at < practice.waking_until
    assert practice.digest_at == time(8)
    assert practice.origins == {}


@pytest.mark.parametrize(
    ("liquids", "form", "kind"),
    [
        (["ethanol"], "dried", "spirit on dried herb"),
        (["ethanol"], "fresh", "spirit on fresh herb"),
        (["ethanol", "water"], "dried", "spirit on dried herb"),
        (["glycerin", "ethanol", "water"], "fresh", "spirit on fresh herb"),
        (["honey", "vinegar"], "dried", "honey or oxymel"),
        (["vinegar", "honey"], "dried", "honey or oxymel"),
        (["syrup"], "fresh", "syrup"),
        (["vinegar", "water"], "dried", "vinegar"),
        (["glycerin", "water"], "dried", "glycerite"),
        (["oil"], "dried", "oil"),
        (["water"], "dried", "water"),
        (["other"], "fresh", "other"),
        ([], "dried", "other"),
    ],
)
def test_the_liquids_decide_the_kind_of_preparation(liquids, form, kind):
    assert preparation(liquids, form) == kind
