"""The band holds what it claims: 9 of 10 next pressings, whatever the number of one's own."""

import pytest

from scripts.forecast_coverage import calibrated, coverage, far_off
from tracker.core.reckoning.likely_yield import CLAIM, HANDBOOK

OWN = (0, 1, 3, 6, 12)
THREE_POINTS = 0.03


@pytest.mark.parametrize("method", HANDBOOK)
def test_for_makers_as_the_handbook_has_them_the_claim_holds_at_any_number(method):
    found = coverage(calibrated(HANDBOOK[method]), HANDBOOK[method], OWN, 3000)

    assert all(abs(one - CLAIM) <= THREE_POINTS for one in found.values()), found


@pytest.mark.parametrize("maker", [(0.4, 0.3), (-0.2, 0.2), (3.0, 1.0)])
def test_without_a_handbook_it_holds_for_any_maker_from_three_pressings_on(maker):
    found = coverage(lambda _: maker, None, (2, 3, 6, 12), 3000)

    assert found.pop(2) is None
    assert all(abs(one - CLAIM) <= THREE_POINTS for one in found.values()), found


def test_a_maker_far_from_the_handbook_is_met_by_their_own_pressings():
    """The handbook alone misses most; after twelve the band has come to them."""
    found = coverage(far_off(HANDBOOK["by hand"], 1, 1), HANDBOOK["by hand"], OWN, 1000)

    assert found[0] < 0.2
    assert found[12] > CLAIM - THREE_POINTS
