"""How long a person named at the bench stays the one who records."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.bench.own_person import own_person, remember, remembered
from tracker.bench.own_settings import PERSON, keep_setting, setting

BERLIN = ZoneInfo("Europe/Berlin")
EVENING = datetime(2026, 3, 3, 19, 40, tzinfo=BERLIN)


def name_at(state, now):
    found = remembered(state, now)
    return found and found.name


@pytest.mark.parametrize(
    ("later", "name"),
    [
        (timedelta(0), "Ines"),
        (timedelta(hours=5, minutes=59), "Ines"),
        (timedelta(hours=6), None),
        (timedelta(minutes=-1), None),  # the clock was set back
        (timedelta(days=1), None),
    ],
)
def test_a_name_holds_for_six_hours(tmp_path, later, name):
    remember(tmp_path, "Ines", EVENING)

    assert name_at(tmp_path, EVENING + later) == name


def test_a_name_never_holds_past_four_in_the_morning(tmp_path):
    remember(tmp_path, "Ines", datetime(2026, 3, 3, 23, 30, tzinfo=BERLIN))

    assert name_at(tmp_path, datetime(2026, 3, 4, 3, 59, tzinfo=BERLIN)) == "Ines"
    assert name_at(tmp_path, datetime(2026, 3, 4, 4, 0, tzinfo=BERLIN)) is None


def test_the_night_is_that_of_the_makers_zone(tmp_path):
    remember(tmp_path, "Ines", datetime(2026, 3, 3, 22, 30, tzinfo=UTC))

    assert name_at(tmp_path, datetime(2026, 3, 4, 3, 30, tzinfo=BERLIN)) == "Ines"
    assert name_at(tmp_path, datetime(2026, 3, 4, 3, 30, tzinfo=UTC)) == "Ines"
    assert name_at(tmp_path, datetime(2026, 3, 4, 4, 10, tzinfo=BERLIN)) is None


def test_the_person_of_this_machine_ends_it(tmp_path):
    keep_setting(PERSON, "Odo")
    remember(tmp_path, "Ines", EVENING)
    remember(tmp_path, "Odo", EVENING)

    assert remembered(tmp_path, EVENING) is None


@pytest.mark.parametrize(
    "text", [b"", b"Ines", b"Ines\nsoon\n", b"\n2026-03-03T18:40+00:00", b"\xff\n"]
)
def test_what_is_no_name_and_time_is_nobody(tmp_path, text):
    (tmp_path / "by").write_bytes(text)

    assert remembered(tmp_path, EVENING) is None


@pytest.mark.parametrize("text", ["", "\n", "Odo\nInes\n", "x" * 5000])
def test_a_person_that_cannot_be_read_is_nobody(tmp_path, text):
    keep_setting(PERSON, text)

    assert own_person() is None
    with pytest.raises(ValueError, match="it is"):
        setting(PERSON)


def test_a_setting_is_one_line_and_may_be_written_by_hand():
    keep_setting(PERSON, "Odo")

    assert setting(PERSON) == own_person() == "Odo"
    assert setting("other") is None
