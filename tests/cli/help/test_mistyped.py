"""A line that cannot be read is answered in one line: what is wrong, and what to type."""

import re

import pytest

from tracker.cli.help.other_words import OTHER_WORDS
from tracker.cli.help.verb_table import VERBS

ALL = "All verbs: stillroom --help"
SAID = [
    ("pres", f"`pres` is not a verb. Did you mean `press`? {ALL}"),
    ("SHELF", f"`SHELF` is not a verb. Did you mean `shelf`? {ALL}"),
    ("xyzzy", f"`xyzzy` is not a verb. {ALL}"),
    (
        "CAOF-26-01",
        f"`CAOF-26-01` is not a verb. Begin with one: `stillroom show CAOF-26-01`. {ALL}",
    ),
    ("jars", f"`jars` is not a verb: `shelf` lists the jars. {ALL}"),
    (
        "decant CAOF-26-01A",
        "`decant` is not a verb: `filter CODE VOLUME --poured-off` pours an extract off its lees. "
        + ALL,
    ),
    (
        "dose",
        "`dose` is not a verb: nothing is said about doses here; `dispense` records what was given "
        f"out. {ALL}",
    ),
    ("charge --dryed 3g", "`charge` takes no --dryed. Did you mean --dried? "),
    ("press --strenght 3", "`press` takes no --strenght. See: stillroom press --help"),
    ("--bok x shelf", "`stillroom` takes no --bok. Did you mean --book? See: stillroom --help"),
    ("--book x", f"A verb is missing. {ALL}"),
    ("--book", "--book needs something after it: the folder that holds the record. "),
    ("show --on", "--on needs something after it: "),
    ("show", "`show` needs CODE: "),
    ("season --months many", "--months takes a whole number, 1 to 24. "),
    ("season --months 25", "--months takes a whole number, 1 to 24. "),
    ("press --again=yes A", "--again takes nothing after it. "),
    (
        "yields lemon balm",
        "`balm` is more than `yields` takes. Text of several words needs quotation marks. "
        "See: stillroom yields --help",
    ),
    (
        "dilute CAOF-26-01A '100 ml water'",
        "`100 ml water` is more than `dilute` takes. Write the option it belongs to: "
        "--pour, --to. ",
    ),
    (
        "blend MEOF-26-01A VAOF-26-01A",
        "`MEOF-26-01A VAOF-26-01A` is more than `blend` takes. Write the option it belongs to: "
        "--part, --total, --measured, --code. ",
    ),
    (
        "charge calendula '500 ml 45%'",
        "`500 ml 45%` is more than `charge` takes. Write the option it belongs to. "
        "See: stillroom charge --help",
    ),
]


@pytest.mark.parametrize(("line", "said"), SAID, ids=[line for line, _ in SAID])
def test_it_is_said_in_one_line(command, line, said):
    message = command.refused(line, code=2)

    assert message.startswith(said)
    assert message.count("\n") == 1


@pytest.mark.parametrize("word", OTHER_WORDS)
def test_a_word_of_the_trade_leads_to_verbs_that_there_are(word):
    named = re.findall(r"`(?:stillroom )?([a-z][a-z-]*)", OTHER_WORDS[word])

    assert word not in VERBS
    assert set(named) <= {*VERBS, "stillroom"}


def test_a_strange_word_does_nothing_to_the_screen(command):
    message = command.refused("", "\x1b[2Jpress", code=2)

    assert "\x1b" not in message
