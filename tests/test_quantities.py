"""Amounts as people write them, against pint's own registry and the definitions of units."""

from contextlib import suppress
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import LONG, USUAL
from tracker.core.values.errors import AmbiguousAmountError, QuantityError
from tracker.pours.reading import pour
from tracker.quantities import bottles, grams, millilitres, percent

# pint's registry is a definition of its own: NIST SP 811 and Handbook 44 for the US units, the
# Weights and Measures Act 1985 for the British ones (`default_en.txt`).
REFERENCE = pint.UnitRegistry()


def reference(amount: float, unit: str, to: str) -> float:
    return float(REFERENCE.Quantity(amount, unit).to(to).magnitude)


MASSES = [
    ("g", "gram"), ("gram", "gram"), ("grams", "gram"), ("gramme", "gram"), ("gm", "gram"),
    ("kg", "kilogram"), ("kilo", "kilogram"), ("kilograms", "kilogram"), ("mg", "milligram"),
    ("lb", "pound"), ("lbs", "pound"), ("lb.", "pound"), ("pounds", "pound"),
    ("oz", "ounce"), ("oz.", "ounce"), ("ounce", "ounce"), ("ounces", "ounce"),
]  # fmt: skip
METRIC_VOLUMES = [
    ("ml", "milliliter"), ("mL", "milliliter"), ("millilitres", "milliliter"),
    ("milliliter", "milliliter"), ("cl", "centiliter"), ("dl", "deciliter"), ("l", "liter"),
    ("L", "liter"), ("litre", "liter"), ("liters", "liter"), ("cc", "cubic_centimeter"),
]  # fmt: skip
CUSTOMARY = [
    ("gallon", "gallon"), ("gal", "gallon"), ("gal.", "gallon"), ("quart", "quart"),
    ("qt", "quart"), ("pint", "pint"), ("pints", "pint"), ("pt", "pint"), ("cup", "cup"),
    ("cups", "cup"), ("fl oz", "fluid_ounce"), ("fl. oz.", "fluid_ounce"),
    ("fl.oz.", "fluid_ounce"), ("floz", "fluid_ounce"), ("fluid ounces", "fluid_ounce"),
    ("oz", "fluid_ounce"), ("ounces", "fluid_ounce"), ("fl dr", "fluid_dram"),
]  # fmt: skip
US_SPOONS = [
    ("tablespoon", "tablespoon"), ("tbsp", "tablespoon"),
    ("teaspoons", "teaspoon"), ("tsp", "teaspoon"),
]  # fmt: skip


# Units


@pytest.mark.parametrize(("written", "unit"), MASSES)
@pytest.mark.parametrize("units", ["us", "british"])
def test_a_mass_in_any_unit_is_what_pint_makes_of_it(written, unit, units):
    for text, amount in ((f"12 {written}", 12), (f"2.5{written}", 2.5)):
        assert grams(text, units).value == pytest.approx(reference(amount, unit, "g"), rel=1e-12)


@pytest.mark.parametrize(("written", "unit"), [*METRIC_VOLUMES, *CUSTOMARY, *US_SPOONS])
def test_a_volume_in_any_us_or_metric_unit_is_what_pint_makes_of_it(written, unit):
    for text, amount in ((f"12 {written}", 12), (f"2.5{written}", 2.5)):
        expected = reference(amount, unit, "ml")
        assert millilitres(text).value == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("written", "unit"),
    [*METRIC_VOLUMES, *((written, f"imperial_{unit}") for written, unit in CUSTOMARY)],
)
def test_a_volume_in_any_british_unit_is_what_pint_makes_of_it(written, unit):
    expected = reference(12, unit, "ml")

    assert millilitres(f"12 {written}", "british").value == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "units", "ml"),
    [
        # A British tablespoon is five eighths of a fluid ounce and a teaspoon a third of it:
        # from memory of kitchen measures before 1970; no law defines them.
        ("1 tbsp", "british", 28.4130625 * 5 / 8),
        ("3 tsp", "british", 28.4130625 * 5 / 8),
        # Twenty drops to the millilitre: common practice, no source.
        ("20 drops", "us", 1.0),
        ("1 drop", "british", 0.05),
        # NIST Handbook 44 (US) and the Weights and Measures Act 1985 (British), every digit.
        ("1 gallon", "us", 3785.411784),
        ("1 gallon", "british", 4546.09),
        ("1 pint", "us", 473.176473),
        ("1 pint", "british", 568.26125),
        ("24 fl oz", "us", 709.764709),
        ("0.5 l", "us", 500.0),
    ],
)
def test_these_volumes_are_exact_by_definition(text, units, ml):
    assert millilitres(text, units).value == pytest.approx(ml, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "g"),
    [
        # The international pound, 1959: 0.45359237 kg.
        ("1 lb", 453.59237),
        ("16 oz", 453.59237),
        ("12 oz", 340.1942775),
    ],
)
def test_these_masses_are_exact_by_definition(text, g):
    assert grams(text).value == pytest.approx(g, rel=1e-12)


def test_an_ounce_is_of_weight_for_a_herb_and_of_fluid_for_a_pour():
    assert grams("4 oz").value == pytest.approx(113.398, abs=0.001)
    assert millilitres("4 oz").value == pytest.approx(118.294, abs=0.001)
    assert pour("4 oz 45%").volume_ml == pytest.approx(118.294, abs=0.001)


# Numbers


@pytest.mark.parametrize(
    ("number", "value"),
    [
        ("100", 100), ("0.5", 0.5), (".5", 0.5), ("0,5", 0.5), ("1,25", 1.25), ("+3", 3),
        ("1/2", 0.5), ("3/4", 0.75), ("1 1/2", 1.5), ("10 3/8", 10.375), ("½", 0.5),
        ("1½", 1.5), ("2 ¼", 2.25), ("¾", 0.75), ("⅓", 1 / 3), ("007", 7),
    ],
)  # fmt: skip
def test_a_number_may_be_a_decimal_point_or_comma_or_a_fraction(number, value):
    for text in (f"{number} g", f"{number}g", f"  {number}   g  "):
        assert grams(text).value == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("text", ["1,000 ml", "1.000,5 ml", "1,000.5 ml", "12,500 ml", "1 000 ml"])
def test_a_thousand_with_a_separator_is_refused_or_a_thousand(text):
    """1,000 ml is a litre to one maker and a millilitre to another; a guess spoils a batch."""
    try:
        amount = millilitres(text)
    except QuantityError:
        return
    assert amount.value >= 1000


@pytest.mark.parametrize(
    ("read", "text", "readings"),
    [
        (millilitres, "1,000 ml", [("1000 ml", "1000 ml"), ("1 ml", "1 ml")]),
        (millilitres, "1.000 ml", [("1000 ml", "1000 ml"), ("1 ml", "1 ml")]),
        (millilitres, "about 1.500 ml", [("about 1500 ml", "1500 ml"), ("about 1.5 ml", "1.5 ml")]),
        (millilitres, "400-500 ml", [("400 ml", "400 ml"), ("500 ml", "500 ml")]),
        (grams, "2.500 g", [("2500 g", "2500 g"), ("2.5 g", "2.5 g")]),
        # A grain is 64.79891 mg: a seven thousandth of the pound.
        (grams, "100 gr", [("100 g", "100 g"), ("100 grains", "6.47989 g")]),
        (grams, "100 gr.", [("100 g", "100 g"), ("100 grains", "6.47989 g")]),
    ],
)
def test_what_may_be_read_in_two_ways_is_asked_about_with_both(read, text, readings):
    with pytest.raises(AmbiguousAmountError) as asked:
        read(text)

    assert [(one.written, one.comes_to) for one in asked.value.readings] == readings


@pytest.mark.parametrize(("text", "value"), [("1.250 kg", 1250.0), ("0.250 g", 0.25)])
def test_three_places_of_a_scale_are_decimals(text, value):
    assert grams(text).value == value


@pytest.mark.parametrize("word", ["about", "around", "by eye", "~", "≈", "About "])
def test_a_word_before_the_number_says_it_is_by_eye(word):
    assert grams(f"{word} 100 g").known == "by eye"
    assert millilitres(f"{word} 1 cup").known == "by eye"
    assert pour(f"{word} 500 ml 45%").known == "by eye"
    assert pour(f"{word} 100 g honey").known == "by eye"


def test_what_was_written_is_kept_and_how_it_is_known():
    assert (grams(" 12 oz ").written, grams("12 oz").known) == ("12 oz", "weighed")
    assert (millilitres("½ pint").written, millilitres("½ pint").known) == (
        "½ pint",
        "measured",
    )
    assert (pour(" 1 l water ").written, pour("1 l water").known) == ("1 l water", "measured")
    assert pour("100 g honey").known == "weighed"


# What cannot be read


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "begin with a number"),
        ("g", "begin with a number"),
        ("much", "begin with a number"),
        ("100", "it has no unit"),
        ("100 furlongs", "no unit"),
        ("100 ml", "a volume, and it needs a weight"),
        ("0 g", "there must be some"),
        ("-5 g", "there must be some"),
        ("1001 kg", "vessel"),
        ("1/0 g", "divided by 0"),
        ("100 g of herb", "not a unit of mass"),
        ("nan g", "begin with a number"),
        ("inf g", "begin with a number"),
        ("1e9 g", "no unit"),
    ],
)
def test_what_is_no_mass_is_refused_in_its_own_words_with_an_example(text, says):
    with pytest.raises(QuantityError) as refused:
        grams(text)
    assert says in refused.value.what
    assert refused.value.do
    assert refused.value.exit_code == 2


@pytest.mark.parametrize(
    "text",
    ["100 g", "12 lb", "5 km", "0 ml", "-1 l", "2000 l", "1 pint of it", "1 1 ml", "ml 5"],
)
def test_what_is_no_volume_is_refused(text):
    with pytest.raises(QuantityError):
        millilitres(text)


def test_nothing_left_is_a_volume_where_a_count_may_find_none():
    assert millilitres("0 ml", may_be_none=True).value == 0.0
    with pytest.raises(QuantityError):
        millilitres("-1 ml", may_be_none=True)


# Bottles and shares


@pytest.mark.parametrize(
    ("text", "count", "ml"),
    [
        ("3x100ml", 3, 100.0), ("3 x 100 ml", 3, 100.0), ("3×50ml", 3, 50.0),
        ("3*50ml", 3, 50.0), ("6 X 4 oz", 6, 118.29411825), ("50ml", 1, 50.0),
        ("2x1/2 pint", 2, 236.5882365), ("1 cup", 1, 236.5882365),
    ],
)  # fmt: skip
def test_bottles_are_a_count_and_a_size(text, count, ml):
    run = bottles(text, 7)

    assert (run.count, run.first, run.written) == (count, 7, text.strip())
    assert run.size_ml == pytest.approx(ml, rel=1e-9)


@pytest.mark.parametrize("text", ["", "0x50ml", "10001x50ml", "3x", "x50ml", "3x50g", "3x50"])
def test_bottles_that_cannot_be_filled_are_refused(text):
    with pytest.raises(QuantityError):
        bottles(text, 1)


@pytest.mark.parametrize(
    ("text", "share"),
    [("75%", 75.0), ("75", 75.0), (" 7,5 % ", 7.5), ("0%", 0.0), ("100", 100)],
)
def test_a_share_is_a_percentage(text, share):
    assert percent(text) == share


@pytest.mark.parametrize("text", ["", "%", "101%", "-1%", "half", "75 g", "1e2"])
def test_what_is_no_share_is_refused(text):
    with pytest.raises(QuantityError):
        percent(text)


# Any text at all

_digits, _ends = (
    st.text("0123456789/.,", max_size=12),
    st.sampled_from(["g", "ml", "oz", "x1ml"]),
)
wild = (
    st.text(max_size=30)
    | st.text("0123456789./, ½¼-+x%~ gmlozkb", max_size=30)
    | st.tuples(_digits, _ends).map("".join)
)


@LONG
@given(wild)
@pytest.mark.parametrize("read", [grams, millilitres, pour, percent, lambda one: bottles(one, 1)])
def test_any_text_is_an_amount_or_is_refused(read, text):
    with suppress(QuantityError):
        read(text)


@pytest.mark.parametrize("read", [grams, millilitres, pour, percent, lambda one: bottles(one, 1)])
@pytest.mark.parametrize("text", ["9" * 5000, "9" * 5000 + "x50ml", "1/" + "9" * 5000 + " g"])
def test_thousands_of_digits_are_refused_like_any_other_nonsense(read, text):
    """Python itself refuses to read so many, with an error of its own."""
    with pytest.raises(QuantityError):
        read(text)


@USUAL
@given(st.fractions(Fraction(1, 1000), 900_000, max_denominator=1000))
def test_grams_and_millilitres_written_plainly_read_back(amount):
    decimal = f"{float(amount):.6f}"

    assert grams(f"{decimal} g").value == pytest.approx(float(amount), abs=1e-6)
    assert millilitres(f"{decimal.replace('.', ',')} ml").value == pytest.approx(
        float(amount), abs=1e-6
    )
    assert grams(f"{amount} g").value == pytest.approx(float(amount), rel=1e-12)


@USUAL
@given(st.sampled_from([*CUSTOMARY, *METRIC_VOLUMES]), st.floats(0.01, 200))
def test_a_volume_taken_to_another_unit_and_written_so_reads_back_as_the_same(unit, amount):
    """Echoed back in millilitres, typed in again: the same within the digits written."""
    written, name = unit
    ml = reference(amount, name, "ml")

    assert millilitres(f"{amount:.10f} {written}").value == pytest.approx(ml, rel=1e-6)
    assert millilitres(f"{ml:.10f} ml").value == pytest.approx(ml, rel=1e-6)
