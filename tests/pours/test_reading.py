"""Every pour of the table, and what holds for any text, against published tables."""

import pytest

from tests.pours.table import ROWS, rows
from tracker.core.values.errors import AmbiguousPourError, QuantityError
from tracker.outputs.words.ingredients import poured
from tracker.pours.reading import pour


def test_the_table_is_as_long_as_it_says():
    assert len(ROWS) >= 300
    assert len({(one.text, one.units) for one in ROWS}) == len(ROWS)
    assert {one.outcome for one in ROWS} == {"read", "asked", "refused"}


@pytest.mark.parametrize("row", rows("read"), ids=lambda row: f"{row.text} {row.units}")
def test_a_pour_is_read_as_the_table_says(row):
    found = pour(row.text, row.units)

    assert (found.liquid, found.name) == (row.liquid, row.name)
    assert found.volume_ml == pytest.approx(row.ml, rel=5e-4)
    if row.pct_vol is None:
        assert found.ethanol_pct_vol is None
    else:
        # Tables by mass are printed to 0.1 or 0.01 %.
        assert found.ethanol_pct_vol == pytest.approx(row.pct_vol, abs=0.06)
    assert found.glycerin_pct_mass == row.glycerin_pct_mass
    assert found.written == row.text.strip()


@pytest.mark.parametrize("row", rows("asked"), ids=lambda row: f"{row.text} {row.units}")
def test_what_may_be_read_in_several_ways_is_asked_about_with_each(row):
    with pytest.raises(AmbiguousPourError) as asked:
        pour(row.text, row.units)

    assert [one.written for one in asked.value.readings] == row.readings
    for reading in asked.value.readings:
        assert reading.comes_to == poured(pour(reading.written, row.units))
        assert reading.written in asked.value.what
    assert asked.value.exit_code == 2


@pytest.mark.parametrize("row", rows("refused"), ids=lambda row: f"{row.text[:60]!r} {row.units}")
def test_what_is_no_pour_is_refused_with_the_reason_and_what_to_do(row):
    with pytest.raises(QuantityError) as refused:
        pour(row.text, row.units)

    assert not isinstance(refused.value, AmbiguousPourError)
    assert row.says in refused.value.what
    assert refused.value.do
    assert refused.value.exit_code == 2


@pytest.mark.parametrize("row", rows("read"), ids=lambda row: f"{row.text} {row.units}")
def test_what_is_echoed_back_reads_the_same(row):
    first = pour(row.text, row.units)
    again = pour(poured(first), row.units)

    assert (again.liquid, again.glycerin_pct_mass) == (first.liquid, first.glycerin_pct_mass)
    assert again.volume_ml == pytest.approx(first.volume_ml, rel=0.005)  # three digits
    if first.ethanol_pct_vol is None:
        assert again.ethanol_pct_vol is None
    else:
        assert again.ethanol_pct_vol == pytest.approx(first.ethanol_pct_vol, abs=1e-3)
    assert (again.name or again.liquid) in (first.name, first.liquid, "spirit")
