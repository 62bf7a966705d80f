"""What becomes ready and what expires, month by month, by the days of `show`."""

import re

import pytest

pytestmark = pytest.mark.thorough


def test_the_season_has_each_day_of_show_in_its_month(told):
    answer = told.asked("season --on 2025-07-01")
    falls = {
        (fall["what"], fall["code"]): (month["month"], fall["day"])
        for month in answer["months"]
        for fall in month["falls"]
    }
    ready, longest = (
        told.asked("show B2 --on 2025-07-01")[key] for key in ("earliest_press", "longest")
    )

    assert falls == {
        ("ready", "B2"): (ready[:7], ready),
        ("longest", "B2"): (longest[:7], longest),
        ("expires", "A1A"): ("2026-02", "2026-02-01"),
        ("expires", "B1A"): ("2026-03", "2026-03-01"),
    }
    assert len(answer["months"]) == 12
    assert (answer["before"], answer["later"]) == ([], [])


def test_what_lies_outside_the_months_is_counted_beside_them(told):
    answer = told.asked("season --months 2 --on 2025-08-01")

    assert [fall["code"] for fall in answer["before"]] == ["B2"]
    assert [month["month"] for month in answer["months"]] == ["2025-08", "2025-09"]
    assert [fall["code"] for fall in answer["later"]] == ["A1A", "B1A"]
    assert re.search(
        r"^expires +\. +\. +\. +2$", told.ok("season --months 2 --on 2025-08-01"), re.M
    )


def test_what_is_on_hold_is_counted_apart_and_never_called_ready(told):
    told.ok('hold B2 --why "cloudy" --when 2025-06-25')
    told.ok('hold A1A --why "smells odd" --when 2025-06-25')
    answer = told.asked("season --on 2025-07-01")
    text = told.ok("season --on 2025-07-01")

    held = {
        fall["code"] for month in answer["months"] for fall in month["falls"] if fall["on_hold"]
    }
    assert held == {"B2", "A1A"}
    assert re.search(r"^ready +(\. +)+\.$", text, re.MULTILINE)
    assert re.search(r"^on hold +\. +1 .* 1 ", text, re.MULTILINE)
    assert re.search(r"B2 +on hold$", text, re.MULTILINE)
    assert re.search(r"A1A +on hold, expires +280$", text, re.MULTILINE)
    assert "On hold: A1A, B2." in text


def test_a_percolate_is_collected(command):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(
        'charge "Inula helenium" --dried 100g --pour "500 ml 45%" --least 1d --way percolation'
        " --code A1 --when 2025-06-01"
    )

    assert "may be collected from" in command.ok("timeline A1 --on 2025-06-01")
    command.ok("season --on 2025-06-01 --to season.svg")
    assert "A1, may be collected<" in (command.home / "season.svg").read_text()


@pytest.mark.parametrize("columns", [40, 60, 80])
def test_the_season_fits_the_screen(told, columns):
    told.env["COLUMNS"] = str(columns)
    text = told.ok("season --on 2025-07-01")

    assert max(map(len, text.splitlines())) <= columns
    assert "…" not in text
