"""What is offered for the word that is being typed, of a made-up shelf."""

import shutil
import subprocess
import sys
from importlib import import_module
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import typer

from tests.command import STILLROOM, Command
from tests.journal.on_disk import write
from tests.outputs.books import hostile
from tracker import clock
from tracker.cli.completion.what_verbs_take import ARGUMENTS, OPTIONS_OF
from tracker.cli.help.verb_table import VERBS

WEIGHS = {"size"}  # its herb is an amount

SHELF = (
    'charge calendula --part flower --dried 100g --pour "500 ml 60%" --when 2026-03-01',
    'charge "lemon balm" --part leaf --dried 90g --pour "400 ml 60%" --when 2026-03-02',
    "press MEOF-26-01 350ml --marc kept --when 2026-04-02",
    "bottle MEOF-26-01A 2x50ml --when 2026-04-03",
    "discard MEOF-26-01A/2 --why broken --when 2026-04-03",
    'buy "2 l 60%" --when 2026-01-02',
    "gather nettle --part leaf --fresh 300g --when 2026-05-02",
    "move CAOF-26-01 --to 'loft, north wall' --when 2026-03-03",
    "hold CAOF-26-01 --why cloudy --when 2026-03-09",
)


@pytest.fixture(scope="module")
def _told(tmp_path_factory) -> Path:
    command = Command(tmp_path_factory.mktemp("told")).practice('zone = "Europe/Berlin"\n')
    for line in SHELF:
        command.ok(line)
    return command.book


@pytest.fixture
def shelf(command, _told) -> Command:
    shutil.copytree(_told, command.book)
    return command


def asked(command, *words: str, shell: str = "bash") -> subprocess.CompletedProcess[str]:
    line = [STILLROOM, "completion", "words", shell, *words]
    return subprocess.run(line, env=command.env, capture_output=True, text=True, check=True)


def offered(command, *words: str, shell: str = "bash") -> dict[str, str]:
    """Each word that is offered, with what is said of it."""
    lines = asked(command, *words, shell=shell).stdout.splitlines()
    return dict(line.split("\t") for line in lines)


OFFERED = [
    (("pre",), {"press"}),
    (("--v",), {"--version"}),
    (("press", ""), {"CAOF-26-01"}),
    (("press", "ca"), {"CAOF-26-01"}),
    (("press", "marig"), {"CAOF-26-01"}),
    (("press", '"marig'), {"CAOF-26-01"}),
    (("press", "CAOF-26-01", ""), set()),
    (("shake", "CAOF-26-01", ""), {"CAOF-26-01"}),
    (("press", "--again", "CA"), {"CAOF-26-01"}),
    (("press", "--keeps", ""), set()),
    (("press", "--like", ""), {"MEOF-26-01"}),
    (("press", "--like", "balm"), {"MEOF-26-01"}),
    (("charge", "--like", ""), {"CAOF-26-01", "MEOF-26-01"}),
    (("charge", "--like", "marig"), {"CAOF-26-01"}),
    (("charge", "--lot", "nett"), {"LOT-26-02"}),
    (("mix", "--from", "balm"), {"MEOF-26-01A", "MEOF-26-01A/1"}),
    (("press", "--marc", ""), {"kept", "composted"}),
    (("press", "X", "--mar"), {"--marc"}),
    (("press", "X", "--marc", "kept", "--mar"), set()),
    (("press", "--", "CA"), {"CAOF-26-01"}),
    (("bottle", ""), {"MEOF-26-01A"}),
    (("bottle", "balm"), {"MEOF-26-01A"}),
    (("refill", ""), {"MEOF-26-01A/1"}),
    (("restore", "MEOF-26-01A"), {"MEOF-26-01A", "MEOF-26-01A/2"}),
    (("steep-again", ""), {"MEOF-26-01"}),
    (("dispense", "ME"), {"MEOF-26-01A", "MEOF-26-01A/1"}),
    (("release", ""), {"CAOF-26-01"}),
    (("dry", ""), {"LOT-26-01", "LOT-26-02"}),
    (("count", "LOT-26-02"), {"LOT-26-02"}),
    (("charge", "LOT"), {"LOT-26-02"}),
    (("charge", "nett"), {"stinging nettle"}),
    (("charge", "x", "--lot", ""), {"LOT-26-01", "LOT-26-02"}),
    (("batches", "le"), {"lemon balm"}),
    (("batches", "Mel"), {"lemon balm"}),
    (("move", "X", "--to", "lo"), {"loft, north wall"}),
    (("show", "MEOF"), {"MEOF-26-01", "MEOF-26-01A", "MEOF-26-01A/1", "MEOF-26-01A/2"}),
    (("record", ""), {"CAOF-26-01", "MEOF-26-01"}),
    (("enter", ""), {""}),
    (("label", "X", "--to", ""), {""}),
    (("completion", "f"), {"fish"}),
    (("nonsense", ""), set()),
]


@pytest.mark.parametrize(("words", "found"), OFFERED, ids=[" ".join(one) for one, _ in OFFERED])
def test_a_verb_is_offered_only_what_it_takes(shelf, words, found):
    assert {*offered(shelf, *words)} == found


def test_a_code_says_what_is_in_it(shelf):
    year = "" if clock.now(ZoneInfo(shelf.zone)).year == 2026 else " 2026"

    said = f"marigold flower, dried, 1 Mar{year}, on hold"
    assert offered(shelf, "press", "") == {"CAOF-26-01": said}


def test_a_shell_that_offers_only_what_begins_as_typed_is_given_the_name(shelf):
    assert {*offered(shelf, "press", "marig", shell="fish")} == {"marigold"}


def test_the_latin_name_is_offered_to_who_goes_by_it(shelf):
    shelf.practice('zone = "Europe/Berlin"\nnames = "latin"\n')

    assert {*offered(shelf, "batches", "lem")} == set()
    assert {*offered(shelf, "batches", "mel")} == {"Melissa officinalis"}


def test_a_book_that_is_named_is_the_one_that_is_asked(shelf, tmp_path):
    other = {"STILLROOM_BOOK": str(tmp_path / "other")}
    line = [STILLROOM, "completion", "words", "bash", "--book", str(shelf.book), "press", ""]
    done = subprocess.run(line, env=shelf.env | other, capture_output=True, text=True, check=True)

    assert done.stdout.startswith("CAOF-26-01\t")


@pytest.mark.parametrize("words", [(), ("",), ("--book", "/nowhere", "press", "")])
def test_what_cannot_be_read_is_silent(command, words):
    done = asked(command, *words)

    assert done.stderr == ""
    assert not command.book.exists()


def test_a_broken_book_is_silent_and_nothing_is_recorded(shelf):
    (shelf.book / "practice.toml").write_text("[nonsense\n")
    before = shelf.written()

    assert asked(shelf, "press", "").stderr == ""
    assert shelf.written() == before


@pytest.mark.parametrize("verb", ["shake", "show", "batches", "charge"])
def test_a_hostile_name_is_one_line_and_does_nothing_to_the_screen(command, verb):
    write(command.book, hostile())

    lines = asked(command, verb, "").stdout.splitlines()
    assert lines
    for line in lines:
        assert line.count("\t") == 1
        assert "\x1b" not in line


@pytest.mark.parametrize("words", [["pr"], ["press", "CA"], ["bottle", "balm"]])
def test_codes_are_offered_without_the_slow_start(shelf, words):
    asked(shelf, "press", "")  # the read model is built by whatever asks first
    code = (
        "import sys\nsys.argv = ['stillroom', 'completion', 'words', 'bash', *sys.argv[1:]]\n"
        "from tracker.cli.start import main\nmain()\nprint(*sys.modules, file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *words],
        env=shelf.env, capture_output=True, text=True, check=True,
    )  # fmt: skip
    loaded = set(done.stderr.split())

    slow = {"typer", "tracker.cli.main", "tracker.cli.desk", "tracker.core.facts"}
    assert loaded & slow == set()
    assert done.stdout


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_that_takes_a_code_is_offered_some(verb):
    found = import_module(f"tracker.cli.verbs.{VERBS[verb]}")
    command = typer.main.get_group(found.app).commands[verb]
    arguments = [one.name for one in command.params if one.param_type_name == "argument"]
    may_be_offered = {"code", "codes", "lot", "herb"} & {*arguments[:1]}

    assert verb in ARGUMENTS or not may_be_offered or verb in WEIGHS


def test_what_is_offered_behind_an_option_is_of_an_option_that_there_is():
    for verb, option in OPTIONS_OF:
        found = import_module(f"tracker.cli.verbs.{VERBS[verb]}")
        command = typer.main.get_group(found.app).commands[verb]
        assert option in {name for one in command.params for name in one.opts}


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell"])
def test_the_script_is_the_same_whichever_way_it_is_asked_for(command, shell):
    done = subprocess.run(
        [STILLROOM, "completion", shell],
        env=command.env,
        capture_output=True,
        text=True,
        check=True,
    )

    assert done.stdout == command.ok(f"completion {shell}")
    assert "completion words" in done.stdout


def test_no_other_shell_is_known(command):
    assert "name one of bash, zsh, fish, powershell" in command.refused("completion tcsh", code=2)
