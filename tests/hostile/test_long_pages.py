"""A page of hundreds of lines on one jar takes as many steps as it has lines, not their square."""

import pytest

from tests.bench.counting import counted
from tracker.cli.main import Verbs
from tracker.core.replay.replay import apply_entry

LINES = 150
PAGES = {
    "shakes of one day after another": "shake CAOF-25-02 --when 2026-{month:02d}-{day:02d}",
    "remarks of days long past": "note CAOF-25-01 --note long-past --when 2025-03-04",
    "looks before the pressing": "look CAOF-25-01 --when 2025-03-{middle:02d}",
    "lines about bottles": "dispense CAOF-25-01A/2 0.1ml --for C03 --when 2025-05-{day:02d}",
}


@pytest.mark.parametrize("page", PAGES)
def test_a_long_page_takes_as_many_steps_as_lines(worked, page):
    days = [divmod(place * 27 // LINES, 27) for place in range(LINES)]
    lines = [PAGES[page].format(month=1, day=1 + day, middle=4 + day) for _, day in days]
    (worked.home / "page.txt").write_text("\n".join(lines))
    with counted(apply_entry, Verbs.get_command) as calls:
        answer = worked.run("enter page.txt --yes --sure --json")

    assert answer.code == 0, answer.err
    assert len(worked.lines()) == 7 + 1 + LINES
    assert calls["get_command"] <= 2
    assert calls["apply_entry"] < 25 * LINES
