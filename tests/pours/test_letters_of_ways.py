"""A way of writing a strength is looked for wherever it can be found."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import searching
from tracker.core.values.errors import TrackerError
from tracker.pours import strengths
from tracker.pours.strengths import strengths_in

WORDS = st.sampled_from(
    [
        "45",
        "45%",
        "45.5",
        "1/2",
        "proof",
        "Proof",
        "us",
        "uk",
        "british",
        "under",
        "over",
        "up.",
        "u.p.",
        "O.P.",
        "o.p.",
        "w/w",
        "m/m",
        "by",
        "weight",
        "mass",
        "WT",
        "abw",
        "abv",
        "A.B.V.",
        "alc",
        "alc.",
        "vol",
        "Vol.",
        "v/v",
        "vodka",
        "gl",
        "g.l.",
        "deg",
        "degrees",
        "°",
        "per",
        "cent",
        "percent",
        "pct",
        "pct.",
        "ethanol",
        "strong",
        "(",
        ")",
        ":",
        "-",
        "60",
        "80",
        "ſ",
        "K",
    ]
)


def read(text):
    try:
        return strengths_in(text, "500 ml", "us")
    except TrackerError as reason:
        return str(reason)


@searching(1500)
@given(st.lists(WORDS, min_size=1, max_size=6), st.sampled_from(["", " "]))
def test_nothing_is_passed_over_for_its_letters(words, between):
    text = between.join(words)
    found = read(text)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(strengths, "_has", lambda *_: True)

        assert read(text) == found
