"""A page of lines in one go: all of it or none, each line seeing what the lines before left."""

import json
import os
import pty
import select
import shlex
import subprocess

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from tests.command import PATIENCE_S, STILLROOM, Command
from tests.hypothesis_profile import searching
from tests.journal.on_disk import check_chain
from tracker.cli.main import app
from tracker.core.values.errors import TrackerError

pytestmark = pytest.mark.thorough

# A week at an invented bench.
WEEK = """\
# Monday: the first jar, and twelve for the class
charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%" --least 28d
stillroom charge Melissa --part herb --dried 25g --pour "125 ml 45%" --count 12 --code CL

shake CAOF-25-01 --when 2025-03-04
shake --all --when 2025-03-05
  note CL07 "the lid is Ines's own" --by Ines --when 2025-03-06
top-up CAOF-25-01 --pour "1 fl oz 45%" --when "2025-03-07 18:30"
look CL01 CL02 --sign level --verdict watch --when 2025-03-08
"""
# What became of it, written down a month later: codes that earlier lines give.
MONTH = """\
charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%" --least 28d
press CAOF-25-01 370ml --with hand --when 2025-04-05
filter CAOF-25-01A 358ml --when 2025-04-07
bottle CAOF-25-01A 3x100ml 1x50ml --when 2025-04-07
dispense CAOF-25-01A/2 --for C03 --when 2025-04-08
count CAOF-25-01A 6ml --when 2025-04-08
discard CAOF-25-01A/1 --why cracked --when 2025-04-08
restore CAOF-25-01A/1 --when 2025-04-08
look CAOF-25-01A --verdict hold --when 2025-04-09
"""


def page(command: Command, text: str | bytes) -> str:
    """Write a page beside the book; its name."""
    raw = text.encode() if isinstance(text, str) else text
    (command.home / "page.txt").write_bytes(raw)
    return "page.txt"


def entered(command: Command, text: str | bytes, *more: str) -> str:
    """Enter a page that must be taken; what it said on standard output."""
    return command.ok("enter", page(command, text), *more)


def refused(command: Command, text: str | bytes, *, code: int) -> str:
    """Enter a page that must be refused with the book as it was; what it said."""
    return command.refused("enter", page(command, text), code=code)


def kinds(command: Command) -> list[str]:
    return [line["type"] for line in command.lines()]


# All of it


def test_a_week_is_entered_in_one_go(command):
    out = entered(command, WEEK, "--when", "2025-03-03")

    assert kinds(command) == [
        *["charged"] * 13,
        *("shaken", "shaken", "noted", "topped_up", "looked_at", "looked_at"),
    ]
    assert out.startswith("  2  marigold flower CAOF-25-01 charged: 100 g dried in")
    assert "CL07 note: the lid is Ines's own." in out
    days = {line["type"]: line["time"][:16] for line in command.lines()}
    assert days["charged"].startswith("2025-03-03T00:00")
    assert days["topped_up"].startswith("2025-03-07T18:30")
    assert len(command.lines()[14]["data"]["jars"]) == 13
    assert command.run("check").code == 0
    assert len(check_chain(command.book / "events" / "bench.jsonl")) == 19


def test_a_later_line_names_what_an_earlier_one_opened(command):
    entered(command, MONTH, "--when", "2025-03-03")
    extract = command.asked("show CAOF-25-01A --on 2025-05-01")

    assert extract["volume_ml"] == pytest.approx(6.0)
    assert extract["on_hold"] is True
    assert command.asked("show CAOF-25-01A/2")["volume_ml"] == 0
    assert command.asked("show CAOF-25-01A/1")["state"] != "discarded"


def test_every_line_says_what_its_verb_says_alone(command, tmp_path):
    """Line by line with the same words: the state each verb sees is the state it would see."""
    alone = Command(tmp_path / "alone")
    alone.home.mkdir()
    words = [
        text
        for line in MONTH.splitlines()
        for text in alone.json(line if "--when" in line else f"{line} --when 2025-03-03")["said"]
    ]
    name = page(command, MONTH)
    rehearsed = command.json("enter", name, "--when", "2025-03-03", "--dry-run")
    answer = command.json("enter", name, "--when", "2025-03-03")

    assert answer["said"] == rehearsed["said"] == words
    assert (rehearsed["dry_run"], answer["dry_run"]) == (True, False)
    assert [one["id"] for one in answer["recorded"]] == [line["id"] for line in command.lines()]
    assert [one["line"] for one in answer["recorded"]] == list(range(1, 10))


def test_a_preview_writes_nothing_not_even_a_book(command):
    out = entered(command, WEEK, "--when", "2025-03-03", "--dry-run")

    assert out.startswith("Would record:\n  2  marigold flower CAOF-25-01 charged")
    assert not command.book.exists()
    assert [path for path in command.cache.rglob("*") if "trial" in path.name] == []


def test_a_page_may_come_through_a_pipe(worked):
    done = worked.run("enter -", typed="shake CAOF-25-02 --when 2025-03-04\n")

    assert done.code == 0
    assert done.out == "  1  marigold flower CAOF-25-02 shaken 4 Mar 2025.\n"
    assert "Recorded 1 event from 1 line: 1 shaken." in done.err


def test_an_empty_page_records_nothing_and_says_so(worked):
    before = worked.written()
    for text in ("", "\n\n# nothing yet\n", b"\xef\xbb\xbf"):
        done = worked.run("enter", page(worked, text))
        assert (done.code, done.out, done.err) == (0, "", "Nothing to record.\n")

    assert worked.json("enter page.txt")["recorded"] == []
    assert worked.written() == before


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_editors_marks_and_line_ends_change_nothing(command, end, mark):
    lines = ['charge "Ölweide" --code OE --dried 50g --pour "250 ml 45%"', 'note OE "süß 🌿"']
    entered(command, mark + end.join(lines).encode())
    charged, noted = command.lines()

    assert charged["data"]["herb"].startswith("Ölweide")
    assert noted["data"]["note"] == "süß 🌿"


def test_the_day_and_the_person_of_the_page_hold_where_a_line_says_none(worked):
    others = ("", " --when 18:30 --by Odo", " --when 2025-03-09")
    entered(
        worked,
        "\n".join(f"shake CAOF-25-02{one}" for one in others),
        "--when",
        "2025-03-05",
        "--by",
        "Ines",
    )
    times = [(line["time"][:16], line["data"]["by"]) for line in worked.lines()[-3:]]

    assert times == [
        ("2025-03-05T00:00", "Ines"),
        ("2025-03-05T18:30", "Odo"),
        ("2025-03-09T00:00", "Ines"),
    ]


def test_amends_of_what_stands_in_the_book_work_in_a_page(worked):
    number = worked.number("filtered")
    entered(worked, f"correct {number} --set volume=356ml --why misread\nshake CAOF-25-02\n")

    assert worked.asked("show CAOF-25-01A")["volume_ml"] == pytest.approx(6.0)


def test_a_caution_is_said_once_for_jars_alike(command):
    line = 'charge Calendula --dried 10g --pour "50 ml 45%"\n'
    done = command.run("enter", page(command, line * 3))

    assert done.code == 0
    assert done.err.count("Care:") == 1
    assert "Line 1 and 2 more: Care: " in done.err


# None of it


def test_an_error_on_line_7_of_9_leaves_the_book_as_it_was(worked):
    lines = ["shake CAOF-25-02 --when 2025-03-04"] * 9
    lines[6] = "shake CAOF-25-01 --when 2025-05-01"
    said = refused(worked, "\n".join(lines), code=1)

    assert "CAOF-25-01: it was already pressed" in said
    assert "page.txt, line 7: shake CAOF-25-01 --when 2025-05-01" in said
    assert "nothing of the page was recorded" in said
    assert "to do: if it happened before that, give the day with --when" in said


@pytest.mark.parametrize(
    ("line", "code", "what"),
    [
        ("shak CAOF-25-02", 2, "Did you mean `shake`?"),
        ("shelf", 2, "`shelf` records nothing on the shelf"),
        ("demo", 2, "`demo` records nothing"),
        ("daemon", 2, "`daemon` records nothing"),
        ("enter page.txt", 2, "`enter` records nothing"),
        ("stillroom", 2, "is not a verb"),
        ("--book other shake CAOF-25-02", 2, "give --book before `enter`"),
        ("shake CAOF-25-02 --json", 2, "--json means nothing inside a page"),
        ("shake CAOF-25-02 --dry-run", 2, "--dry-run means nothing inside a page"),
        ("shake --help", 2, "records nothing"),
        ("shake CAOF-25-02 --hard", 2, "`shake` takes no --hard"),
        ('note CAOF-25-02 "no end', 2, "no closing quotation"),
        ("note CAOF-25-02 “curly”", 0, ""),
        ("top-up CAOF-25-02 --pour “120 ml 45%”", 2, "have to be straight"),
        ("shake", 2, "Which jars?"),
        ("top-up CAOF-25-02", 2, "What was poured"),
        ('top-up CAOF-25-02 --pour "120 miles 45%"', 2, "120 miles"),
        ("shake CAOF-25-09", 1, "goes by CAOF-25-09"),
        ("shake CAOF-25-02 --when 2999-01-01", 2, ""),
        ("shake CAOF-25-02 --when 2190-01-01", 1, "is in the future"),
        ("press CAOF-25-02 37 l", 2, "`l` is more than `press` takes"),
        ("press CAOF-25-02 37l", 1, "more than ever went in"),
    ],
)
def test_a_line_that_is_no_event_refuses_the_page(worked, line, code, what):
    name = page(worked, f"shake CAOF-25-02 --when 2025-03-04\n\n{line}\n")
    if code == 0:
        assert worked.run("enter", name).code == 0
        return
    said = worked.refused("enter", name, code=code)

    assert what in said
    assert f"page.txt, line 3: {line}" in said
    assert "to do:" in said


def test_a_line_cannot_name_what_only_a_later_line_gives(command):
    said = refused(
        command, "shake UR1\ncharge Urtica --dried 9g --pour '50 ml 45%' --code UR1", code=1
    )

    assert "line 1" in said
    assert not command.book.exists()


def test_two_lines_that_each_fit_alone_but_not_together_are_refused(worked):
    """8 ml are left in bulk."""
    said = refused(worked, "dispense CAOF-25-01A 5ml --when 2025-06-01\n" * 2, code=1)

    assert "line 2" in said


@pytest.mark.parametrize(
    ("raw", "what"),
    [
        (b"shake CAOF-25-02\nnote CAOF-25-02 gr\xfcn\n", "line 2"),
        ("shake CAOF-25-02\n".encode("utf-16"), "UTF-8"),
    ],
)
def test_a_page_that_is_no_utf_8_is_refused(worked, raw, what):
    assert what in refused(worked, raw, code=2)


def test_a_page_that_is_not_there_is_refused(worked):
    assert "No such file" in worked.refused("enter", "missing.txt", code=2)
    assert "it is not an ordinary file" in worked.refused("enter", "/", code=2)


# A person at a terminal


def test_a_person_sees_the_page_and_is_asked(worked):
    name = page(worked, "shake CAOF-25-02 --when 2025-03-04\n")
    before = worked.written()
    no = worked.at_terminal("enter", name, typed="n\n")
    untouched = worked.written() == before
    yes = worked.at_terminal("enter", name, typed="y\n")

    assert no.code == 1
    assert untouched
    assert "Would record:\r\n  1  marigold flower CAOF-25-02 shaken" in no.out
    assert "Nothing was recorded." in no.out
    assert yes.code == 0
    assert "Recorded 1 event from 1 line" in yes.out
    assert kinds(worked)[-1] == "shaken"


def test_yes_is_not_asked_and_a_line_never_asks(worked):
    done = worked.at_terminal("enter --yes", page(worked, "shake CAOF-25-02\n"))
    asked = worked.at_terminal("enter --yes", page(worked, "shake\n"))

    assert done.code == 0
    assert kinds(worked).count("shaken") == 1
    assert asked.code == 2
    assert "there is no terminal to ask at" in " ".join(asked.out.split())


def test_a_book_that_changed_while_the_question_stood_is_asked_about_anew(worked):
    """The book is free meanwhile: whoever goes for a coffee stops nobody."""
    line = 'charge "Calendula officinalis" --dried 10g --pour "50 ml 45%" --when 2025-05-01'
    leader, follower = pty.openpty()
    with subprocess.Popen(
        [str(STILLROOM), "enter", page(worked, line)],
        stdin=follower, stdout=follower, stderr=follower, env=worked.env, cwd=worked.home,
    ) as process:  # fmt: skip
        os.close(follower)
        first = _until(leader, b"[y/N]: ")
        worked.ok(line.replace("10g", "11g"))
        os.write(leader, b"y\n")
        second = _until(leader, b"[y/N]: ")
        os.write(leader, b"y\n")
        _until(leader, b"Recorded 1 event")
        process.wait(timeout=60)
    os.close(leader)

    assert b"CAOF-25-03 charged" in first
    assert b"The book changed meanwhile." in second
    assert b"CAOF-25-04 charged" in second
    assert [one["data"]["code"] for one in worked.lines()[-2:]] == ["CAOF-25-03", "CAOF-25-04"]


def _until(leader: int, words: bytes) -> bytes:
    """What comes on the screen up to these words."""
    screen = b""
    while words not in screen:
        assert select.select([leader], [], [], PATIENCE_S)[0], screen
        screen += os.read(leader, 65536)
    return screen


# Beside others


def test_without_a_cache_a_page_is_entered_all_the_same(worked):
    worked.env["XDG_CACHE_HOME"] = os.devnull
    entered(worked, "shake CAOF-25-02 --when 2025-03-04\nshake CAOF-25-02 --when 2025-03-05\n")

    assert kinds(worked)[-2:] == ["shaken", "shaken"]


def test_reminders_are_quieted_in_a_page_as_well(worked):
    entered(worked, "away 2199-07-05 2199-07-19\nlater CAOF-25-02 2199-01-01\n")

    assert kinds(worked)[-2:] == ["away", "later"]


def test_two_pages_at_once_are_both_whole_and_one_after_the_other(worked):
    for name in "ab":
        text = "".join(f"note CAOF-25-02 {name}{number}\n" for number in range(20))
        (worked.home / name).write_text(text)
    runs = [worked.start(f"enter {name}") for name in "ab"]
    told = [(run.communicate(timeout=60), run.returncode) for run in runs]
    notes = [line["data"].get("note") for line in worked.lines()][-40:]

    assert [code for _, code in told] == [0, 0], told
    first, second = notes[0][0], notes[20][0]
    assert {first, second} == {"a", "b"}
    assert notes == [f"{name}{n}" for name in (first, second) for n in range(20)]
    assert worked.json("check")["whole"] is True


def test_a_page_of_five_hundred_lines_takes_seconds_not_minutes(command):
    """A bound ten times what it takes: what was quadratic in the page took minutes."""
    charge = 'charge Urtica --dried 50g --pour "250 ml 45%" --count 50 --code UR\n'
    shakes = (f"shake UR{1 + n % 50:02d} --when 2025-03-{4 + n % 20:02d}\n" for n in range(499))
    name = page(command, charge + "".join(shakes))
    with command.start("enter", name, "--when", "2025-03-03") as run:
        try:
            _, err = run.communicate(timeout=30)
        except subprocess.TimeoutExpired:
            run.kill()
            raise

    assert "Recorded 549 events from 500 lines: 50 charged, 499 shaken." in err
    assert len(command.lines()) == 549


# Entering a page is entering its lines

_CODES = st.sampled_from(["UR1", "UR2", "UR1A", "UR2A", "UR1A/1"])
_DAYS = st.integers(4, 28).map(lambda day: f" --when 2025-03-{day:02d}")
_LINES = st.one_of(
    st.builds("shake {}{}".format, _CODES, _DAYS),
    st.builds("shake --{}{}".format, st.sampled_from(["all", "due"]), _DAYS),
    st.builds("press {} {}ml{}".format, _CODES, st.integers(1, 300), _DAYS),
    st.builds("bottle {} 2x50ml{}".format, _CODES, _DAYS),
    st.builds("filter {} {}ml{}".format, _CODES, st.integers(1, 300), _DAYS),
    st.builds("count {} {}ml{}".format, _CODES, st.integers(0, 200), _DAYS),
    st.builds("dispense {} 20ml{}".format, _CODES, _DAYS),
    st.builds("discard {} --why mould{}".format, _CODES, _DAYS),
    st.builds("restore {}{}".format, _CODES, _DAYS),
    st.builds("look {} --verdict {}{}".format, _CODES, st.sampled_from(["fine", "hold"]), _DAYS),
    st.builds('top-up {} --pour "10 ml 45%"{}'.format, _CODES, _DAYS),
    st.builds('charge Urtica --dried 20g --pour "100 ml 45%"{}'.format, _DAYS),
)
_BEGIN = [
    f'charge Urtica --dried 50g --pour "250 ml 45%" --code UR{number} --when 2025-03-03'
    for number in (1, 2)
]
_BEGIN += ["press UR1 180ml --when 2025-03-10", "bottle UR1A 2x50ml --when 2025-03-10"]


def _state(command: Command) -> object:
    """Everything on the shelf and in the stock as JSON; no id is in it."""
    return [command.asked(f"{verb} --on 2025-04-01") for verb in ("shelf --done", "stock", "due")]


@given(st.lists(_LINES, min_size=8, max_size=16))
@searching(15)
def test_entering_a_page_is_entering_its_lines_one_by_one(tmp_path_factory, lines):
    """Whatever is refused alone is refused in the page; the rest leaves the same shelf."""
    alone = Command(tmp_path_factory.mktemp("alone"))
    paged = Command(tmp_path_factory.mktemp("paged"))
    taken, said = [], []
    for line in [*_BEGIN, *lines]:
        done = _here(alone, line, "--json")
        if done is None:
            text = "\n".join([*taken, line])
            (paged.home / "bad.txt").write_text(text)
            assert _here(paged, "enter bad.txt --dry-run") is None, text
            continue
        taken.append(line)
        said += json.loads(done)["said"]
    (paged.home / "page.txt").write_text("\n".join(taken))
    answer = json.loads(_here(paged, "enter page.txt --json") or "null")

    assert answer["said"] == said
    assert _state(paged) == _state(alone)
    assert kinds(paged) == kinds(alone)


def _here(command: Command, line: str, *more: str) -> str | None:
    """Standard output of a run in this process; None where it was refused."""
    words = [*shlex.split(line), *more]
    words = [str(command.home / one) if one.endswith(".txt") else one for one in words]
    done = CliRunner().invoke(app, words, env=command.env, input="")
    if isinstance(done.exception, TrackerError):
        return None
    assert done.exception is None, (line, done.exception)
    return done.stdout


# What is asked about one line is answered for that line

TWO_QUESTIONS = (
    "dispense CAOF-25-01A --for P01 --when 2025-12-01\n"
    "top-up CAOF-25-02 --pour '3 l 45%' --when 2025-03-05\n"
)


def test_a_yes_answers_one_question_and_not_that_of_a_later_line(worked):
    before = worked.lines()
    name = page(worked, TWO_QUESTIONS)
    told = worked.at_terminal("enter --yes", name, typed="y\nn\n")

    assert told.code == 1
    assert "line 1, CAOF-25-01A:" in told.out
    assert "line 2, CAOF-25-02:" in told.out
    assert told.out.count("Record it [y/N]") == 2
    assert worked.lines() == before

    assert worked.at_terminal("enter --yes", name, typed="y\ny\n").code == 0
    assert len(worked.lines()) == len(before) + 2


def test_a_script_is_told_every_question_of_a_page_before_it_is_sure(worked):
    refused = worked.refused("enter", page(worked, TWO_QUESTIONS))

    assert "line 1, CAOF-25-01A:" in refused
    assert "line 2, CAOF-25-02:" in refused
    assert "--sure if all of it is right" in refused


def test_a_line_that_is_sure_answers_for_itself_alone(worked):
    first, second = TWO_QUESTIONS.splitlines()
    refused = worked.refused("enter", page(worked, f"{first} --sure\n{second}\n"))

    assert "line 2, CAOF-25-02:" in refused
    assert "line 1" not in refused


def test_what_is_refused_after_a_question_is_told_after_that_question(worked):
    """All was given out by the line that is asked about, and that may be the mistake."""
    text = "dispense CAOF-25-01A --for P01\ndispense CAOF-25-01A 20ml --for P02\n"
    asked = worked.refused("enter", page(worked, text))
    assert "line 1, CAOF-25-01A:" in asked
    sure = worked.refused("enter --sure", page(worked, text))
    assert "line 2" in sure
