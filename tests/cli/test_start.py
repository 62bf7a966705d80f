"""What a verb does not need, it does not load: that is most of the time a short answer takes."""

import subprocess
import sys

import pytest


def loaded(command, line: str) -> set[str]:
    """What of the program and its dependencies a run of the command has loaded at its end."""
    code = (
        "import sys\n"
        "from tracker.cli.start import main\n"
        "try:\n    main()\n"
        "except SystemExit as end:\n    assert not end.code, end.code\n"
        "print(*sys.modules, file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *line.split()],
        env=command.env,
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stderr.split())


@pytest.fixture
def a_shelf(command):
    command.ok('charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --when 2025-03-03')
    command.ok("shelf")  # the read model is built by the first verb that asks
    return command


# What several of the standard library's own modules cost is more than any of ours does.
SLOW = {"calendar", "difflib", "fractions", "random", "subprocess", "tempfile", "unicodedata"}


@pytest.mark.parametrize("line", ["shelf", "due", "stock", "show CAOF-25-01"])
def test_a_plain_question_loads_nothing_that_its_answer_does_not_need(a_shelf, line):
    needless = {"typer", "pydantic", "annotated_types", "platformdirs", "zoneinfo", "sqlite_utils"}
    needless |= {"tracker.cli.main", "tracker.cli.desk", "tracker.core.facts", "tracker.pours"}
    needless |= {"tracker.core.replay", "tracker.journal.read", "tracker.core.rules.verdict"}
    needless |= {"typing_extensions", "inspect", "ast"}

    assert not needless & loaded(a_shelf, line)
    assert not (SLOW - {"fractions"} if "show" in line else SLOW) & loaded(a_shelf, line)


def test_what_is_due_is_told_without_what_is_known_of_plants_and_rows(a_shelf):
    needless = {"tracker.outputs.view.thing_view", "tracker.outputs.terminal.shelf_table"}
    needless |= {"tracker.core.menstruum.mixture", "tracker.core.herbs.plant_cautions"}

    assert not needless & loaded(a_shelf, "due")


@pytest.mark.parametrize("line", ["shelf --done", "due --on 2025-03-04", "stock --json"])
def test_asking_about_the_shelf_loads_no_facts_and_no_grammar(a_shelf, line):
    needless = {"pydantic", "annotated_types", "tracker.core.facts.jars", "tracker.pours"}

    needless |= {"tracker.bench.writer", "tracker.bench.book_lock", "tracker.bench.interrupts"}
    needless |= {"tracker.core.rules.dated_ahead", "tracker.journal.whole_file"}

    assert needless & loaded(a_shelf, line) == set()


RECORDING = (
    "shake CAOF --dry-run",
    "press CAOF 400ml --dry-run --sure",
    "look CAOF --dry-run",
    "note CAOF cloudy --dry-run",
)


@pytest.mark.parametrize("line", RECORDING)
def test_recording_loads_what_its_own_kind_needs(a_shelf, line):
    """No models of another library, no units for what is metric, no table that stands already."""
    needless = {"pydantic", "annotated_types", "pint", "sqlite_utils", "uuid_utils", "asyncio"}
    needless |= {"tracker.pours.strengths", "tracker.core.rules.amendment_gate"}
    needless |= {"tracker.core.rules.by_kind.opening", "tracker.core.reckoning.flows.recall"}
    needless |= {"tracker.outputs.answer_fields", "tracker.outputs.words.flags"}
    needless |= {"tracker.cli.help.mistyped", "tracker.cli.help.help_pages", "rapidfuzz"}
    needless |= {"typing_extensions"}

    assert needless & loaded(a_shelf, line) == set()


def test_a_shake_loads_neither_pours_nor_amounts_nor_the_words_of_other_kinds(a_shelf):
    needless = {
        "tracker.cli.given.pours",
        "tracker.quantities",
        "fractions",
        "tracker.cli.verbs.stock",
    }
    needless |= {"tracker.core.rules.checks.harm", "tracker.core.reckoning.sizing"}
    needless |= {"tracker.outputs.words.fact_lines", "tracker.bench.entries_read"}

    assert needless & loaded(a_shelf, "shake CAOF --dry-run") == set()
