"""How lines break: hyphens by language, no orphan, and what is never parted."""

import re

import pytest
from hypothesis import assume, event, example, given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.outputs.paper.hyphens import HYPHEN, hyphenated, hyphenates
from tracker.outputs.paper.labels.label_lines import Run
from tracker.outputs.paper.line_breaks import set_lines

SIZE_PT = 10.0
WHOLE = (
    "CAOF-26-01",
    "MEOF-25-02A/110",
    "LOT-26-03",
    "12 Jun 2027",
    "3 Jan",
    "Sep 2027",
    "45 % vol",
    "62.5 % vol",
    "1:5",
    "500 ml",
    "3 fl oz",
    "1/2 oz",
    "21 °C",
)
WORDS = (
    "preparation",
    "external",
    "Flammable",
    "remembering",
    "of",
    "a",
    "well-known",
    "Ringelblumenblüten",
    "漢字かな交じり文",
    "(maceration),",
    "https://shelf.example/long/address",
)


def width(text, style):
    """Every letter as wide as every other, bold ones wider: 0.2 mm a point."""
    return len(text) * (0.22 if style == "B" else 0.2)


def lines_of(runs, letters, language="en"):
    """The text of each line in a room of so many letters; None where there is no room."""
    runs = (Run(runs),) if isinstance(runs, str) else tuple(runs)
    wide = letters * 0.2 * SIZE_PT
    found = set_lines(
        runs,
        size_pt=SIZE_PT,
        top=0.0,
        room=lambda top, bottom: (0.0, wide),
        width=width,
        mm_per_pt=0.35,
        language=language,
    )
    if found is None:
        return None
    tops = sorted({one.top for one in found[0]})
    return ["".join(one.text for one in found[0] if one.top == top) for top in tops]


def test_a_hyphen_is_set_where_it_saves_a_line():
    assert lines_of("use preparation now", 11) == ["use prepar‐", "ation now"]
    assert lines_of("use preparation now", 11, language=None) == ["use", "preparation", "now"]


def test_a_word_wider_than_a_line_is_parted_by_hyphens_before_anything_else():
    assert lines_of("preparation", 8) == ["prepara‐", "tion"]
    assert lines_of("preparation", 8, language=None) == ["preparat", "ion"]


def test_no_hyphen_is_set_where_it_saves_nothing():
    assert lines_of("good preparation today", 16) == ["good preparation", "today"]
    assert lines_of("very good preparation", 12) == ["very good", "preparation"]


def test_a_latin_name_is_parted_between_its_words():
    assert lines_of([Run("Chelidonium majus", "I")], 14) == ["Chelidonium", "majus"]
    assert lines_of([Run("Foeniculum vulgare var. dulce", "I")], 18) == [
        "Foeniculum vulgare",
        "var. dulce",
    ]


def test_a_word_of_several_is_parted_behind_its_own_hyphen():
    assert lines_of("a well-known herb", 10) == ["a well-", "known herb"]
    assert lines_of("see CAOF-26-01 there", 14) == ["see CAOF-26-01", "there"]


def test_the_language_decides():
    assert hyphenated("children", "en") != hyphenated("children", "de")
    assert hyphenated("children", "xx") == ()
    assert hyphenates("de-CH")
    assert not hyphenates("xx")


def test_no_letter_changes_where_a_language_spells_a_parted_word_otherwise():
    ways = hyphenated("asszonnyal", "hu")

    assert all(head.removesuffix(HYPHEN) + tail == "asszonnyal" for head, tail in ways)


def test_a_last_line_of_one_short_word_is_avoided():
    assert lines_of("Keep it away from children of any age and pets", 44) == [
        "Keep it away from children of any age",
        "and pets",
    ]


def test_no_line_of_another_script_begins_with_its_stop():
    assert lines_of("漢字かな交じり文漢字、かな", 10)[1][0] != "、"


def test_styles_without_a_blank_between_them_stay_together():
    assert lines_of([Run("of "), Run("calendula", "I"), Run(", dried")], 12) == [
        "of",
        "calendula,",
        "dried",
    ]


whole = st.sampled_from(WHOLE)
words = st.one_of(whole, st.sampled_from(WORDS))
texts = st.lists(words, min_size=1, max_size=12)
styles = st.sampled_from(["", "B", "I"])
languages = st.sampled_from(["en", "de", "fr", None])


def unhyphened(line):
    return line.removesuffix(HYPHEN)


@USUAL
@example(["Keep", "12 Jun 2027"], "", 11, "en")
@given(texts, styles, st.integers(16, 60), languages)
def test_no_letter_is_lost_and_nothing_whole_is_parted(said, style, letters, language):
    text = " ".join(said)
    lines = lines_of([Run(text, style)], letters, language)
    assume(lines is not None)
    event(f"{len(lines)} lines")

    assert re.sub(r"\s", "", "".join(map(unhyphened, lines))) == re.sub(r"\s", "", text)
    for one in said:
        if one in WHOLE:
            assert sum(line.count(one) for line in lines) >= said.count(one)


@USUAL
@given(texts, styles, st.integers(1, 60), languages)
def test_no_line_is_wider_than_its_room(said, style, letters, language):
    lines = lines_of([Run(" ".join(said), style)], letters, language)
    assume(lines is not None)

    assert all(width(line, style) <= letters * 0.2 + 1e-5 for line in lines)


@USUAL
@given(texts, styles, st.integers(16, 60))
def test_hyphens_never_cost_a_line(said, style, letters):
    plain = lines_of([Run(" ".join(said), style)], letters, None)
    assume(plain is not None)

    assert len(lines_of([Run(" ".join(said), style)], letters, "en")) <= len(plain)


@pytest.mark.parametrize("one", WHOLE)
def test_what_is_never_parted_has_no_room_where_it_is_too_wide(one):
    assert lines_of(one, len(one) - 1) is None
