"""Verbs that ask in a way of their own, stopped at each question: nothing is recorded."""

import pytest

from tests.command import Command
from tests.forked_talk import ForkedTalk

pytestmark = pytest.mark.thorough

CHARGED = "charge Melissa --part leaf --dried 100g --pour '500 ml 45%' --when 2025-03-03"
PAGE = "charge Urtica --dried 50g --pour '250 ml 45%' --when 2025-03-05\n"
TALKS = {
    "stocktake": ["380", ""],
    "correct MEOF-25-01": ["2", "volume", "390", "", "misread"],
    "strike MEOF-25-01": ["2", "slip"],
    "undo": [],
    "enter page.txt": [],
    "begin": ["~/kitchen", "MA", "New Zealand", "9", "n"],
}


@pytest.fixture
def kept(command: Command) -> Command:
    command.ok(CHARGED)
    command.ok("press MEOF 400ml --keeps '90 years' --when 2025-06-10")
    command.ok("buy Urtica --dried 250g --when 2025-06-15")
    (command.home / "page.txt").write_text(PAGE)
    return command


def left(command: Command) -> set[str]:
    """Every folder there is beside what may be kept at any time."""
    return {one.name for one in command.home.iterdir()} - {"cache", "state"}


@pytest.mark.parametrize("sign", ["\x03", "\x04"])
@pytest.mark.parametrize("line", TALKS)
def test_stopped_at_each_question_and_before_the_yes(kept, line, sign):
    before, folders = kept.written(), left(kept)
    for answered in range(len(TALKS[line]) + 1):
        with ForkedTalk(kept, line) as talk:
            for one in TALKS[line][:answered]:
                talk.type(one)
            assert talk.asks, talk.screen
            talk.type(sign)

        assert talk.code == 1, talk.screen
        assert "Traceback" not in talk.screen
        assert talk.before == talk.after
        assert (kept.written(), left(kept)) == (before, folders)


@pytest.mark.parametrize(
    ("answered", "said"),
    [
        ([], "The folder the book is kept in"),
        (["~/kitchen"], "Initials are enough"),
        (["~/kitchen", ""], "It settles your money"),
        (["~/kitchen", "", "nz"], "When the reminders of the day are sent"),
        (["~/kitchen", "", "nz", ""], "A yes starts a program"),
    ],
)
def test_a_question_mark_explains_each_question_of_begin(kept, answered, said):
    with ForkedTalk(kept, "begin") as talk:
        for one in answered:
            talk.type(one)
        asked = talk.asks
        talk.type("?")

        assert talk.asks == asked
        assert said in " ".join(talk.screen.split())
        explained = talk.screen.partition("?\r\n")[2].removesuffix(asked)
        assert max(map(len, explained.splitlines())) <= 80
