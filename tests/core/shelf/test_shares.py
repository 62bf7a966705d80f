"""Nothing is lost or made up in lives of hundreds of events: volume, ethanol, herb, money.

Each is held to a second reckoning in exact fractions (`tests.valid_lives`), vessel by vessel.
"""

from collections import defaultdict
from fractions import Fraction
from random import Random

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT
from tests.lives import Pen
from tests.valid_lives import Life, valid_life
from tracker.core.facts.amendments import Struck
from tracker.core.facts.extracts import Dispensed
from tracker.core.reckoning import costs
from tracker.core.replay.replay import replay
from tracker.core.shelf.contents import Contents, portion
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.misfit import RelabelAs
from tracker.core.shelf.shelf import Shelf
from tracker.core.values.money import rounded_money, shared

lives = st.builds(valid_life, st.integers(0, 2**32), st.sampled_from([12, 60, 200, 400]))
NEAR = 1e-6


def held(shelf: Shelf) -> dict[tuple[str, ...], Contents]:
    """What every vessel of the shelf holds."""
    found: dict[tuple[str, ...], Contents] = {}
    for jar in shelf.batches:
        if isinstance(jar, Jar) and jar.is_macerating:
            found[(jar.id,)] = jar.contents
        for extract in jar.extracts:
            found[jar.id, extract.id] = portion(extract.made, extract.volume_ml)
            for one in extract.bottles:
                made = portion(one.made or extract.made, one.volume_ml)
                found[jar.id, extract.id, str(one.number)] = made
    return found


def reckoned(life: Life) -> dict[tuple[str, ...], object]:
    """The same vessels by the second reckoning."""
    found = {(one.id,): one for one in life.crocks.values() if one.ended is None}
    for one in life.extracts.values():
        key = (one.about.jar, one.about.extract)
        found[key] = one
        found |= {(*key, str(number)): bottle for number, bottle in one.bottles.items()}
    return found


def amounts(made: Contents) -> dict[tuple[str, int], float]:
    """Grams of every herb and millilitres of every pour in it."""
    herbs = {(one.event, 0): one.g or 0.0 for one in made.herbs}
    return herbs | {(one.event, one.place): one.volume_ml for one in made.pours}


def shares(made: Contents) -> dict[tuple[str, int], float]:
    return {(one.event, one.place): one.share for one in made.costs}


def assert_near(mine, its, scale):
    for origin in mine.keys() | its.keys():
        assert float(mine.get(origin, 0)) == pytest.approx(
            float(its.get(origin, 0)), abs=NEAR * scale
        ), origin


@SHORT
@given(lives)
def test_every_event_of_a_valid_life_fits(life):
    shelf = replay(life.entries)

    assert shelf.unplaced == ()
    assert [
        (jar.code, flag)
        for jar in shelf.batches
        for flag in jar.flags
        if not isinstance(flag.misfit, RelabelAs)
    ] == []


@SHORT
@given(lives)
def test_every_vessel_holds_what_a_second_reckoning_says(life):
    mine, its = held(replay(life.entries)), reckoned(life)

    assert mine.keys() == its.keys()
    for key, made in mine.items():
        assert made.volume_ml == pytest.approx(float(its[key].ml), abs=NEAR)
        assert_near(amounts(made), its[key].parts, 1)
        assert_near(shares(made), its[key].cost, 1)


@SHORT
@given(lives)
def test_herb_pours_and_ethanol_are_all_somewhere(life):
    """In jars, extracts and bottles by the core; in marc, lees and what left by the walk."""
    found = defaultdict(float)
    for made in held(replay(life.entries)).values():
        for origin, amount in amounts(made).items():
            found[origin] += amount
    away = [*life.gone.values(), *(one.marc for one in life.crocks.values())]
    for vessel in away:
        for origin, amount in vessel.parts.items():
            found[origin] += float(amount)

    assert_near(found, life.poured, 1)
    ethanol = sum(float(strong) * found[origin] for origin, strong in life.ethanol.items())
    poured = sum(strong * life.poured[origin] for origin, strong in life.ethanol.items())
    assert ethanol / 100 == pytest.approx(float(poured) / 100, rel=1e-9)


@SHORT
@given(lives)
def test_money_adds_up_to_what_was_paid(life):
    """What is on the shelf and what went with what left; marc and lees cost nothing."""
    shelf = replay(life.entries)
    on_shelf = [costs.cost_of(one, shelf.lots) or Fraction(0) for one in held(shelf).values()]
    away = [
        sum((life.price[origin] * part for origin, part in one.cost.items()), Fraction(0))
        for one in life.gone.values()
    ]
    paid = sum(life.price.values(), Fraction(0))

    assert float(sum(on_shelf) + sum(away)) == pytest.approx(float(paid), abs=NEAR)
    assert not any(life.gone["lees"].cost.values())
    assert not any(life.gone["marc"].cost.values())
    # The second reckoning is exact: not a fraction of a cent is lost in it.
    inside = sum(
        (life.price[origin] * part for one in life.vessels() for origin, part in one.cost.items()),
        Fraction(0),
    )
    assert inside == paid
    assert sum(shared([*on_shelf, *away])) == rounded_money(sum([*on_shelf, *away], Fraction(0)))


@SHORT
@given(lives)
def test_volume_adds_up_in_every_extract(life):
    for jar in replay(life.entries).batches:
        for one in jar.extracts:
            gone = one.filter_loss_ml + one.lees_ml + one.passed_on_ml + one.dispensed_ml
            gone += one.discarded_ml + one.unaccounted_ml
            assert one.pressed_ml + one.added_ml == pytest.approx(one.left_ml + gone, abs=NEAR)


@SHORT
@given(lives)
@example(valid_life(3515508378, 400))  # an extract past its date stands on new herb
def test_nothing_is_good_for_longer_than_the_earliest_part_of_it(life):
    """Bottling starts nothing anew, blending and refilling keep the earlier day."""
    shelf = replay(life.entries)
    for one in life.extracts.values():
        extract = (shelf.jars | shelf.blends)[one.about.jar].extract(one.about.extract or "")
        assert extract is not None
        assert extract.good_through == one.keeps
        for number in one.bottles:
            bottle = extract.bottle(number)
            assert bottle is not None
            through = bottle.best_by or extract.good_through
            assert through == one.bottle_keeps.get(number, one.keeps)


@SHORT
@given(lives, st.integers(0, 2**32))
def test_the_order_the_lines_arrive_in_leaves_no_trace(life, seed):
    shuffled = list(life.entries)
    Random(seed).shuffle(shuffled)

    assert replay(shuffled) == replay(life.entries)


@SHORT
@given(lives, st.integers(0, 2**32))
def test_striking_what_was_given_out_equals_never_having_given_it_out(life, seed):
    given_out = [one for one in life.entries if isinstance(one.fact, Dispensed)]
    if not given_out:
        return
    target = Random(seed).choice(given_out)
    pen = Pen("attic-cleo", life.entries[-1].recorded)
    strike = pen.write(Struck(event=target.id, jars=target.jars, why="never was"), "2035-01-01")

    never = replay([one for one in life.entries if one is not target])

    assert replay([*life.entries, strike]) == never
