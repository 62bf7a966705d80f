"""A practice.toml that cannot be read: who still answers, who is refused, and that nothing is lost.

What a rule decides is not said and not recorded while no one can say what the rules are. What
keeps the book safe, and what helps to correct the file, goes on.
"""

import pytest

from tests.command import Command
from tracker.cli.help.verb_table import VERBS
from tracker.core.practice.practice import PRACTICE_FILE

CHARGE = 'charge "Urtica dioica" --dried 10g --pour "50 ml 45%"'

# A line of each verb, complete: nothing of it is missing but the rules.
RECORDING = {
    "charge": CHARGE,
    "shake": "shake CAOF-25-02",
    "look": "look CAOF-25-02 --verdict fine",
    "top-up": 'top-up CAOF-25-02 --pour "10 ml 45%"',
    "add-herb": "add-herb CAOF-25-02 --dried 5g",
    "move": "move CAOF-25-02 --to cellar",
    "draw": "draw CAOF-25-02 10ml",
    "press": "press CAOF-25-02 370ml --sure",
    "filter": "filter CAOF-25-01A 7ml",
    "bottle": "bottle CAOF-25-01A 1x5ml",
    "recharge": 'recharge CAOF-25-01A --volume 5ml --herb "Urtica dioica" --dried 1g --sure',
    "steep-again": 'steep-again CAOF-25-01 --pour "100 ml 45%" --sure',
    "split": "split CAOF-25-02 --into 2",
    "join": "join CAOF-25-02 CAOF-25-01",
    "blend": 'blend --part "4 CAOF-25-01A" --part "4 CAOF-25-01A/1" --total 8ml',
    "dilute": 'dilute CAOF-25-01A --pour "1 ml water"',
    "dispense": "dispense CAOF-25-01A/1 5ml --for C03",
    "refill": "refill CAOF-25-01A/1 --volume 1ml",
    "count": "count CAOF-25-01A 7ml",
    "stocktake": "stocktake sheet.txt",
    "discard": "discard CAOF-25-01A/1 --why spilt",
    "restore": "restore CAOF-25-01A/1",
    "hold": "hold CAOF-25-02 --why cloudy",
    "release": "release MEOF-25-01A --why clear",
    "recall": 'recall LOT-25-01 --why "asked by the supplier"',
    "gather": 'gather "Urtica dioica" --fresh 100g',
    "buy": 'buy "Urtica dioica" --dried 100g',
    "dry": "dry LOT-25-01 20g",
    "found": 'found "Urtica dioica" --sure',
    "note": 'note CAOF-25-02 "smells right"',
    "undo": "undo",
    "correct": "correct 1 --set filled=480ml --why misread",
    "strike": "strike 3 --why wrong",
    "same": "same 1 2",
    "away": "away 2026-07-05 2026-07-19",
    "later": "later CAOF-25-02 3d",
    "label": "label CAOF-25-02",
    "enter": "enter page.txt --yes",
}
# Answered all the same: what is wrong with the file is said beside the answer.
ANSWERED = {
    "check": ("check", 0),
    "backup": ("backup {home}/copy", 0),
    "history": ("history CAOF-25-01", 0),
    "practice": ("practice --example", 0),
}
# No rule has a say in these, and the file is not looked at.
WITHOUT_RULES = {"demo", "daemon", "reminders", "completion"}
BROKEN = {
    "no TOML": ("zone = 'Europe/Berlin'\n[vinegar\n", "practice.toml, line 2"),
    "no such key": ("# mine\n\n[oil]\nshelf = '1 year'\n", "practice.toml, line 4"),
    "no such zone": ("zone = 'Europe/Atlantis'\n", "practice.toml, line 1"),
    "UTF-16": (b"\xff\xfez\x00", "practice.toml"),
}


def broken(command: Command, how: str = "no such key") -> tuple[Command, str]:
    content, where = BROKEN[how]
    found = content.encode() if isinstance(content, str) else content
    (command.book / PRACTICE_FILE).write_bytes(found)
    return command, where


@pytest.mark.parametrize("verb", RECORDING)
def test_no_verb_records_by_rules_that_nobody_knows(worked, verb):
    command, where = broken(worked)
    (command.home / "page.txt").write_text("shake CAOF-25-02\n")
    before = command.written()
    refused = command.refused(RECORDING[verb], code=2)

    assert where in refused
    assert "[oil] shelf: there is no such key" in refused
    assert command.written() == before


@pytest.mark.parametrize("how", BROKEN)
@pytest.mark.parametrize("verb", ANSWERED)
def test_what_keeps_the_book_safe_answers_and_says_what_is_wrong(worked, verb, how):
    line, code = ANSWERED[verb]
    whole = worked.run(line.format(home=worked.home))
    if verb == "backup":
        (worked.home / "copy" / PRACTICE_FILE).unlink()
    command, where = broken(worked, how)
    found = command.run(line.format(home=command.home))

    assert found.code == code, found
    assert where in found.err
    assert "Nothing can be recorded until that is corrected." in found.err
    assert whole.code == 0
    if verb not in ("practice", "backup"):
        assert found.out == whole.out
    if verb == "backup":
        copy = command.home / "copy" / PRACTICE_FILE
        assert copy.read_bytes() == (command.book / PRACTICE_FILE).read_bytes()


def test_the_history_does_not_guess_what_was_past_its_date(worked):
    worked.ok("dispense CAOF-25-01A/1 5ml --for C03 --when 2026-06-01 --sure")
    assert "past" in worked.told("history CAOF-25-01")
    command, _ = broken(worked)
    found = command.run("history CAOF-25-01")

    assert "past its date" not in found.out
    assert "What was past its date when it was used is not said here." in found.err


def test_the_example_can_be_had_while_the_file_is_broken(worked, tmp_path):
    """The refusal of a file that is no TOML says to look at it."""
    command, _ = broken(worked, "no TOML")
    found = command.run("practice --example")
    (command.book / PRACTICE_FILE).write_text(found.out)

    assert found.code == 0
    assert [one["in_force"] for one in command.json("practice --json") if one["rule"] == "units"]
    assert command.ok("shelf")


@pytest.mark.parametrize("line", ["practice", "practice --json"])
def test_no_rule_is_said_to_be_in_force(worked, line):
    command, where = broken(worked)

    assert where in command.refused(line, code=2)


ASKING = [
    *("shelf", "stock", "due", "show CAOF-25-01", "trace CAOF-25-01", "record CAOF-25-01"),
    *(
        "begin",
        "reminders",
        "remind",
        "calendar --to days.ics",
        "page --to shelf.html",
        "handout CAOF-25-01",
    ),
    *("timeline CAOF-25-01", "season", "supply", "yields", "batches Calendula"),
    *('strength "10 ml 45%"', "mix --to 50% --volume 1l --from 95% --from water"),
    *("size --jar 500ml --ratio 1:5 --dried",),
]
# These print what was done and measured, and no rule of the practice is in them.
OF_NO_RULE = ["lots"]


@pytest.mark.parametrize("line", ASKING)
def test_no_answer_is_given_by_rules_that_nobody_knows(worked, line):
    command, where = broken(worked)
    found = command.run(line)

    assert found.code == 2, found
    assert where in found.err
    assert found.out == ""
    assert not {"days.ics", "shelf.html", "handout.pdf"} & {
        path.name for path in command.home.iterdir()
    }


@pytest.mark.parametrize("line", OF_NO_RULE)
def test_an_answer_with_no_rule_in_it_is_the_same_as_ever(worked, line):
    whole = worked.run(line)
    command, _ = broken(worked)

    assert command.run(line) == whole


def test_every_verb_is_tried_here():
    tried = {line.split()[0] for line in [*ASKING, *OF_NO_RULE]}

    assert tried | set(RECORDING) | set(ANSWERED) | WITHOUT_RULES == set(VERBS)
