"""A scale is left out only where nothing would have fitted: a label looks as if all were tried."""

from datetime import UTC, datetime

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.core.practice.label_sheets import BUILT_IN, LabelSheet, single
from tracker.outputs.paper.labels import label_layout
from tracker.outputs.paper.labels.label_layout import Layout, TooSmallError, fitted
from tracker.outputs.paper.labels.label_text import Label, LabelLine, Run
from tracker.outputs.paper.pen import Pen

WORDS = (
    "Ringelblume",
    "calendula",
    "a",
    "12 Jan 2025",
    "45.0 % vol",
    "x" * 40,
    "העברית שפה",
    "نص عربي طويل",
    "देवनागरी",
    "漢字かな交じり文",
)
SHEETS = (
    *BUILT_IN.values(),
    single(70, 37, is_round=False),
    single(40, 20, is_round=False),
    single(50, 50, is_round=True),
)
MODULES = 29

texts = st.lists(st.sampled_from(WORDS), min_size=1, max_size=8).map(" ".join)
runs = st.builds(Run, texts, st.sampled_from(["", "B", "I"]), st.sampled_from([0, 3, 4]))
lines = st.builds(
    LabelLine,
    st.lists(runs, min_size=1, max_size=3).map(tuple),
    st.sampled_from(["code", "name", "latin", "body", "care"]),
    st.sampled_from([0, 2, 6, 8]),
)
some_lines = st.lists(lines, max_size=5).map(tuple)

ONE_WORD = LabelLine((Run(WORDS[0]),), "code")
# A line takes no room once its only words are left off.
SOON_EMPTY = LabelLine((Run(WORDS[0], rank=4),), "code")


def as_laid_out(pen: Pen, label: Label, sheet: LabelSheet) -> Layout | None:
    """The layout; None where the label is too small for it."""
    try:
        return fitted(label, sheet, pen.width, MODULES)
    except TooSmallError:
        return None


@example((ONE_WORD,) * 2, (*(ONE_WORD,) * 4, SOON_EMPTY), single(40, 20))
@USUAL
@given(some_lines, some_lines, st.sampled_from(SHEETS))
def test_what_is_left_out_would_not_have_fitted(above, foot, sheet):
    label = Label("X1", above, foot, "https://shelf.example/X1")
    with (
        Pen("Labels", datetime(2026, 1, 5, tzinfo=UTC)) as pen,
        pytest.MonkeyPatch.context() as all_of,
    ):
        quick = as_laid_out(pen, label, sheet)
        all_of.setattr(label_layout._Page, "is_too_low", lambda *_: False)

        assert quick == as_laid_out(pen, label, sheet)
