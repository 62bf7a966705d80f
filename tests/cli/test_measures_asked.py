"""What a question is asked in is what a bare number answers in, for each kind of practice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.command import Command
from tests.hypothesis_profile import SHORT, USUAL
from tracker.cli.questions.asked import Asked, in_volume, in_weight
from tracker.cli.questions.giving_out_questions import own_unit
from tracker.cli.questions.guides import GUIDES, questions_of
from tracker.cli.questions.typed_answers import Put, _parts
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.sizing import FLUID_OUNCE_ML, OUNCE_G
from tracker.quantities import counted_in, grams, millilitres

CHARGED = "charge Melissa --part leaf --dried 4oz --pour '16 fl oz 45%' --jar '1 quart' "
CHARGED += "--lid glass --place pantry --when 2025-03-03"
PRACTICES = [
    Practice(measures=measures, units=units)
    for measures in ("metric", "ounces")
    for units in ("us", "british")
]
FRACTIONS = {"½": 0.5, "1/4": 0.25, "1 1/2": 1.5, "2½": 2.5, "¾": 0.75}
numbers = st.one_of(
    st.integers(1, 9999).map(lambda one: (str(one), float(one))),
    st.integers(1, 999).map(lambda one: (f"{one}.5", one + 0.5)),
    st.integers(1, 999).map(lambda one: (f"{one},25", one + 0.25)),
    st.sampled_from(sorted(FRACTIONS.items())),
)
ways = st.sampled_from(["{}", "about {}", "~{}", "{} by eye", "{}, by eye"])


@USUAL
@given(number=numbers, way=ways, practice=st.sampled_from(PRACTICES))
def test_a_bare_number_is_read_in_the_unit_that_the_question_names(number, way, practice):
    text, value = number
    ounce_ml, ounce_g = FLUID_OUNCE_ML[practice.units], OUNCE_G
    is_metric = practice.measures == "metric"
    for unit, read, factor in (
        (practice.volume_unit, millilitres, ounce_ml),
        (practice.weight_unit, grams, ounce_g),
    ):
        asked = Asked(name="amount", words="How much", help="")
        put = Put(asked, (), None, False, "", unit)
        (answer,) = _parts(put, way.format(text))
        amount = read(answer, practice.units)

        assert put.question == f"How much, in {unit}"
        assert amount.value == pytest.approx(value if is_metric else value * factor)
        assert (amount.known == "by eye") == (way != "{}")


@SHORT
@given(st.sampled_from(["12 oz", "about 1 cup", "370 ml", "all of it", "LOT-26-01", "3x100ml"]))
def test_what_is_no_bare_number_stays_as_it_was_typed(text):
    assert counted_in("fl oz", text) == text


def test_each_question_about_an_amount_names_a_unit():
    """Which bottles and what was poured are written with theirs."""
    named = [one for verb in GUIDES for one in questions_of(verb) if "How much" in one.words]
    named += [one for verb in GUIDES for one in questions_of(verb) if one.name in ("jar", "after")]

    counted = (in_volume, in_weight, own_unit)

    assert named
    assert [one.words for one in named if one.unit not in counted] == []


@pytest.fixture
def kitchen(command: Command) -> Command:
    """A practice that weighs in ounces and pours in fluid ounces."""
    command.practice('measures = "ounces"\n').ok(CHARGED)
    return command


def last(command: Command) -> dict[str, object]:
    found: dict[str, object] = command.lines()[-1]["data"]
    return found


def test_a_kitchen_that_pours_in_fluid_ounces_is_asked_in_them(kitchen):
    talk = kitchen.talk("press", "1", "12 1/2", "hand", "kept", "")

    assert talk.code == 0, talk.screen
    assert "How much came out, in fl oz: " in talk.screen
    assert "12 1/2 fl oz (370 ml)" in " ".join(talk.screen.split())
    assert last(kitchen)["volume_ml"] == pytest.approx(12.5 * FLUID_OUNCE_ML["us"])


def test_a_charge_is_asked_in_ounces_and_offers_the_jar_in_them(kitchen):
    talk = kitchen.talk("charge", "nettle", "leaf", "d", "4", "16 fl oz 45%", *[""] * 7)

    assert talk.code == 0, talk.screen
    assert "How much herb, in oz: " in talk.screen
    assert "such as 16 fl oz 45%" in talk.screen
    assert "Size of the jar, in fl oz [32 fl oz]: " in talk.screen
    assert "4 oz (113 g)" in " ".join(talk.screen.split())
    assert last(kitchen)["herb_g"] == pytest.approx(4 * OUNCE_G)


def test_what_is_counted_or_thrown_out_is_asked_in_its_own_measure(kitchen):
    kitchen.ok("buy nettle --dried 1lb --when 2025-06-01")
    talk = kitchen.talk("count", "LOT-25-01", "15", "")

    assert talk.code == 0, talk.screen
    assert "How much is really there, in oz: " in talk.screen
    assert last(kitchen)["herb_g"] == pytest.approx(15 * OUNCE_G)

    assert kitchen.talk("discard", "LOT-25-01", "1", "moths", "").code == 0
    assert last(kitchen)["herb_g"] == pytest.approx(OUNCE_G)


def test_a_correction_is_asked_in_them_as_well(kitchen):
    talk = kitchen.talk("correct 1", "jar", "24", "", "slip", "")

    assert talk.code == 0, talk.screen
    assert "jar, in fl oz: " in talk.screen
    assert last(kitchen)["set"]["jar_ml"] == pytest.approx(24 * FLUID_OUNCE_ML["us"])


def test_an_amount_once_answered_is_what_enter_takes_after_a_step_back(command):
    command.ok(CHARGED)
    command.ok("press MEOF 400ml --keeps '90 years' --when 2025-06-10")
    talk = command.talk("dispense", "1", "30", "<", "", "P03", "")

    assert talk.code == 0, talk.screen
    assert "How much, in ml [30 ml]: " in talk.screen
    assert last(command)["volume_ml"] == 30
