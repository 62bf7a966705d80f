"""Student's t against the printed table."""

import pytest

from tracker.core.reckoning.student_t import quantile

# 0.95 one-sided, 1 to 30 degrees: NIST e-Handbook of Statistical Methods, 1.3.6.7.2 (from memory).
TABLE = (
    6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812,
    1.796, 1.782, 1.771, 1.761, 1.753, 1.746, 1.740, 1.734, 1.729, 1.725,
    1.721, 1.717, 1.714, 1.711, 1.708, 1.706, 1.703, 1.701, 1.699, 1.697,
)  # fmt: skip


@pytest.mark.parametrize(("degrees", "value"), list(enumerate(TABLE, 1)))
def test_it_meets_the_printed_table(degrees, value):
    assert quantile(0.95, degrees) == pytest.approx(value, abs=0.0006)


@pytest.mark.parametrize(("share", "value"), [(0.975, 12.706), (0.99, 31.821), (0.5, 0.0)])
def test_other_shares_of_one_degree_are_as_printed(share, value):
    """The same table."""
    assert quantile(share, 1) == pytest.approx(value, abs=0.001)


@pytest.mark.parametrize(("share", "degrees"), [(0.4, 3), (1.0, 3), (0.95, 0)])
def test_what_has_no_value_is_an_error(share, degrees):
    with pytest.raises(ValueError, match="share must be"):
        quantile(share, degrees)
