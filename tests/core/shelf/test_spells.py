"""How long a liquid stood too weak to keep: the spells of parts and of what is made of them."""

from datetime import date

from tests.lives import on
from tracker.core.shelf.spell import Spell, spells_of

MONDAY, TUESDAY, FRIDAY = date(2025, 3, 3), date(2025, 3, 4), date(2025, 3, 7)


def test_what_is_strong_has_no_spell():
    assert spells_of((), 45.0, on(MONDAY)) == ()


def test_a_weak_liquid_is_weak_from_the_day_it_was_made():
    assert spells_of((), 12.0, on(MONDAY)) == (Spell(12.0, MONDAY),)


def test_weaker_still_is_weak_since_the_first_day_for_whom_that_was_weak():
    """At 18 % it was weak for a maker who warns below 20 %, and fine for one of 15 %."""
    spells = spells_of(spells_of((), 18.0, on(MONDAY)), 10.0, on(FRIDAY))

    assert set(spells) == {Spell(18.0, MONDAY), Spell(10.0, FRIDAY)}


def test_what_was_made_stronger_leaves_a_spell_that_ended():
    spells = spells_of(spells_of((), 12.0, on(MONDAY)), 45.0, on(FRIDAY))

    assert spells == (Spell(12.0, MONDAY, FRIDAY),)


def test_stronger_and_still_weak_goes_on_for_the_stricter_maker():
    spells = spells_of(spells_of((), 12.0, on(MONDAY)), 18.0, on(FRIDAY))

    assert set(spells) == {Spell(18.0, MONDAY), Spell(12.0, MONDAY, FRIDAY)}


def test_made_stronger_on_the_same_day_was_never_weak():
    assert spells_of(spells_of((), 12.0, on(MONDAY)), 45.0, on(MONDAY)) == ()


def test_nobody_knows_the_strength_and_what_was_weak_stays_weak():
    spells = spells_of(spells_of((), 12.0, on(MONDAY)), None, on(FRIDAY))

    assert set(spells) == {Spell(12.0, MONDAY), Spell(None, FRIDAY)}


def test_a_spell_within_another_says_nothing_more():
    parts = (Spell(5.0, MONDAY), Spell(12.0, TUESDAY))

    assert spells_of(parts, 4.0, on(FRIDAY)) == (Spell(4.0, FRIDAY), Spell(5.0, MONDAY))
