"""Corrections, strikes and `same`: each is held to the life it would make."""

import pytest

from tests.core.house import House
from tests.core.rules.asking import amended, life_of, misuses, said
from tests.lives import OneJar, a_charge
from tracker.core.facts.amendments import Corrected, Noted, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Dispensed, Pressed
from tracker.core.facts.fields import Pour
from tracker.core.facts.jars import Shaken
from tracker.core.practice.practice import Practice
from tracker.core.replay.life import new_flags
from tracker.core.shelf.misfit import MoreThanThere


def correction(entry, values, *more_jars):
    return Corrected(event=entry.id, jars=(*entry.jars, *more_jars), set=values, why="misread")


def strike(entry):
    return Struck(event=entry.id, jars=entry.jars, why="never was")


def same(first, second):
    jars = tuple(dict.fromkeys([*first.jars, *second.jars]))
    return SameAs(event=second.id, stands=first.id, jars=jars)


class Pressed370(OneJar):
    """Charged in March, pressed in June, 3 × 100 ml filled and 30 ml given out of the rest."""

    given: Entry
    filled: Entry

    @classmethod
    def worked(cls) -> "Pressed370":
        one = cls()
        one.charge = one.pen.write(a_charge(), "2025-03-03")
        one.press("2025-06-03", 370.0)
        one.filled = one.bottle("2025-06-04", (3, 100.0))
        given = Dispensed(about=one.extract(), volume_ml=30.0, reference="C03")
        one.given = one.then(given, "2025-06-10")
        return one


# A correction: the corrected fact passes the same gate in its own place


NINE_LITRES = [{"size_ml": 1000.0, "count": 9, "first": 1}]
REFUSED = [
    ("given", {"reference": "Mrs Aldous Penhale"}, ("reference", "CAOF-25-01A")),
    ("given", {"volume_ml": 3000.0}, ("amount", "CAOF-25-01A")),
    ("given", {"volume_ml": 71.0}, ("amount", "CAOF-25-01A")),
    ("given", {"time": "2025-06-01T00:00:00+01:00"}, ("date", "CAOF-25-01A")),
    ("given", {"time": "2027-06-01T00:00:00+01:00"}, ("date", "CAOF-25-01A")),
    ("filled", {"bottles": NINE_LITRES}, ("amount", "CAOF-25-01A")),
    ("pressing", {"volume_ml": 5000.0}, ("amount", "CAOF-25-01")),
    ("pressing", {"time": "2025-03-02T00:00:00+01:00"}, ("date", "CAOF-25-01")),
    ("charge", {"herb": "155g"}, ("name", "CAOF-25-01")),
    ("charge", {"herb": "CAOF-25-01A"}, ("name", "CAOF-25-01")),
    ("charge", {"code": "LOT-25-01"}, ("code", "LOT-25-01")),
    ("charge", {"code": "TAKEN-1"}, ("code", "TAKEN-1")),
    ("charge", {"longest": "P1D"}, ("fit", "--least and --longest")),
    ("charge", {"herb_lot": "nothing-0000"}, ("thing", "the lot")),
]


@pytest.mark.parametrize(
    ("what", "values", "expected"), REFUSED, ids=[f"{one[0]} {one[1]}"[:60] for one in REFUSED]
)
def test_a_correction_is_held_to_what_the_fact_itself_is(what, values, expected):
    one = Pressed370.worked()
    found = amended(one.entries, correction(getattr(one, what), values), taken={"TAKEN-1"})

    assert (*expected, "refusal") in said(found.verdict)
    assert {rule for rule, _, _ in said(found.verdict)} == {expected[0]}


LET_PASS = [
    ("given", {"volume_ml": 70.0}),  # all that was left of 370 ml
    ("given", {"reference": "C04"}),
    ("given", {"time": "2025-06-05T00:00:00+01:00"}),
    ("filled", {"bottles": [{"size_ml": 50.0, "count": 3, "first": 1}]}),
    ("pressing", {"volume_ml": 330.0}),
    ("charge", {"herb": "Melissa officinalis"}),
    ("charge", {"code": "CAOF-25-02"}),
]


@pytest.mark.parametrize(("what", "values"), LET_PASS, ids=str)
def test_a_correction_to_what_could_have_been_is_admitted(what, values):
    one = Pressed370.worked()
    found = amended(one.entries, correction(getattr(one, what), values))

    assert found.verdict.findings == ()
    assert new_flags(life_of(one.entries).lives, found.lives, found.lives.batches) == []


def test_a_correction_follows_the_practice():
    one = Pressed370.worked()
    fact = correction(one.given, {"reference": "Mrs Aldous Penhale"})

    assert misuses(amended(one.entries, fact).verdict) == {True}
    assert amended(one.entries, fact, practice=Practice(references="any")).verdict.findings == ()


@pytest.mark.parametrize(
    "values",
    [{"colour": "amber"}, {"volume_ml": "much"}, {"volume_ml": -1.0}, {"kind": "counted"}],
    ids=str,
)
def test_a_correction_that_means_nothing_is_refused(values):
    one = Pressed370.worked()
    found = amended(one.entries, correction(one.given, values))

    assert ("kind", "CODE", "refusal") in said(found.verdict)


def test_a_correction_to_what_it_says_already_is_refused():
    one = Pressed370.worked()
    found = amended(one.entries, correction(one.given, {"volume_ml": 30.0}))

    assert said(found.verdict) == {("whole", "CODE", "refusal")}


def test_an_amendment_of_what_is_not_in_the_book_is_refused():
    one = Pressed370.worked()
    gone = Struck(event="nothing-0000", jars=one.charge.jars, why="never was")

    assert said(amended(one.entries, gone).verdict) == {("kind", "CODE", "refusal")}


# What no longer fits after it


def test_later_events_that_no_longer_fit_are_in_the_life_it_makes():
    one = Pressed370.worked()
    found = amended(one.entries, correction(one.pressing, {"volume_ml": 290.0}))
    new = new_flags(life_of(one.entries).lives, found.lives, found.lives.batches)

    assert found.verdict.findings == ()
    assert {(flag.event, type(flag.misfit)) for flag in new} >= {(one.filled.id, MoreThanThere)}


def test_a_jar_pressed_by_correction_before_its_shakes_names_them():
    one = OneJar.charged()
    one.shake("2025-03-10", "2025-05-30")
    one.press("2025-06-03")
    found = amended(one.entries, correction(one.pressing, {"time": "2025-05-01T00:00:00+01:00"}))
    new = new_flags(life_of(one.entries).lives, found.lives, found.lives.batches)

    assert [flag.event for flag in new] == [one.entries[2].id]


# Second corrections


def test_a_second_correction_starts_from_the_first():
    one = Pressed370.worked()
    one.correct(one.pressing, {"volume_ml": 350.0})
    found = amended(one.entries, correction(one.pressing, {"volume_ml": 340.0}))

    assert found.root.id == one.pressing.id
    assert (found.was.fact.volume_ml, found.now.fact.volume_ml) == (350.0, 340.0)


def test_a_correction_of_a_correction_is_about_the_event_at_its_root():
    one = Pressed370.worked()
    first = one.correct(one.pressing, {"volume_ml": 350.0})
    found = amended(one.entries, correction(first, {"set": {"volume_ml": 5000.0}}))

    assert found.root.id == one.pressing.id
    assert (found.was.fact.volume_ml, found.now.fact.volume_ml) == (350.0, 5000.0)
    assert said(found.verdict) == {("amount", "CAOF-25-01", "refusal")}


def test_a_strike_of_a_correction_gives_the_first_value_again():
    one = Pressed370.worked()
    first = one.correct(one.pressing, {"volume_ml": 350.0})
    found = amended(one.entries, strike(first))

    assert found.verdict.findings == ()
    assert (found.was.fact.volume_ml, found.now.fact.volume_ml) == (350.0, 370.0)


# Moved events


def two_jars() -> tuple[OneJar, OneJar]:
    """Two jars of one book, the first pressed."""
    one = OneJar.charged()
    other = OneJar(one.pen)
    other.charge = one.pen.write(a_charge(code="CAOF-25-02"), "2025-03-05")
    one.press("2025-06-03")
    return one, other


def moved(one: OneJar, other: OneJar) -> Corrected:
    values = {"subject": "CAOF-25-02", "about": {"jar": other.charge.id}}
    return correction(one.pressing, values, other.charge.id)


def test_an_event_moved_to_another_jar_is_held_to_that_jar():
    one, other = two_jars()
    found = amended(one.entries, moved(one, other))
    jars = found.lives.batches

    assert found.verdict.findings == ()
    assert found.now.jars == (other.charge.id,)
    assert jars[one.charge.id].extracts == []
    assert [extract.id for extract in jars[other.charge.id].extracts] == [one.pressing.id]


def test_an_event_is_not_moved_to_a_jar_that_ended():
    one, other = two_jars()
    other.press("2025-06-02")

    assert {rule for rule, _, _ in said(amended(one.entries, moved(one, other)).verdict)} == {
        "ended",
        "code",
    }


def test_an_event_is_not_moved_to_a_jar_that_is_not_there():
    one, _ = two_jars()
    values = {"about": {"jar": "nothing-0000"}}
    found = amended(one.entries, correction(one.pressing, values, "nothing-0000"))

    assert said(found.verdict) == {("thing", "the jar or lot", "refusal")}


def test_what_was_about_a_moved_extract_no_longer_fits():
    """The bottles were filled from the extract of the first jar."""
    one, other = two_jars()
    filled = one.bottle("2025-06-04", (3, 100.0))
    found = amended(one.entries, moved(one, other))
    new = new_flags(life_of(one.entries).lives, found.lives, found.lives.batches)

    assert filled.id in {flag.event for flag in new}


# Strikes


@pytest.mark.parametrize(
    ("what", "things"),
    [
        ("charge", ["CAOF-25-01", "CAOF-25-01A"]),
        ("pressing", ["CAOF-25-01A"]),
        ("given", None),
    ],
)
def test_a_strike_of_what_opened_a_thing_asks(what, things):
    one = Pressed370.worked()
    found = amended(one.entries, strike(getattr(one, what)))

    assert said(found.verdict) == (set() if things is None else {("whole", "CODE", "question")})
    for code in things or ():
        assert code in found.verdict.questions[0].what


def test_a_strike_of_a_charge_of_which_nothing_came_asks_nothing():
    one = OneJar.charged()

    assert amended(one.entries, strike(one.charge)).verdict.findings == ()


def test_a_strike_of_a_lot_asks():
    house = House()
    unused = amended(house.pen.entries, strike(house.spirit))
    poured = Pour(liquid="ethanol", volume_ml=20.0, ethanol_pct_vol=45.0, lot=house.spirit.id)
    house.pen.write(a_charge(code="OF-IT", pours=(poured,)), "2026-01-02")
    found = amended(house.pen.entries, strike(house.spirit))

    assert unused.verdict.findings == ()
    assert ("whole", "CODE", "question") in said(found.verdict)
    assert any("SPIRIT-1" in one.what for one in found.verdict.questions)


def test_a_strike_of_a_strike_brings_the_event_back():
    one = Pressed370.worked()
    found = amended(one.entries, strike(one.strike(one.given)))

    assert found.verdict.findings == ()
    assert (found.was, found.now.id) == (None, one.given.id)
    assert found.lives == life_of(one.entries[:-1]).lives


def test_bringing_back_what_no_longer_fits_is_a_question():
    """It was in the book before: what stands in its way may be wrong as well as it."""
    one = Pressed370.worked()
    gone = one.strike(one.given)
    one.then(Dispensed(about=one.extract(), volume_ml=60.0), "2025-06-09")
    found = amended(one.entries, strike(gone))

    assert said(found.verdict) == {("amount", "CAOF-25-01A", "question")}


@pytest.mark.parametrize("of", [strike, lambda entry: correction(entry, {"volume_ml": 20.0})])
def test_what_was_struck_is_neither_struck_nor_corrected(of):
    one = Pressed370.worked()
    one.strike(one.given)
    found = amended(one.entries, of(one.given))

    assert said(found.verdict) == {("ended", "CODE", "refusal")}
    assert "strike the entry that took it back" in found.verdict.refusals[0].do


def test_a_correction_that_was_struck_is_not_struck_again():
    one = Pressed370.worked()
    first = one.correct(one.pressing, {"volume_ml": 350.0})
    one.strike(first)

    assert said(amended(one.entries, strike(first)).verdict) == {("ended", "CODE", "refusal")}


# Two records of one happening


def test_two_records_of_one_pressing_are_made_one():
    one = OneJar.charged()
    first = one.press("2025-06-03")
    second = one.pen.write(
        Pressed(about=one.jar, letter="B", volume_ml=370.0, keeps="P12M"), "2025-06-03"
    )
    found = amended(one.entries, same(first, second))

    assert found.verdict.findings == ()
    assert [extract.id for extract in found.lives.batches[one.charge.id].extracts] == [first.id]


def test_what_is_no_one_happening_is_not_made_one():
    one, other = two_jars()
    shakes = [one.then(Shaken(jars=(jar.charge.id,)), "2025-03-10") for jar in (one, other)]
    noted = one.then(Noted(about=one.jar, note="dark"), "2025-03-10")
    corrected = one.correct(noted, {"note": "light"})
    pairs = [
        (noted, noted),
        (noted, corrected),
        (corrected, noted),
        (noted, shakes[0]),
        (one.charge, other.charge),
        (shakes[0], shakes[1]),
    ]
    for first, second in pairs:
        found = amended(one.entries, same(first, second))
        assert ("kind", "refusal") in {(rule, weight) for rule, _, weight in said(found.verdict)}, (
            first.kind,
            second.kind,
        )
