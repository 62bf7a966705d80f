import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tests.journal.on_disk import a_bench
from tests.lives import DAY_ONE, KINDS, KITCHEN, a_charge, facts_of, on, spirit
from tracker.bench.record import record
from tracker.core.facts.amendments import Corrected, Held, Released, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Counted, Pressed
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.lots import Bought, Recalled
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.flows.recall import Reach
from tracker.core.reckoning.odd_yield import OddYield
from tracker.core.rules.recorded import Draft, Recorded, StillHeld
from tracker.core.shelf.part import ShelfPart
from tracker.outputs.words.answers.more_fields import more_fields
from tracker.outputs.words.answers.reply import reply

TODAY = DAY_ONE.date()
NOWHERE = ShelfPart({}, {})


@given(st.sampled_from(KINDS).flatmap(facts_of))
@USUAL
def test_a_fact_is_answered_even_where_nothing_it_names_is_there(fact):
    """An answer comes after the writing: a traceback would hide that it was recorded."""
    entry = Entry("1", KITCHEN, 1, "CAOF-25-01", on("2025-03-03"), DAY_ONE, fact)
    recorded = Recorded((entry,), NOWHERE, NOWHERE, roots={"1": (None, None)}, names={"1": "1"})

    assert all(isinstance(line, str) for line in reply(recorded, Practice(), TODAY).lines)


@pytest.fixture
def bench(tmp_path):
    return a_bench(tmp_path)


def put(bench, subject, fact, day="2025-04-05", sure=False):
    draft = Draft(bench.new_id(), subject, on(day), fact)
    return draft.id, record(bench, [draft], sure=sure)


def said(bench, recorded):
    return " ".join(reply(recorded, bench.practice, TODAY).lines)


def pressed(jar, volume_ml):
    return Pressed(about=About(jar=jar), letter="A", volume_ml=volume_ml, keeps="P12M")


def test_an_odd_yield_is_a_value_that_names_the_jars_it_would_suit(bench):
    """60 ml of 500 ml is little; of 80 ml on 10 g of the same herb it is what to expect."""
    big, _ = put(bench, "CAOF-25-01", a_charge(), "2025-03-03")
    small = a_charge(code="CAOF-25-02", herb_g=10.0, pours=(spirit(80.0),))
    put(bench, "CAOF-25-02", small, "2025-03-03")
    press, recorded = put(bench, "CAOF-25-01", pressed(big, 60.0), "2025-06-05")
    odd = recorded.more[press]

    assert isinstance(odd, OddYield)
    assert odd.suits == ("CAOF-25-02",)
    assert "It would be usual for CAOF-25-02." in said(bench, recorded)


def test_a_usual_yield_asks_nothing(bench):
    jar, _ = put(bench, "CAOF-25-01", a_charge(), "2025-03-03")
    _, recorded = put(bench, "CAOF-25-01", pressed(jar, 370.0), "2025-06-05")

    assert not recorded.more
    assert "Which jar?" not in said(bench, recorded)


def test_a_count_is_held_against_what_the_book_said_before_it(bench):
    jar, _ = put(bench, "CAOF-25-01", a_charge(), "2025-03-03")
    press, _ = put(bench, "CAOF-25-01", pressed(jar, 370.0), "2025-06-05")
    count = Counted(about=About(jar=jar, extract=press), volume_ml=350.0)
    _, recorded = put(bench, "CAOF-25-01A", count, "2025-06-06")

    assert "the book said 370 ml: 20 ml unaccounted." in said(bench, recorded)


def test_a_recall_says_in_values_what_it_reaches_and_its_release_what_stays_held(bench):
    lot, _ = put(
        bench,
        "LOT-25-01",
        Bought(code="LOT-25-01", liquid="ethanol", volume_ml=2000.0, ethanol_pct_vol=45.0),
        "2025-03-01",
    )
    pours = (Pour(liquid="ethanol", volume_ml=500.0, ethanol_pct_vol=45.0, lot=lot),)
    jar, _ = put(bench, "CAOF-25-01", a_charge(pours=pours), "2025-03-03")
    recalled = Recalled(about=About(jar=lot), jars=(jar,), why="cloudy")
    recall, answer = put(bench, "LOT-25-01", recalled)
    reach = answer.more[recall]
    released = Released(about=About(jar=lot), why="was the light")
    release, after = put(bench, "LOT-25-01", released, "2025-04-06")

    assert isinstance(reach, Reach)
    assert [(one.code, one.on_hold) for one in reach.here] == [
        ("LOT-25-01", False), ("CAOF-25-01", False),
    ]  # fmt: skip
    assert more_fields(answer)["left"] == []
    assert after.more[release] == StillHeld(("CAOF-25-01",))
    assert "Still on hold with it: CAOF-25-01." in said(bench, after)


def test_a_strike_names_the_entry_and_what_a_corrected_correction_corrects(bench):
    jar, first = put(bench, "CAOF-25-01", a_charge(), "2025-03-03")
    fix = Corrected(event=jar, jars=(jar,), set={"herb_g": 90.0}, why="scales")
    fixed, _ = put(bench, "CAOF-25-01", fix)
    strike = Struck(event=fixed, jars=(jar,), why="they were right")
    _, struck = put(bench, "CAOF-25-01", strike)
    number = first.entries[0].sequence

    assert f"CAOF-25-01 corrects {number}: weight 90 g" in said(bench, struck)
    assert "Struck: " in said(bench, struck)


def test_nothing_is_called_meanwhile_where_only_a_remark_is_corrected(bench):
    jar, _ = put(bench, "CAOF-25-01", a_charge(), "2025-03-03")
    put(bench, "CAOF-25-01", Held(about=About(jar=jar), why="mould"))
    remark = Corrected(event=jar, jars=(jar,), set={"note": "a cool day"}, why="forgotten")
    weight = Corrected(event=jar, jars=(jar,), set={"herb_g": 90.0}, why="scales")
    _, remarked = put(bench, "CAOF-25-01", remark)
    _, weighed = put(bench, "CAOF-25-01", weight)

    assert remarked.meanwhile == ()
    assert "meanwhile" not in more_fields(remarked)
    assert [one.kind for one in weighed.meanwhile] == ["held"]
