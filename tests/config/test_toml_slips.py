"""What a person types by mistake in practice.toml: the line, and what to write in it."""

import pytest

from tests.config.test_config import complaint, practice_of

# The slip, its line, and what is to be done.
SLIPS = [
    ('[vinegar\nleast = "1 month"', 1, "close the bracket: ]"),
    ("[vinegar]\nleast = 1 month", 2, 'put the value in quotes: least = "1 month"'),
    ("units = us  # mine", 1, 'put the value in quotes: units = "us"'),
    ('[labels]\n"page address" = none', 2, 'in quotes: "page address" = "none"'),
    ("[reminders]\ndigest = 08:00", 2, 'in quotes: digest = "08:00"'),
    ('[reminders]\nwaking from = "08:00"', 2, 'several words in quotes: "waking from" ='),
    ('[spirit on dried herb]\nleast = "3 months"', 1, '["spirit on dried herb"]'),
    ("[vinegar]\nleast = “1 month”", 2, "straight quotation marks"),
    ('[vinegar]\nleast: "1 month"', 2, "put = after least in place of :"),
    ('[vinegar]\nleast = "1d"\n[vinegar]\nkeeps = "1y"', 3, "the keys of both under one"),
    ('[vinegar]\nleast = "1d"\nleast = "2d"', 3, "keep one of them"),
    ('[page]\nfolder = "C:\\Users\\me"', 2, "write / in place of \\"),
    ('[vinegar]\nleast = "1 month" 2 weeks', 2, "nothing after them"),
    ("[vinegar]\nleast = \"28d'", 2, "close the quotation mark"),
    ('[vinegar]\nleast = \'28d"\nkeeps = "1y"', 2, "close the quotation mark"),
    ('[vinegars]\nleast = "28d"', 1, "did you mean vinegar?"),
    ('[Vinegar]\nleast = "28d"', 1, "did you mean vinegar?"),
    ('["spirit on dryed herb"]\nleast = "1d"', 1, "did you mean spirit on dried herb?"),
    ('[vinegar]\nlest = "28d"', 2, "did you mean least?"),
    ('[reminders]\nwaking_from = "08:00"', 2, "did you mean waking from?"),
    ('least = "1 month"', 1, "in the table of a kind of liquid"),
]


@pytest.mark.parametrize(("typed", "line", "do"), SLIPS)
def test_a_slip_is_named_with_its_line_and_what_to_write(tmp_path, typed, line, do):
    refused = complaint(tmp_path, f"{typed}\n")

    assert refused.where == f"practice.toml, line {line}"
    assert do in refused.do


@pytest.mark.parametrize("typed", ["least = " + "a " * 9000, "least = " + "'" * 9001, "é = 1"])
def test_what_looks_like_no_slip_is_refused_with_its_line_at_once(tmp_path, typed):
    refused = complaint(tmp_path, f"{typed}\n")

    assert refused.where == "practice.toml, line 1"
    assert refused.do.startswith("correct that line")


def test_a_word_of_a_choice_may_have_capitals_and_blanks(tmp_path):
    assert practice_of(tmp_path, 'hemisphere = "South "\n').hemisphere == "south"
