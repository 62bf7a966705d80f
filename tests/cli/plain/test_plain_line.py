"""Which command lines are plain."""

import pytest

from tracker.cli.plain.plain_line import plain_line


@pytest.fixture(autouse=True)
def _no_book_named(monkeypatch):
    monkeypatch.delenv("STILLROOM_BOOK", raising=False)


@pytest.mark.parametrize(
    ("words", "asked", "book"),
    [
        (["due"], ["due"], None),
        (["--book", "b", "shelf"], ["shelf"], "b"),
        (["show", "CAOF-26-01A/3"], ["show", "CAOF-26-01A/3"], None),
        (["--book", "b", "show", "x"], ["show", "x"], "b"),
    ],
)
def test_a_verb_that_asks_alone_is_plain(words, asked, book):
    line = plain_line(words)

    assert line is not None
    assert (line.words, line.book) == (asked, book)


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["shake", "CAOF-26-01"],
        ["due", "--json"],
        ["due", "due"],
        ["due", "-h"],
        ["--version"],
        ["--book", "due"],
        ["--book", "", "due"],
        ["--book", "--book", "due"],
        ["--book", "a", "--book", "b", "due"],
        ["show"],
        ["show", ""],
        ["show", "--json"],
        ["show", "--", "-x"],
        ["show", "a", "b"],
        ["history", "a"],
    ],
)
def test_any_other_line_is_not(words):
    assert plain_line(words) is None


def test_a_book_named_by_the_environment_counts_unless_another_is_named(monkeypatch):
    monkeypatch.setenv("STILLROOM_BOOK", "mine")

    assert plain_line(["due"]).book == "mine"
    assert plain_line(["--book", "theirs", "due"]).book == "theirs"


def test_an_empty_name_in_the_environment_is_none(monkeypatch):
    monkeypatch.setenv("STILLROOM_BOOK", "")

    assert plain_line(["due"]).book is None
