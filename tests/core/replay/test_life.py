"""A life brought on fact by fact is the life that all its lines make, told in one go."""

from random import Random

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import SHORT, USUAL
from tests.lives import OneJar, books, spirit
from tests.valid_lives import valid_life
from tracker.core.facts.amendments import Amendment, Noted
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled, BottleRun, Diluted, Dispensed
from tracker.core.replay.life import Life, new_flags
from tracker.core.replay.replay import Lives, lives_of


def whole(entries: list[Entry]) -> Lives:
    """Everything about all that these entries name, folded once."""
    return lives_of({jar for one in entries for jar in one.jars}, entries)


def told(life: Life, entry: Entry) -> None:
    """One more entry, as the record path goes on with it."""
    if isinstance(entry.fact, Amendment):
        life.replace(entry, life.folded([*life.entries.values(), entry]))
        return
    lives = life.tried(entry)
    (life.add if life.is_last(entry) else life.replace)(entry, lives)


def without_flags(lives: Lives) -> tuple[object, ...]:
    """What things are, whatever does not fit."""

    def bare(thing: object) -> object:
        return msgspec.structs.replace(thing, flags=[])

    batches = {one_id: bare(one) for one_id, one in lives.batches.items()}
    return batches, {one_id: bare(one) for one_id, one in lives.lots.items()}


def flags_of(lives: Lives) -> set[object]:
    things = [*lives.batches.values(), *lives.lots.values()]
    return {flag for one in things for flag in one.flags} | set(lives.strays)


@SHORT
@given(seed=st.integers(0, 10**6), told_before=st.integers(2, 40), late=st.integers(0, 12))
def test_a_valid_life_brought_on_is_the_life_told_in_one_go(seed, told_before, late):
    """Some of it is told late, with its own day: what came after it is told again."""
    entries = valid_life(seed, 70).entries
    openers = {jar for one in entries for jar in one.jars}
    lasting = [one for one in entries[told_before:] if one.id not in openers]
    back_dated = Random(seed).sample(lasting, min(late, len(lasting)))
    order = [one for one in entries if one not in back_dated] + back_dated
    life = Life()
    life.load(order[:told_before], {})
    for entry in order[told_before:]:
        told(life, entry)

    assert life.lives.batches == whole(entries).batches
    assert life.lives.lots == whole(entries).lots
    assert flags_of(life.lives) == set()


@USUAL
@given(books())
def test_any_book_brought_on_line_by_line_is_the_book_told_in_one_go(entries):
    """Wrong and impossible ones as well, with corrections, strikes and days in any order."""
    life = Life()
    life.load(entries[:1], {})
    for entry in entries[1:]:
        told(life, entry)

    assert without_flags(life.lives) == without_flags(whole(entries))
    assert flags_of(life.lives) == flags_of(whole(entries))


@USUAL
@given(books())
def test_trying_changes_nothing(entries):
    life = Life()
    life.load(entries[:-1], {})
    before = without_flags(life.lives), flags_of(life.lives)
    life.tried(entries[-1])

    assert (without_flags(life.lives), flags_of(life.lives)) == before
    assert set(life.entries) == {one.id for one in entries[:-1]}


def pressed() -> OneJar:
    one = OneJar.charged()
    one.press("2025-06-03")
    one.then(Dispensed(about=one.extract(), volume_ml=100.0), "2025-06-20")
    return one


def there_ml(lives: Lives, one: OneJar) -> float:
    assert one.pressing is not None
    extract = lives.batches[one.charge.id].extract(one.pressing.id)
    assert extract is not None
    return extract.volume_ml


@pytest.mark.parametrize(
    ("day", "is_last", "ml"),
    [("2025-06-10", False, 370.0), ("2025-06-20", True, 270.0), ("2025-06-21", True, 270.0)],
)
def test_what_stood_before_a_fact_is_what_stood_on_its_day(day, is_last, ml):
    one = pressed()
    life = Life()
    life.load(one.entries, {})
    entry = one.then(Dispensed(about=one.extract(), volume_ml=300.0), day)

    assert life.is_last(entry) == is_last
    assert there_ml(life.before(entry), one) == ml


def test_what_no_longer_fits_after_late_news_is_new_and_names_the_later_event():
    one = pressed()
    later = one.entries[-1]
    life = Life()
    life.load(one.entries, {})
    late = one.then(Dispensed(about=one.extract(), volume_ml=300.0), "2025-06-10")
    new = new_flags(life.lives, life.tried(late), late.jars)
    none = new_flags(life.lives, life.lives, late.jars)

    assert [flag.event for flag in new] == [later.id]
    assert none == []


def test_codes_stay_as_they_are_shown_whatever_is_told():
    one = pressed()
    life = Life()
    life.load(one.entries, {one.charge.id: (one.charge.fact.code, "CAOF-25-01b")})
    for day in ("2025-06-21", "2025-06-10"):
        told(life, one.then(Dispensed(about=one.extract(), volume_ml=1.0), day))

    assert life.lives.batches[one.charge.id].code == "CAOF-25-01b"


def test_a_filling_that_something_told_earlier_waits_for_is_told_before_that():
    """30 ml went into bottle 1 by the time something was noted about it, before the dilution."""
    one = pressed()
    about = one.extract()
    life = Life()
    life.load(one.entries, {})
    told(life, one.then(Noted(about=replace(about, bottle=1), note="cloudy"), "2025-06-21"))
    told(life, one.then(Diluted(about=about, pours=(spirit(50.0),), volume_ml=300.0), "2025-06-22"))
    run = BottleRun(size_ml=30.0, count=1, first=1)
    told(life, one.then(Bottled(about=about, bottles=(run,)), "2025-06-23"))

    assert life.lives == whole(one.entries)
