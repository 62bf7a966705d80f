"""The installed program answers as its `main` does in this process, which most tests call."""

import re

import pytest

from tests.command import Command

CHARGE = 'charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%"'
# A jar from charge to bottle, what asks about it, and what is refused or misused.
STORY = (
    f"{CHARGE} --code KA1 --when 2025-03-03 --note 'süß 🌿'",
    "look KA1 --sign flecks --verdict watch --when 2025-03-20",
    "press KA1 370ml --when 2025-06-05",
    "bottle KA1A 3x100ml --when 2025-06-06 --json",
    "press KA1 12l --when 2025-06-07",
    "press",
    "press KA1 banana",
    "prss KA1 370ml",
    "shelf --done --on 2025-07-01",
    "show KA1A --json --on 2025-07-01",
    "stock --csv --on 2025-07-01",
    "history KA1",
    "due --on 2026-05-20",
    "calendar --to days.ics",
    "--help",
    "press --help",
    "check",
    "",
)
# What differs from run to run: ids, when it was written down, and where the book lies.
OWN = re.compile(
    r"[0-9a-f]{8}-[0-9a-f-]{27}|\b[0-9a-f]{8,}\b|20\d\d\d\d\d\dT\d{6}Z|/\S*/home-\w+"
    r"|recorded \d{4}-\d\d-\d\d \d\d:\d\d"  # the minute may turn between the two
)


def as_told(answer):
    return (answer.code, OWN.sub("#", answer.out), OWN.sub("#", answer.err))


@pytest.fixture
def both(tmp_path):
    """Two like homes, one for each way to run."""
    made = []
    for name in ("home-in", "home-out"):
        (tmp_path / name).mkdir()
        made.append(Command(tmp_path / name).practice('zone = "Europe/Berlin"\n'))
    return made


def test_a_process_says_word_for_word_what_main_says(both):
    here, outside = both
    for line in STORY:
        assert as_told(outside.installed(line)) == as_told(here.run(line)), line

    kept = [[(one["type"], one["data"].get("code")) for one in each.lines()] for each in both]
    assert kept[0] == kept[1]
    assert [kind for kind, _ in kept[0]] == ["charged", "looked_at", "pressed", "bottled"]


@pytest.mark.parametrize("zone", ["Europe/Berlin", "America/St_Johns"])
def test_the_zone_of_the_machine_is_the_same_for_both(tmp_path, zone):
    """Where the practice names none, the day and the offset are the machine's own."""
    times = []
    for run in ("run", "installed"):
        (tmp_path / run).mkdir()
        command = Command(tmp_path / run, zone=zone)
        assert getattr(command, run)(f"{CHARGE} --when '2025-03-03 18:30'").code == 0
        times.append(command.lines()[0]["time"])

    assert times[0] == times[1]
    assert times[0].startswith("2025-03-03T18:30")


def test_what_is_typed_through_a_pipe_reaches_both(both):
    page = f"{CHARGE} --code A1 --when 2025-03-03\nshake A1 --when 2025-03-04\n"
    here, outside = both
    outside.env["COLUMNS"] = "80"  # as it is for the other

    assert as_told(outside.installed("enter -", typed=page)) == as_told(
        here.run("enter -", typed=page)
    )
    assert len(here.lines()) == len(outside.lines()) == 2
