"""Will it keep: thresholds of the trade."""

import pytest

from tracker.core.menstruum.preservation import preservation


@pytest.mark.parametrize(
    ("ethanol_pct_vol", "level"),
    [
        (0, "warning"),
        (19.9, "warning"),
        (20, "caution"),  # makers' thresholds of 20 and 25 % vol, from memory
        (24.9, "caution"),
        (25, "fine"),
        (60, "fine"),
    ],
)
def test_weak_extract_is_told_apart_at_20_and_25_per_cent(ethanol_pct_vol, level):
    assert preservation(ethanol_pct_vol).level == level


def test_the_maker_may_set_other_thresholds():
    assert preservation(28, warn_below=22, caution_below=30).level == "caution"
    assert preservation(21, warn_below=22, caution_below=30).level == "warning"
    with pytest.raises(ValueError, match="above"):
        preservation(28, warn_below=30, caution_below=22)


def test_an_unknown_strength_is_no_verdict():
    assert preservation(None).level == "unknown"


def test_glycerin_saves_nothing_and_is_called_uncertain():
    with_glycerin = preservation(15, glycerin_pct_vol=30)

    assert with_glycerin.level == "warning"
    assert "uncertain" in with_glycerin.reason
    assert "uncertain" not in preservation(15).reason


def test_the_reason_names_strength_and_threshold():
    assert preservation(18.26).reason.startswith("18.3 % vol is below 20 %")
    assert "published figures differ" in preservation(22).reason
