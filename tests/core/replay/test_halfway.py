"""An entry put into the middle of a life makes the life that all its lines make, told in one go."""

from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.bench.counting import counted
from tests.hostile.any_line import sent
from tests.hypothesis_profile import SHORT, searching
from tests.lives import OneJar, books, on
from tests.valid_lives import valid_life
from tracker.core.facts.amendments import Amendment, Noted
from tracker.core.facts.fields import About
from tracker.core.replay.in_force import settle
from tracker.core.replay.life import Life
from tracker.core.replay.replay import apply_entry


def brought_on(entries, chance, told_before):
    """Bring a life on in any order; each step is held against the whole, told in one go."""
    order = [*entries]
    chance.shuffle(order)
    life, between = Life(), 0
    life.load(order[:told_before], {})
    recorded = datetime(2026, 1, 1, tzinfo=UTC)
    for number, one in enumerate(order[told_before:], 1):
        # What is recorded comes last in its file, whatever day it is of.
        entry = replace(one, source="late", sequence=number, recorded=recorded)
        if entry.id in life.entries:
            continue
        everything = [*life.entries.values(), entry]
        if isinstance(entry.fact, Amendment):
            life.replace(entry, life.folded(everything))
            continue
        if life.is_last(entry):
            life.add(entry, life.tried(entry))
            continue
        between += 1
        settled = settle([*life.entries.values()]).entries

        found, whole = life.before(entry), life.before_among(settled, entry)
        assert (found.batches, found.lots) == (whole.batches, whole.lots)
        lives = life.tried(entry)
        assert lives == life.folded(everything)
        life.replace(entry, lives)
    return between


@SHORT
@given(books(), st.integers(0, 10**6))
def test_any_book_in_any_order(entries, seed):
    brought_on(entries, Random(seed), 1)


@searching(3)
@given(st.integers(0, 10**6))
def test_a_valid_life_in_any_order(seed):
    assert brought_on(valid_life(seed, 50).entries, Random(seed), 10) > 0


@searching(8)
@given(st.integers(0, 10**6))
def test_lines_that_never_met_the_gate_in_any_order(seed):
    chance = Random(seed)
    brought_on(sent(chance, valid_life(seed, 30).entries, 30, "stranger"), chance, 5)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(60))
def test_sixty_more_of_either(seed):
    chance = Random(seed)
    brought_on(valid_life(seed, 40).entries, chance, 10)
    brought_on(sent(chance, valid_life(seed, 30).entries, 30, "stranger"), chance, 5)


@pytest.mark.parametrize("days", ["in order", "backwards"])
def test_a_page_of_days_long_past_is_told_in_little_more_than_its_length(days):
    """Told from its beginning for each, 200 lines would take more than 20,000 steps."""
    jar = OneJar.charged()
    jar.shake(*["2025-12-01"] * 5)
    life = Life()
    life.load(jar.entries, {})
    late = [
        replace(
            jar.entries[-1],
            id=f"late-{number:04d}",
            source="late",
            sequence=number,
            when=on(f"2025-{4 + number // 28:02d}-{1 + number % 28:02d}"),
            recorded=datetime(2026, 1, 1, tzinfo=UTC) + timedelta(seconds=number),
            fact=Noted(about=About(jar=jar.entries[0].id), note="late"),
        )
        for number in range(200)
    ]
    with counted(apply_entry) as calls:
        for entry in late if days == "in order" else reversed(late):
            life.before(entry)
            life.replace(entry, life.tried(entry))

    assert calls["apply_entry"] < 15 * len(late)
