"""What a maker sees who asks for help, or types nothing at all."""

import subprocess
import sys

from tests.command import STILLROOM
from tracker.cli.help.help_pages import short_page, whole_page
from tracker.cli.help.verb_table import LINES, SECTIONS, VERBS

ORDER = (
    *("every day", "making", "press day", "giving out", "lots", "mistakes", "looking"),
    *("working out", "paper and files", "keeping safe"),
)


def test_verbs_stand_in_the_order_of_the_work():
    assert tuple(SECTIONS) == ORDER


def test_each_verb_is_one_whole_line_on_a_screen_of_80(command):
    page = command.ok("--help")

    assert max(map(len, page.splitlines())) <= 80
    for verb in VERBS:
        (line,) = [one for one in page.splitlines() if one.split()[:1] == [verb]]
        assert line.endswith(f"  {LINES[verb]}")


def test_the_last_line_says_where_more_help_is(command):
    said = command.ok("--help").splitlines()[-1]

    assert said == "Help for one verb, with examples: stillroom VERB --help"


def test_without_a_word_it_says_what_it_is_and_five_verbs(command):
    said = command.ok("")

    assert said == short_page()
    assert len(said.splitlines()) < 12
    assert sum(line.startswith("  ") for line in said.splitlines()) == 5


def test_the_program_prints_the_same_pages(command):
    for words, page in ((["--help"], whole_page()), (["-h"], whole_page()), ([], short_page())):
        done = subprocess.run(
            [STILLROOM, *words], env=command.env, capture_output=True, text=True, check=True
        )

        assert (done.stdout, done.stderr) == (page, "")


def test_help_loads_no_verb():
    code = (
        "import sys\nsys.argv = ['stillroom', '--help']\n"
        "from tracker.cli.start import main\nmain()\n"
        "print(*sys.modules, file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stderr.split())

    assert loaded.isdisjoint({"typer", "msgspec", "typing", "tracker.cli.verbs"})
