"""Why a thing is on hold, in words."""

import pytest

from tests.lives import on
from tracker.outputs.view.liquid import HoldView
from tracker.outputs.words.holds import held_since, hold_said


@pytest.mark.parametrize(
    ("kind", "why", "said"),
    [
        ("recall", "recalled with lot LOT-25-01: moths", ", with lot LOT-25-01: moths"),
        ("recall", "moths", ": moths"),
        ("word", "recalled by mistake", ": recalled by mistake"),
        ("word", "", ""),
    ],
)
def test_a_recall_is_named_once(kind, why, said):
    hold = HoldView(kind, on("2025-06-09"), why, "CAOF-25-01A")

    assert hold_said(hold, "CAOF-25-01A") == f"since 9 Jun 2025{said}"
    assert held_since(hold).endswith(f"ON HOLD since 9 Jun 2025{said}")
