"""The tables in the source hold every published row, and nothing else."""

import pytest

from tests.core.herbs.published import rows
from tracker.core.herbs.tables.care_table import CARE
from tracker.core.herbs.tables.cautions_table import CAUTIONS
from tracker.core.herbs.tables.moisture_table import MOISTURE
from tracker.core.herbs.tables.plants_table import PLANTS


@pytest.mark.parametrize(
    ("name", "table", "count"),
    [
        ("plants.csv", PLANTS, 93),
        ("cautions.csv", CAUTIONS, 68),
        ("care_notes.csv", CARE, 33),
        ("moisture_fresh.csv", MOISTURE, 40),
    ],
)
def test_a_table_holds_every_published_row_in_order(name, table, count):
    published = [tuple(row.values()) for row in rows(name)]

    assert len(published) == count
    assert [tuple(map(_as_printed, row)) for row in table] == [
        tuple(map(_as_printed, row)) for row in published
    ]


def _as_printed(value: str | float) -> str:
    """Numbers compare as numbers: 55 is 55.0."""
    try:
        return str(float(value))
    except ValueError:
        return str(value)
