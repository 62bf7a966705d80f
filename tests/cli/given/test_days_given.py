"""Dates in words, beside verbs and above the lines of a page."""

import json

import pytest

POUR = '--pour "500 ml 45%"'


@pytest.fixture
def shelf(command):
    command.ok(f'charge "Melissa officinalis" --dried 80g {POUR} --when "3 march 2025"')
    return command


def test_what_was_understood_is_said(command):
    answer = command.run(f'charge Melissa --dried 80g {POUR} --when "3 march 2025"')

    assert "3 march 2025 taken as Mon 3 Mar 2025." in answer.err
    assert command.lines()[0]["time"].startswith("2025-03-03")


@pytest.mark.parametrize(
    "day", ["2025-03-08", "yesterday", "2025-summer", "8 Mar 2025", "Sat 8 Mar 2025"]
)
def test_a_date_that_cannot_be_misread_is_not_repeated(shelf, day):
    assert "taken as" not in shelf.run(f"note MEOF-25-01 fine --when {day}").err


def test_numbers_alone_are_refused_with_both_days_in_a_script(shelf):
    answer = shelf.run("shake MEOF-25-01 --when 3/4/2025 --json")

    assert answer.code == 2
    readings = json.loads(answer.err.splitlines()[-1])["readings"]
    assert [one["written"] for one in readings] == ["2025-04-03", "2025-03-04"]


def test_numbers_alone_are_asked_about_at_a_terminal(shelf):
    answer = shelf.at_terminal("shake MEOF-25-01 --when 3/4/2025", typed="2\n")

    assert answer.code == 0, answer.out
    assert "MEOF-25-01 shaken 4 Mar 2025" in answer.out


@pytest.mark.parametrize(
    ("order", "month", "day"),
    [("day first", "04", "3 Apr"), ("month first", "03", "4 Mar")],
)
@pytest.mark.parametrize("written", ["3/4/2025", "3/4/25", "3.4.2025", "3/4/25 18:30"])
def test_numbers_alone_are_read_as_the_practice_says(shelf, order, month, day, written):
    shelf.practice(f'dates = "{order}"\n')
    answer = shelf.run(f'note MEOF-25-01 fine --when "{written}"')

    assert answer.code == 0, answer.err
    assert f"{written} taken as " in answer.err
    assert f" {day} 2025" in answer.err
    assert shelf.lines()[-1]["time"][:7] == f"2025-{month}"


def test_without_its_year_too_and_where_a_day_is_asked_about(shelf):
    shelf.practice('dates = "day first"\n')
    shelf.ok("away 3/4 5/4")
    away = shelf.lines()[-1]["data"]

    assert (away["first"][5:], away["last"][5:]) == ("04-03", "04-05")
    assert "3/4/2025 taken as Thu 3 Apr 2025." in shelf.run("shelf --on 3/4/2025").err


def test_what_can_only_be_one_day_is_that_day_whichever_comes_first(shelf):
    shelf.practice('dates = "month first"\n')

    assert "Sat 15 Mar 2025" in shelf.run("note MEOF-25-01 fine --when 15/3/2025").err


def test_a_page_reads_numbers_as_the_practice_says(shelf):
    shelf.practice('dates = "month first"\n')
    page(shelf, "3/4/2025\nnote MEOF-25-01 one\n").ok("enter page.txt")

    assert days_of(shelf, 1) == ["2025-03-04"]


def test_a_day_without_its_year_has_been_or_comes(shelf):
    """At any day of the year: the one is never ahead, the other never past."""
    shelf.ok('note MEOF-25-01 seen --when "2 feb" --sure')
    noted = shelf.lines()[-1]
    shelf.ok('away "2 feb" "5 feb"')
    away = shelf.lines()[-1]

    assert noted["time"][:10] <= noted["recordedtime"][:10] <= away["data"]["first"]
    assert away["data"]["first"][5:] == "02-02"
    assert away["data"]["last"][5:] == "02-05"


def test_a_reminder_is_put_off_until_a_day_in_words(shelf):
    answer = shelf.run('later MEOF-25-01 "in two weeks" --what ready')

    assert answer.code == 0, answer.err
    assert "in two weeks taken as" in answer.err


@pytest.mark.parametrize("verb", ["due", "shelf", "stock", "show MEOF-25-01", "season"])
def test_a_day_asked_about_may_be_in_words(shelf, verb):
    answer = shelf.run(f'{verb} --on "4 march 2025"')

    assert answer.code == 0, answer.err
    assert "4 march 2025 taken as Tue 4 Mar 2025." in answer.err


def test_what_is_no_date_names_the_page_that_lists_them(shelf):
    err = shelf.refused('shake MEOF-25-01 --when "a day last week"', code=2)

    assert "3 days ago" in err
    assert "docs/dates.md" in err


# A day above the lines of a page


def page(shelf, text: str):
    (shelf.home / "page.txt").write_text(text)
    return shelf


def days_of(shelf, count: int) -> list[str]:
    return [one["time"][:10] for one in shelf.lines()[-count:]]


def test_a_line_that_is_a_day_is_that_of_the_lines_below_it(shelf):
    text = (
        "note MEOF-25-01 one\n"
        "Tuesday 4 March 2025\n"
        "note MEOF-25-01 two\n"
        "# 2025-01-01\n"
        "note MEOF-25-01 three --when 18:30\n"
        "2025-03-05:\n"
        "note MEOF-25-01 four\n"
        "note MEOF-25-01 five --when 2025-03-09\n"
        "Mar 6, 2025 :\n"
        "note MEOF-25-01 six\n"
    )
    page(shelf, text).ok("enter page.txt --when 2025-03-03")

    assert days_of(shelf, 6) == [f"2025-03-{day:02}" for day in (3, 4, 4, 5, 9, 6)]
    assert "T18:30" in shelf.lines()[-4]["time"]


def test_the_days_stand_in_what_would_be_recorded(shelf):
    page(shelf, "4 March 2025\nnote MEOF-25-01 two\nnote MEOF-25-01 more\nMarch 2025\nshake MEOF")
    said = shelf.ok("enter page.txt --dry-run").splitlines()

    assert said[:2] == ["Would record:", "Tue 4 Mar 2025"]
    assert said[4] == "Mar 2025"
    assert len(said) == 6


def test_the_day_of_a_whole_page_may_be_in_words(shelf):
    page(shelf, "note MEOF-25-01 two\n")
    answer = shelf.run('enter page.txt --when "4 march 2025"')

    assert answer.err.count("taken as Tue 4 Mar 2025") == 1
    assert days_of(shelf, 1) == ["2025-03-04"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("3/4/2025\nshake MEOF\n", "line 1"),
        ("Tuesday 3 March 2025\nshake MEOF\n", "line 1"),
        ("Mondy\nshake MEOF\n", "is not a verb"),
        ("18:30\nshake MEOF\n", "is not a verb"),
    ],
)
def test_a_line_that_is_no_day_is_refused(shelf, text, said):
    assert said in page(shelf, text).refused("enter page.txt", code=2)


def test_a_page_of_days_alone_records_nothing(shelf):
    before = shelf.written()
    page(shelf, "2025-03-04\n2025-03-05\n").run("enter page.txt")

    assert shelf.written() == before
