""" "Where a new … goes" in DEVELOPERS.md, followed to the letter in a copy of the tree.

A kind of fact, a verb for it, a reminder and a rule of the maker's are added. With every step
the copy is clean and the verb records through the gate; with any one step left out, mypy or a
test names what is missing.
"""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PYTHON = Path(sys.executable)
MYPY = "mypy"

pytestmark = pytest.mark.thorough


@dataclass(frozen=True)
class Step:
    """One line of the list: what goes where, and who says so where it is missing."""

    file: str
    edits: tuple[tuple[str, str], ...]
    told_by: str  # mypy, or a test
    says: str  # in the answer of who tells

    def __str__(self) -> str:
        return f"{self.file}, told by {self.told_by}"


def after(old: str, more: str) -> tuple[str, str]:
    """More text behind a line that is there once."""
    return old, old + more


JARS, KINDS = "tracker/core/facts/jars.py", "tracker/core/facts/kinds.py"
APPLY, GATE = "tracker/core/replay/apply.py", "tracker/core/rules/gate.py"
LINES, REMINDERS = "tracker/outputs/words/fact_lines.py", "tracker/core/rules/reminders.py"
FIELDS, COLOURS = "tracker/core/facts/fields.py", "tracker/outputs/words/due/steps.py"
REASONS, WHY = "tracker/core/rules/reasons.py", "tracker/outputs/words/due/due_lines.py"
GROUPS, MARKS = "tracker/outputs/view/day.py", "tracker/core/rules/morning.py"
HEAD_LINE = "tracker/outputs/words/due/due_message.py"
ANSWERS = "tracker/outputs/words/answers/reply.py"
VERBS, PRACTICE = "tracker/cli/help/verb_table.py", "tracker/core/practice/practice.py"
TAKES = "tracker/cli/completion/what_verbs_take.py"
EXAMPLES = "tracker/cli/help/examples.toml"
WORDS = "tracker/core/facts/field_words.py"
TEST_WORDS = "tests/core/facts/test_field_words.py"
TEST_KINDS, HOUSE = "tests/core/facts/test_kinds.py", "tests/core/house.py"
TEST_VERBS, TEST_CONFIG = "tests/cli/test_verbs.py", "tests/config/test_config.py"
TEST_REMINDERS = "tests/core/rules/test_reminders.py"
SCHEMA, MAN = "tracker/journal/events.schema.json", "docs/stillroom.1"
MADE_BY = {SCHEMA: "scripts/make_schema.py", MAN: "scripts/make_man.py"}
IMPORTED = ("    ToppedUp,\n)", "    ToppedUp,\n    Weighed,\n)")

WEIGHED = '''

class Weighed(Fact, frozen=True, kw_only=True):
    """A jar was put on the scales, herb, liquid and all."""

    kind: ClassVar[str] = "weighed"
    about: About
    gross_g: Grams
'''
WEIGH = '''

@app.command()
@recording
def weigh(
    desk: Desk,
    code: JarCode = None,
    weight: Annotated[str | None, typer.Argument(help="What it weighs: 812g.")] = None,
) -> Recorded:
    """Record what a jar weighs, herb, liquid and all."""
    named = desk.code(code, "Which jar")
    gross_g = desk.need(weight, "How much", read=str.strip)
    thing = desk.find(named)
    return desk.record(thing.code, Weighed(about=about_of(thing), gross_g=grams(gross_g).value))
'''
EVAPORATED = '''

class MayBeDry(msgspec.Struct, frozen=True, tag="may_be_dry"):
    """It has stood so long that spirit may be missing."""

'''
KIND = (
    Step(JARS, (after("", WEIGHED), ("    Form,\n", "    Form,\n    Grams,\n")), MYPY, "Weighed"),
    Step(KINDS, (IMPORTED,), MYPY, 'Name "Weighed" is not defined'),
    Step(KINDS, (after("    Charged | Shaken |", " Weighed |"),), TEST_KINDS, "Weighed"),
    Step(
        KINDS,
        (
            (
                "  | _row(Unknown,",
                "  | _row(Weighed, WORKS_ON_ONE, None, None, None, None, False, _dry, SAME)\n"
                "  | _row(Unknown,",
            ),
        ),
        MYPY,
        r"kinds\.py:\d+: error",
    ),
    Step(
        APPLY,
        (
            IMPORTED,
            ("Noted() | Labelled() | Away():", "Noted() | Labelled() | Away() | Weighed():"),
        ),
        MYPY,
        r"apply\.py:\d+: error",
    ),
    Step(
        GATE,
        (
            IMPORTED,
            (
                "        case Held():\n            return on_hold",
                "        case Weighed():\n"
                "            from tracker.core.rules.checks.jar_state import is_jar\n\n"
                '            return is_jar(before.named(fact.about), "weighed")\n'
                "        case Held():\n            return on_hold",
            ),
        ),
        MYPY,
        r"gate\.py:\d+: error",
    ),
    Step(
        LINES,
        (
            ("Shaken, ToppedUp\n", "Shaken, ToppedUp, Weighed\n"),
            ("_OfJar = Charged", "_OfJar = Weighed | Charged"),
            (
                "        case Moved():\n",
                "        case Weighed():\n"
                '            return f"weighed {fact.gross_g:g} g in all"\n'
                "        case Moved():\n",
            ),
        ),
        MYPY,
        r"fact_lines\.py:\d+: error",
    ),
    Step(
        HOUSE,
        (
            IMPORTED,
            after(
                '        Moved(about=jar, place="cellar"),\n',
                "        Weighed(about=jar, gross_g=812.0),\n",
            ),
        ),
        TEST_KINDS,
        "Weighed",
    ),
    Step(
        ANSWERS,
        (
            IMPORTED,
            ("_OfAny = Shaken", "_OfAny = Weighed | Shaken"),
            ("case Moved() | Restored()", "case Moved() | Weighed() | Restored()"),
        ),
        MYPY,
        r"reply\.py:\d+: error",
    ),
    Step(
        WORDS,
        (
            IMPORTED,
            (
                "        Noted: (",
                '        Weighed: (_row("weight", "gross_g", reads="weight"),),\n        Noted: (',
            ),
        ),
        TEST_WORDS,
        "Weighed",
    ),
    Step(SCHEMA, (), "tests/journal/test_schema.py", "weigh"),
)
VERB = (
    Step(
        "tracker/cli/verbs/making/press_day.py",
        (
            after("fields import About, Marc\n", "from tracker.core.facts.jars import Weighed\n"),
            ("quantities import Amount\n", "quantities import Amount, grams\n"),
            after("", WEIGH),
        ),
        TEST_VERBS,
        "weigh",
    ),
    Step(
        VERBS,
        (
            after(
                '    "making": (\n',
                '        ("weigh", "making.press_day", '
                '"Record what a jar weighs, herb, liquid and all."),\n',
            ),
        ),
        TEST_VERBS,
        "weigh",
    ),
    Step(
        TAKES,
        (after('    "press": ("jar",),\n', '    "weigh": ("jar",),\n'),),
        "tests/cli/completion/test_offers.py::test_every_verb_that_takes_a_code_is_offered_some",
        "weigh",
    ),
    Step(
        EXAMPLES,
        (after("", '\n[weigh]\nexamples = [["weigh CAOF-26-01 812g", "herb and all"]]\n'),),
        "tests/cli/help/test_examples.py::test_the_help_of_every_verb_ends_with_examples",
        "weigh",
    ),
    Step(MAN, (), "tests/test_man.py::test_the_page_is_that_of_the_verbs", "make_man"),
    Step(
        "docs/verbs.md",
        (("`add-herb`, `move`", "`add-herb`, `weigh`, `move`"),),
        "tests/test_docs.py::test_every_verb_is_told",
        "weigh",
    ),
)
LOOK = '"look"'
LISTED = (f'{LOOK}, "ready",', f'{LOOK}, "weigh", "ready",')
REMINDER = (
    Step(REMINDERS, (LISTED,), MYPY, "weigh"),
    Step(
        REMINDERS,
        (('"ready" | "look" | "expiring"', '"ready" | "look" | "weigh" | "expiring"'),),
        MYPY,
        r"reminders\.py:\d+: error",
    ),
    Step(
        REMINDERS,
        (
            after(
                "    yield from _look_due(jar, today)\n",
                "    if (heavy := jar.charged.earliest + timedelta(days=400)) <= today:\n"
                '        yield Due(jar.code, "weigh", heavy, (MayBeDry(),))\n',
            ),
        ),
        TEST_REMINDERS,
        "weigh",
    ),
    Step(
        COLOURS,
        (('"look" | "expiring"', '"look" | "weigh" | "expiring"'),),
        MYPY,
        r"steps\.py:\d+: error",
    ),
    Step(
        GROUPS,
        (
            (
                '        case "undated":\n',
                '        case "weigh":\n            return "look"\n        case "undated":\n',
            ),
        ),
        MYPY,
        r"day\.py:\d+: error",
    ),
    Step(
        HEAD_LINE,
        (('"look" | "undated"', '"look" | "weigh" | "undated"'),),
        MYPY,
        r"due_message\.py:\d+: error",
    ),
    Step(REMINDERS, (("    LookAtIt,\n", "    LookAtIt,\n    MayBeDry,\n"),), MYPY, '"MayBeDry"'),
    Step(
        REASONS,
        (
            ("\n\nReason = (", EVAPORATED + "\nReason = ("),
            ("| LookAtIt |", "| LookAtIt | MayBeDry |"),
        ),
        MYPY,
        '"MayBeDry"',
    ),
    Step(
        WHY,
        (
            ("    LookAtIt,\n", "    LookAtIt,\n    MayBeDry,\n"),
            (
                "        case WhileAway():\n",
                "        case MayBeDry():\n"
                '            return "weigh it: spirit may be missing"\n'
                "        case WhileAway():\n",
            ),
        ),
        MYPY,
        r"due_lines\.py:\d+: error",
    ),
    Step(
        MARKS,
        (
            ("    LookAtIt,\n", "    LookAtIt,\n    MayBeDry,\n"),
            ("LookAtIt() |", "LookAtIt() | MayBeDry() |"),
        ),
        MYPY,
        r"morning\.py:\d+: error",
    ),
    Step(
        FIELDS, (('"look", "expiring",', '"look", "weigh", "expiring",'),), TEST_REMINDERS, "weigh"
    ),
    Step(
        TEST_REMINDERS,
        (
            after(
                '    "expired": (pressed_jar, "2026-06-04"),\n',
                '    "weigh": (OneJar.charged, "2026-05-01"),\n',
            ),
        ),
        TEST_REMINDERS,
        "weigh",
    ),
)
RULE = (
    Step(
        PRACTICE,
        (
            after(
                "    count_every: Period | None = None\n", "    weigh_every: Period | None = None\n"
            ),
        ),
        TEST_CONFIG,
        "weigh_every",
    ),
    Step(
        "tracker/config/practice_file.py",
        (
            after(
                '        "count every": ("count_every", values_of.period_or_none),\n',
                '        "weigh every": ("weigh_every", values_of.period_or_none),\n',
            ),
        ),
        TEST_CONFIG,
        "weigh_every",
    ),
    Step(
        "tracker/cli/verbs/keeping/practice_rules.py",
        (
            after(
                '            "count every": str(practice.count_every or "none"),\n',
                '            "weigh every": str(practice.weigh_every or "none"),\n',
            ),
        ),
        TEST_CONFIG,
        "weigh every",
    ),
    Step(
        "docs/practice.md",
        (
            after(
                '| | `"count every"` | how often stock is to be counted | never |\n',
                '| | `"weigh every"` | how often jars are to be weighed | never |\n',
            ),
        ),
        "tests/test_docs.py::test_every_rule_of_the_practice_is_told",
        "weigh every",
    ),
)
STEPS = (*KIND, *VERB, *REMINDER, *RULE)


class Copy:
    """The tree with steps taken."""

    def __init__(self, home: Path) -> None:
        self.home = home
        own = {"PYTHONPATH": str(home), "STILLROOM_BOOK": str(home / "book")}
        self.env = os.environ | own
        for name in ("tracker", "tests", "scripts", "docs"):
            shutil.copytree(ROOT / name, home / name, ignore=shutil.ignore_patterns("__pycache__"))
        for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
            shutil.copy(ROOT / name, home)
        if (cache := ROOT / ".mypy_cache").is_dir():  # makes the first run shorter
            shutil.copytree(cache, home / ".mypy_cache")
        self.made: dict[str, bytes] = {}
        self.take()
        for script in MADE_BY.values():
            self.python(script, check=True)
        self.made = {file: (home / file).read_bytes() for file in MADE_BY}

    def take(self, *, but: Step | None = None) -> None:
        """Take every step but one."""
        taken = [step for step in STEPS if step is not but]
        for file in {step.file for step in STEPS} - {*MADE_BY}:
            text = (ROOT / file).read_text(encoding="utf-8")
            for step in taken:
                for old, new in step.edits if step.file == file else ():
                    assert not old or text.count(old) == 1, f"{file} has no single {old!r}"
                    text = text.replace(old, new) if old else text + new
            if (self.home / file).read_text(encoding="utf-8") != text:
                (self.home / file).write_text(text, encoding="utf-8")
        for file, whole in self.made.items():
            is_left_out = but is not None and but.file == file
            (self.home / file).write_bytes((ROOT / file).read_bytes() if is_left_out else whole)

    def python(self, *words: str, check: bool = False) -> "subprocess.CompletedProcess[str]":
        return subprocess.run(
            [PYTHON, *words],
            cwd=self.home,
            env=os.environ
            | {"PYTHONPATH": str(self.home), "STILLROOM_BOOK": str(self.home / "book")},
            capture_output=True,
            text=True,
            check=check,
        )

    def asked(self, who: str) -> "subprocess.CompletedProcess[str]":
        """What mypy or a test says of the copy."""
        if who == MYPY:
            return self.python("-m", "mypy")
        return self.python("-m", "pytest", "-n", "0", "-p", "no:cacheprovider", who)

    def stillroom(self, *words: str) -> "subprocess.CompletedProcess[str]":
        return self.python("-c", "from tracker.cli.main import main; main()", *words)


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Copy:
    return Copy(tmp_path_factory.mktemp("copy"))


def test_with_every_step_the_copy_is_clean(copy):
    copy.take()

    for who in dict.fromkeys(step.told_by for step in STEPS):
        done = copy.asked(who)
        assert done.returncode == 0, f"{who}\n{done.stdout}{done.stderr}"


def test_with_every_step_the_new_verb_records_through_the_gate(copy):
    copy.take()
    charge = ["charge", "Calendula officinalis", "--dried", "100g", "--pour", "500 ml 45%"]
    charged = copy.stillroom(*charge, "--when", "2025-03-03")
    early = copy.stillroom("weigh", "CAOF-25-01", "812g", "--when", "2025-03-01")
    weighed = copy.stillroom("weigh", "CAOF-25-01", "812g", "--when", "2025-03-10")
    history = copy.stillroom("history", "CAOF-25-01")

    assert charged.returncode == 0, charged.stderr
    assert (early.returncode, early.stdout) == (1, "")
    assert weighed.stdout == "marigold CAOF-25-01 weighed 812 g in all.\n", weighed.stderr
    assert "weighed 812 g in all" in history.stdout


@pytest.mark.parametrize("step", STEPS, ids=str)
def test_a_step_that_is_left_out_is_named(copy, step):
    copy.take(but=step)
    done = copy.asked(step.told_by)

    assert done.returncode != 0, f"nobody misses {step}"
    assert re.search(step.says, done.stdout), done.stdout


def test_the_list_for_contributors_names_every_file_of_these_steps():
    told = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    missing = [
        step.file for step in STEPS if not any(f"`{name}`" in told for name in _names(step.file))
    ]

    assert missing == []


def _names(file: str) -> Iterator[str]:
    """A file as the list may call it: from `tracker/` on, or in full."""
    yield file
    yield file.removeprefix("tracker/")
