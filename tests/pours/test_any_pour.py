"""What holds for any text at all: where ethanol comes from, and what spelling cannot change."""

import csv
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.menstruum.published import DATA
from tests.hypothesis_profile import LONG, USUAL
from tests.pours.table import rows
from tracker.core.facts.fields import Pour
from tracker.core.values.errors import AmbiguousPourError, QuantityError
from tracker.outputs.words.ingredients import poured
from tracker.pours.reading import pour
from tracker.pours.words import KINDS

# Nothing here is a spirit, a wine, or anything that is made to be one.
NO_SPIRITS = [
    "water", "oil", "honey", "vinegar", "glycerin", "sugar", "syrup", "tea", "juice", "milk",
    "calendula", "flower", "moonmilk", "olive", "rose", "cider vinegar", "wine vinegar", "dried",
    "root", "infusion", "decoction", "salt water", "rose water", "tincture", "of", "in", "and",
]  # fmt: skip
NUMBERS = ["5", "12", "40", "45", "95", "37,5", "0.5", "100", "190", "1/2", "½", "70"]
MARKS = [
    "%", " %", "% vol", "% abv", "% v/v", "% w/w", " vol%", " proof", " US proof", "°", " degrees",
    " wt%", "", " percent", "% by volume", " British proof", "-45%", "％", " GL", " under proof",
]  # fmt: skip
strengths = st.builds("".join, st.tuples(st.sampled_from(NUMBERS), st.sampled_from(MARKS)))
names = st.lists(st.sampled_from(NO_SPIRITS), min_size=1, max_size=3)


def read(text: str) -> Pour | None:
    with suppress(QuantityError):
        return pour(text)
    return None


@LONG
@given(names, st.lists(strengths, max_size=2), st.randoms())
def test_no_text_gives_ethanol_where_no_spirit_was_named(names, strengths, random):
    """A percentage beside honey, a herb or nothing known is never taken for alcohol."""
    words = [*names, *strengths]
    random.shuffle(words)
    if all(one in ("of", "in", "and") for one in names):
        return  # nothing stands there, and then a percentage is of alcohol

    found = read(f"500 ml {' '.join(words)}")

    assert found is None or found.liquid != "ethanol"
    assert found is None or not found.ethanol_pct_vol


@LONG
@given(st.text(max_size=40))
def test_ethanol_comes_of_a_word_for_it_or_of_a_strength_alone(text):
    found = read(f"500 ml {text}")

    if found is not None and found.liquid == "ethanol" and found.name is not None:
        assert {"spirit", "wine"} & {
            kind for word, kind in KINDS.items() if word in found.name.lower()
        }


@LONG
@given(st.text(max_size=60) | st.text("0123456789.,/%°- mlgvodkaprofwUS½–（）(", max_size=40))
def test_any_text_is_a_pour_or_is_refused(text):
    """And each reading that is offered is a pour, or is asked about in its turn."""
    readings = []
    try:
        pour(text)
    except AmbiguousPourError as asked:
        readings = [one.written for one in asked.readings]
    except QuantityError:
        return
    for one in readings:
        with suppress(AmbiguousPourError):
            pour(one)


SPELT = [one for one in rows("read") if one.text.isascii()]
BLANKS = [" ", "  ", "\u00a0", "\u2009", "\u3000"]


@USUAL
@given(
    st.sampled_from(SPELT),
    st.sampled_from(BLANKS),
    st.sampled_from([str.upper, str.lower, str.title]),
)
def test_case_and_blanks_change_nothing(row, blank, spell):
    as_it_is = pour(row.text, row.units)
    other = pour(spell(row.text).replace(" ", blank), row.units)

    assert other.volume_ml == as_it_is.volume_ml
    assert other.ethanol_pct_vol == as_it_is.ethanol_pct_vol
    assert other.glycerin_pct_mass == as_it_is.glycerin_pct_mass
    assert other.liquid == as_it_is.liquid
    assert (other.name or "").lower() == (as_it_is.name or "").lower()


@pytest.mark.parametrize("dash", list("-‐‑‒–—−"))
def test_a_dash_of_any_kind_is_a_dash(dash):
    for text in ("500 ml 40-45% vodka", "400-500 ml water"):
        with pytest.raises(AmbiguousPourError) as asked:
            pour(text.replace("-", dash))
        with pytest.raises(AmbiguousPourError) as plain:
            pour(text)
        assert asked.value.readings == plain.value.readings
    assert pour(f"500 ml eau{dash}de{dash}vie 45%").name == "eau-de-vie"


@USUAL
@given(st.floats(1, 5000), st.floats(0.5, 96), st.sampled_from(["vodka", "spirit", "red wine", ""]))
def test_an_echo_reads_as_what_it_echoes(ml, pct_vol, name):
    first = pour(f"{ml:.1f} ml {pct_vol:.2f}% {name}")
    again = pour(poured(first))

    assert again.volume_ml == pytest.approx(first.volume_ml, rel=0.005)  # three digits
    assert again.ethanol_pct_vol == pytest.approx(first.ethanol_pct_vol)
    assert again.liquid == first.liquid


def published(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.mark.parametrize("row", published("mass_vol_20C.csv"), ids=lambda row: row["pct_mass"])
def test_a_strength_by_mass_is_what_the_published_table_says_by_volume(row):
    found = pour(f"500 ml {row['pct_mass']}% w/w ethanol")

    # Both columns are printed to 0.1.
    assert found.ethanol_pct_vol == pytest.approx(float(row["pct_vol"]), abs=0.12)


@pytest.mark.parametrize("row", published("table6_sample.csv"), ids=lambda row: row["proof"])
def test_a_us_proof_is_what_table_6_says_of_alcohol(row):
    """TTB Gauging Manual, Table 6: parts of alcohol in 100 of spirit, by proof."""
    found = pour(f"500 ml {row['proof']} proof ethanol")

    assert found.ethanol_pct_vol == pytest.approx(float(row["alcohol"]), abs=0.05)
