"""Every line that a verb's help shows does what it is said to do, on a made-up shelf."""

import shutil
from datetime import datetime
from pathlib import Path
from unittest.mock import patch

import pytest
import typer

from tests.command import Command
from tracker import clock
from tracker.cli.help.verb_help import examples
from tracker.cli.help.verb_table import VERBS
from tracker.cli.main import app

SHELF = (
    'buy "3 l 60%" --when 2026-01-10',
    'buy "lemon balm" --part leaf --dried 500g --when 2026-01-10',
    "gather calendula --part flower --fresh 800g --when 2026-06-20",
    'charge valerian --part root --dried 80g --pour "450 ml 45%" --when 2026-04-01',
    'charge "lemon balm" --part leaf --dried 80g --pour "400 ml 45%" --when 2026-08-01',
    'charge calendula --part flower --dried 100g --pour "500 ml 60%" --when 2026-09-03',
    "press VAOF-26-01 360ml --marc kept --when 2026-05-10",
    "press MEOF-26-01 320ml --when 2026-09-01",
    "bottle MEOF-26-01A 3x30ml --when 2026-09-02",
    "dispense MEOF-26-01A/1 10ml --when 2026-09-20",
    "discard MEOF-26-01A/3 --why broken --when 2026-09-20",
    'charge calendula --part flower --dried 80g --pour "400 ml 60%" --jar 750ml --when 2026-11-15',
    "shake CAOF-26-02 --when 2026-11-26T08:00",
    "shake CAOF-26-02 --when 2026-11-26T08:10 --sure",
    'charge ginger --part root --fresh 100g --pour "300 ml 70%" --when 2026-11-10',
    "look ZIOF-26-01 --sign gas --when 2026-11-25",
    "note CAOF-26-02 'smells right' --when 2026-11-26T08:20",
)
PAGE = "# what was done on the 25th\nshake CAOF-26-02\nnote ZIOF-26-01 'still fizzy'\n"
# Would install a service, or stay; the verbs themselves have tests that do so.
NOT_RUN = {"reminders on", "reminders test", "daemon"}
# What has to stand there already.
AFTER = {
    "backup /media/stick/book --verify": ("backup /media/stick/book",),
    "backup /media/stick/book --restore new-book": ("backup /media/stick/book",),
    "--book demo-book due": ("demo demo-book",),
}
LINES = [(verb, line) for verb, told in examples().items() for line, _ in told["examples"]]


@pytest.fixture(autouse=True)
def _evening():
    """The evening of 27 November 2026, whenever the tests are run."""

    def now(where):
        return datetime(2026, 11, 27, 19, 0, tzinfo=where)

    with patch.object(clock, "now", now):
        yield


@pytest.fixture(scope="module")
def _told(tmp_path_factory) -> Path:
    command = Command(tmp_path_factory.mktemp("told")).practice('zone = "Europe/Berlin"\n')
    with patch.object(clock, "now", lambda where: datetime(2026, 11, 27, 18, 0, tzinfo=where)):
        for line in SHELF:
            command.ok(line)
    return command.book


@pytest.fixture
def shelf(command, _told) -> Command:
    shutil.copytree(_told, command.book)
    (command.home / "page.txt").write_text(PAGE)
    (command.home / "counted.txt").write_text("MEOF-26-01A = 225 ml\n")
    return command


def test_the_help_of_every_verb_ends_with_examples():
    assert {*examples()} == {*VERBS}
    assert [verb for verb, told in examples().items() if len(told["examples"]) > 3] == []


@pytest.mark.parametrize(("verb", "line"), LINES, ids=[line for _, line in LINES])
def test_an_example_does_what_it_says(shelf, verb, line):
    assert verb in line
    if line in NOT_RUN:
        return
    for before in AFTER.get(line, ()):
        shelf.ok(before.replace("/media/stick", f"{shelf.home}/stick"))

    answer = shelf.run(line.replace("/media/stick", f"{shelf.home}/stick"))

    assert answer.code == 0, answer.err


def test_a_verb_that_is_near_is_a_verb():
    near = [other for told in examples().values() for other in told.get("near", {})]

    assert {*near} <= {*VERBS}


@pytest.mark.parametrize("verb", VERBS)
def test_examples_stand_in_the_help_whole_on_a_screen_of_80(command, verb):
    page = command.ok(f"{verb} --help")

    assert max(map(len, page.splitlines())) <= 80
    for line, _ in examples()[verb]["examples"]:
        assert f"  stillroom {line}\n" in page


def test_which_verb_takes_back_what_is_said_where_two_are_near(command):
    assert "discard  throws out what is in a jar or bottle." in command.ok("strike --help")
    assert "takes back what was written; nothing is thrown out." in command.ok("discard --help")
    assert "for two records of one thing" in command.ok("strike --help")


@pytest.mark.parametrize("verb", VERBS)
def test_what_every_verb_takes_stands_last(verb):
    """Its own options first, so that nobody reads past `--json` to find them."""
    group = typer.main.get_command(app)
    context = group.make_context("stillroom", [verb, "--help"], resilient_parsing=True)
    page = group.get_command(context, verb).get_help(context)

    assert page.index("As with other verbs:") > page.find("Options:")
    assert "--json" not in page.partition("As with other verbs:")[0]
