"""The tables in the source hold every published row, and nothing else."""

from typing import get_args

import pytest

from tests.core.herbs.published import rows
from tracker.core.herbs.tables import caution_corrections_table as corrections
from tracker.core.herbs.tables.care_table import CARE
from tracker.core.herbs.tables.cautions_table import CAUTIONS
from tracker.core.herbs.tables.moisture_table import MOISTURE
from tracker.core.herbs.tables.more_cautions_table import MORE_CAUTIONS, Group, Level
from tracker.core.herbs.tables.plants_table import PLANTS


@pytest.mark.parametrize(
    ("name", "table", "count"),
    [
        ("plants.csv", PLANTS, 93),
        ("cautions.csv", CAUTIONS, 68),
        ("care_notes.csv", CARE, 33),
        ("moisture_fresh.csv", MOISTURE, 40),
        ("cautions_more.csv", MORE_CAUTIONS, 89),
    ],
)
def test_a_table_holds_every_published_row_in_order(name, table, count):
    published = [tuple(row.values()) for row in rows(name)]

    assert len(published) == count
    assert [tuple(map(_as_printed, row)) for row in table] == [
        tuple(map(_as_printed, row)) for row in published
    ]


def test_levels_and_groups_are_the_words_that_the_code_knows():
    assert {row[2] for row in MORE_CAUTIONS} == set(get_args(Level))
    assert {one for row in MORE_CAUTIONS for one in row[4].split(";") if one} == set(
        get_args(Group)
    )


def test_corrections_and_names_are_of_rows_that_are_there():
    first, further = {row[0] for row in CAUTIONS}, {row[0] for row in MORE_CAUTIONS}
    handled = {latin for latin, _ in CARE}

    assert further >= set(corrections.MORE_NAMES) | corrections.OF_THEIR_PART
    assert first >= {
        *corrections.RESTRICTED, *corrections.HAZARDS, *corrections.GROUPS, *corrections.REASONS,
        *corrections.BASES, *corrections.MORE_SPECIES, *corrections.READ,
        *corrections.ON_ANNEX_1B, *corrections.ON_ANNEX_1B_WITH_LIMITS,
    }  # fmt: skip
    assert handled >= {
        *corrections.CARE_MORE, *corrections.CARE_LEVELS, *corrections.CARE_GROUPS,
    }  # fmt: skip


def _as_printed(value: str | float) -> str:
    """Numbers compare as numbers: 55 is 55.0."""
    try:
        return str(float(value))
    except ValueError:
        return str(value)
