"""Where all of a lot is: nothing of it disappears, and nothing is made up.

Lives of hundreds of events are held to a second reckoning in exact fractions.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT
from tests.lives import OneJar, Pen, a_charge
from tests.valid_lives import Life, valid_life
from tracker.core.facts.extracts import Counted, Discarded
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import pours_of
from tracker.core.facts.lots import BoughtHerb, Dried, Recalled
from tracker.core.reckoning.flows.flow_graph import Node
from tracker.core.reckoning.flows.not_on_hold import not_held
from tracker.core.reckoning.flows.recall import reach_of
from tracker.core.replay.replay import replay

NEAR = 1e-6


def origins(life: Life, lot: str) -> dict[tuple[str, int], Fraction]:
    """What came of a lot by origin, and how much of the lot each unit of it is."""
    each = {lot: Fraction(1)}
    for one in life.entries:
        if isinstance(one.fact, Dried) and one.fact.about.jar in each:
            fact = one.fact
            fresh = Fraction(fact.fresh_g) / Fraction(fact.herb_g)
            each[one.id] = each[fact.about.jar] * fresh
    found = {}
    for one in life.entries:
        if getattr(one.fact, "herb_lot", None) in each:
            found[one.id, 0] = each[one.fact.herb_lot]
        for place, pour in enumerate(pours_of(one.fact), 1):
            if pour.lot in each:
                found[one.id, place] = each[pour.lot]
    return found


def much_in(vessels, each) -> Fraction:
    return sum(
        (amount * each[origin] for one in vessels for origin, amount in one.parts.items()
         if origin in each),
        Fraction(0),
    )  # fmt: skip


@given(st.integers(0, 2**32), st.sampled_from([12, 60, 200]))
@SHORT
def test_all_of_every_lot_is_somewhere(seed, events):
    life = valid_life(seed, events)
    shelf = replay(life.entries)
    lots = list(shelf.lots.values())
    standing = [one for one in life.crocks.values() if one.ended is None]
    standing += life.extracts.values()
    standing += [bottle for one in life.extracts.values() for bottle in one.bottles.values()]
    marcs = [one.marc for one in life.crocks.values()]
    for lot in lots:
        each = origins(life, lot.id)
        one = reach_of(Node("lot", lot.id), list(shelf.batches), lots, life.entries).balance

        assert one.unknown == 0
        assert one.inside == pytest.approx(float(much_in(standing, each)), abs=NEAR)
        given_out, thrown, missing = (
            float(much_in([life.gone[name]], each))
            for name in ("dispensed", "discarded", "unaccounted")
        )
        assert one.given == pytest.approx(given_out, abs=NEAR)
        assert one.discarded == pytest.approx(thrown, abs=NEAR)
        # A count that found more is no amount that went missing; the reckoning here nets them.
        assert one.missing >= missing - NEAR
        behind = float(much_in([life.gone["marc"], life.gone["lees"], *marcs], each))
        assert one.stayed + one.missing == pytest.approx(behind + missing, abs=NEAR)
        whole = one.left + one.inside + one.given + one.discarded + one.missing + one.stayed
        assert whole == pytest.approx(lot.amount, abs=NEAR)


def fresh_lot(pen: Pen):
    return pen.write(
        BoughtHerb(code="FRESH-1", herb="Melissa officinalis", form="fresh", herb_g=1000.0),
        "2025-06-01",
    )


def test_what_was_dried_of_a_lot_counts_as_it_was_fresh():
    """800 g fresh gave 160 g dry, 5 to 1: 40 g in a jar are 200, 10 g missing 50, 110 g 550."""
    pen = Pen()
    fresh = fresh_lot(pen)
    dry = pen.write(
        Dried(about=About(jar=fresh.id), code="DRY-1", fresh_g=800.0, herb_g=160.0), "2025-06-05"
    )
    jar = OneJar(pen)
    jar.charge = pen.write(a_charge(herb_g=40.0, form="dried", herb_lot=dry.id), "2025-06-06")
    pen.write(Counted(about=About(jar=dry.id), herb_g=110.0), "2025-06-07")
    pen.write(Discarded(about=About(jar=fresh.id), herb_g=30.0, why="wilted"), "2025-06-08")
    shelf = replay(pen.entries)

    reach = reach_of(
        Node("lot", fresh.id), list(shelf.batches), list(shelf.lots.values()), pen.entries
    )

    assert {(one.code, one.of_lot) for one in reach.here} == {
        ("FRESH-1", 170.0), ("DRY-1", 550.0), ("CAOF-25-01", 200.0),
    }  # fmt: skip
    assert [(one.code, one.how, one.of_lot) for one in reach.left] == [
        ("DRY-1", "missing", 50.0), ("FRESH-1", "discarded", 30.0),
    ]  # fmt: skip
    one = reach.balance
    assert (one.came_in, one.left, one.inside, one.missing, one.discarded, one.stayed) == (
        1000.0, 720.0, 200.0, 50.0, 30.0, 0.0,
    )  # fmt: skip


def test_herb_that_was_not_weighed_is_not_known_and_not_nothing():
    pen = Pen()
    lot = fresh_lot(pen)
    pen.write(a_charge(herb_g=None, form="fresh", herb_lot=lot.id), "2025-06-06")
    shelf = replay(pen.entries)

    reach = reach_of(
        Node("lot", lot.id), list(shelf.batches), list(shelf.lots.values()), pen.entries
    )

    assert [(one.code, one.of_lot) for one in reach.here] == [
        ("FRESH-1", 1000.0), ("CAOF-25-01", None),
    ]  # fmt: skip
    assert reach.balance.stayed is None
    assert reach.balance.unknown > 0


def test_a_jar_thrown_out_is_on_the_list_with_all_that_was_in_it():
    pen = Pen()
    lot = fresh_lot(pen)
    jar = OneJar(pen)
    jar.charge = pen.write(a_charge(herb_g=60.0, form="fresh", herb_lot=lot.id), "2025-06-06")
    pen.write(Discarded(about=jar.jar, why="mould"), "2025-06-20")
    shelf = replay(pen.entries)

    reach = reach_of(
        Node("lot", lot.id), list(shelf.batches), list(shelf.lots.values()), pen.entries
    )

    (gone,) = reach.left
    assert (gone.code, gone.how, gone.g, gone.of_lot) == ("CAOF-25-01", "discarded", 60.0, 60.0)
    assert reach.balance.discarded == 60.0


def test_a_jar_that_names_a_recalled_lot_and_came_from_elsewhere_is_named():
    """Two machines: the recall was written down before the second jar was known here."""
    pen = Pen()
    first = pen.write(a_charge(lots=("Batch 7",)), "2025-06-06")
    recalled = Recalled(about=About(jar=first.id), jars=(first.id,), named="Batch 7", why="mites")
    pen.write(recalled, "2025-06-10")
    other = Pen("cellar-bo", pen.recorded)
    other.write(a_charge(code="LATE-1", lots=("batch  7",)), "2025-06-07")
    shelf = replay([*pen.entries, *other.entries])

    (flag,) = not_held(list(shelf.batches), list(shelf.lots.values()))

    assert (flag.misfit.codes, flag.misfit.lot) == (("LATE-1",), "Batch 7")
