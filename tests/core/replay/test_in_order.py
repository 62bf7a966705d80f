"""What is told line by line is what all lines make of it, or is set apart to be folded whole."""

from random import Random

from hypothesis import given
from hypothesis import strategies as st

from tests.hostile.any_line import sent
from tests.hypothesis_profile import SHORT, USUAL, searching
from tests.lives import Pen, a_charge, books
from tests.valid_lives import valid_life
from tracker.core.facts.amendments import Amendment, Noted
from tracker.core.facts.entry import replay_order
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Shaken
from tracker.core.facts.ties import WHOLE_SHELF
from tracker.core.replay.families import joined_jars
from tracker.core.replay.in_order import InOrder
from tracker.core.replay.replay import replay


def told(entries):
    """What is told of these lines as they come, none of them known before."""
    story = InOrder(lambda _: None, {})
    for entry in entries:
        story.tell(entry, entry.jars)
    return story


def set_apart(story, entries):
    """All that is to be folded whole: what was set apart, and what is joined to it."""
    twice = {one.id for one in entries if sum(one.id == other.id for other in entries) > 1}
    apart = set(story.apart) | {jar for one in entries if one.id in twice for jar in one.jars}
    while True:
        near = [one for one in entries if not apart.isdisjoint(one.jars)]
        # An amendment of a stranger's may be about other jars than the line that it amends.
        amended = {one.fact.event for one in near if isinstance(one.fact, Amendment)}
        near += [one for one in entries if one.id in amended]
        more = joined_jars(near, lambda one: one) | apart
        if more == apart:
            return apart
        apart = more


def states(story, but):
    found = {one: told.state for one, told in story.told.items() if one not in but}
    return {one: state for one, state in found.items() if one != WHOLE_SHELF}


def whole(entries, but):
    shelf = replay(entries)
    found = shelf.jars | shelf.blends | shelf.lots
    return {one: state for one, state in found.items() if one not in but}


def is_told_as_folded(entries):
    story = told(entries)
    apart = set_apart(story, entries)
    folded = whole(entries, apart)
    # A code that two were given is shown with a letter, which nobody has given yet here.
    plain = {one: state for one, state in folded.items() if not state.flags}
    mine = states(story, apart)

    assert mine.keys() == folded.keys()
    assert {one: mine[one] for one in plain} == plain
    return mine


@USUAL
@given(books(), st.booleans())
def test_any_book_in_its_order_or_in_none(entries, in_order):
    is_told_as_folded(sorted(entries, key=replay_order) if in_order else entries)


@searching(8)
@given(st.integers(0, 10**6))
def test_a_valid_life_is_told_without_setting_anything_apart(seed):
    entries = sorted(valid_life(seed, 80).entries, key=replay_order)

    assert told(entries).apart == set()
    assert len(is_told_as_folded(entries)) > 3


@SHORT
@given(st.integers(0, 10**6))
def test_lines_of_strangers_between_those_of_a_valid_life(seed):
    chance = Random(seed)
    entries = valid_life(seed, 30).entries
    entries += sent(chance, entries, 30, "stranger")
    chance.shuffle(entries)
    is_told_as_folded(entries)


CODES = ("CAOF-25-01", "MEOF-25-01")


def test_a_line_of_a_day_past_sets_its_jar_apart_and_no_other():
    pen = Pen()
    first, second = (pen.write(a_charge(code=code), "2025-03-03").id for code in CODES)
    pen.write(Shaken(jars=(first, second)), "2025-03-05")
    pen.write(Noted(about=About(jar=first), note="smells of hay"), "2025-03-04")

    assert told(pen.entries).apart == {first}
