"""Lint, format, types and layers are part of the tests; so are the docs that name the code."""

import ast
import re
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
BIN = Path(sys.executable).parent
# What stands beside the mirror: whole stories, where features cross, faults, a year of mornings,
# books on disk, and the tables of numbers some tests read.
BESIDE = {"scenarios", "meeting", "faults", "golden", "hostile", "damaged_books", "data"}


@pytest.mark.parametrize(
    "command",
    [
        ["ruff", "check", "--no-cache", "."],
        ["ruff", "format", "--check", "--no-cache", "."],
        ["mypy"],
        ["lint-imports", "--no-cache"],
    ],
    ids=lambda command: " ".join(command[:2]),
)
def test_the_tree_is_clean(command):
    line = [BIN / command[0], *command[1:]]
    done = subprocess.run(line, cwd=ROOT, capture_output=True, text=True)

    assert done.returncode == 0, done.stdout + done.stderr


def test_no_module_is_too_long_to_read_in_one_sitting():
    long = {
        str(path.relative_to(ROOT)): lines
        for path in (ROOT / "tracker").rglob("*.py")
        if not path.name.endswith("_table.py")
        and (lines := len(path.read_text().splitlines())) > 400
    }

    assert not long


# What is one table, of which no row is read without its neighbours.
TABLES = {
    "_joint": "every field of the jar that others are put into, in the order of `Jar`",
    "charged": "every field of a jar as its charge leaves it, in the order of `Jar`",
    "_of_kind": "an arm for each kind: what the gate asks of it",
    "_in_words": "an arm for each way a field is read: how it is shown",
    "_lines": "an arm for each kind: what is answered",
    "_said": "an arm for each kind: how it reads in one line",
}


def body_lines(function: ast.FunctionDef) -> int:
    """How long it is below its signature and docstring: the options of a verb are its signature."""
    begun = function.body[ast.get_docstring(function) is not None :]
    return 1 + function.end_lineno - begun[0].lineno if begun else 0


def test_no_function_is_too_long_to_be_seen_at_once():
    every = (
        (one, path)
        for path in (ROOT / "tracker").rglob("*.py")
        for one in ast.walk(ast.parse(path.read_text()))
        if isinstance(one, ast.FunctionDef)
    )
    long = {one.name: str(path.relative_to(ROOT)) for one, path in every if body_lines(one) > 45}

    assert not long.keys() - TABLES.keys(), long


def packages() -> list[Path]:
    return [path.parent for path in sorted((ROOT / "tracker").rglob("__init__.py"))]


def docstring(package: Path) -> str:
    return ast.get_docstring(ast.parse((package / "__init__.py").read_text())) or "\n"


def test_every_folder_says_in_one_line_what_it_is_for():
    said = {str(path.relative_to(ROOT)): docstring(path).splitlines()[0] for path in packages()}

    assert [name for name, line in said.items() if not line.endswith(".")] == []


def test_the_map_for_contributors_says_of_every_folder_what_the_folder_says():
    map_ = (ROOT / "DEVELOPERS.md").read_text()
    told = {
        f"- `{path.relative_to(ROOT / 'tracker')}/`: {docstring(path).splitlines()[0]}"
        for path in packages()
        if path != ROOT / "tracker"
    }

    assert told == {line for line in map_.splitlines() if re.match(r"- `[a-z_/]+/`: ", line)}


def test_every_file_named_to_contributors_is_there():
    named = re.findall(r"`([a-z_/]+\.(?:py|json|md|toml))`", (ROOT / "DEVELOPERS.md").read_text())
    places = (ROOT, ROOT / "tracker")

    assert [name for name in named if not any((one / name).exists() for one in places)] == []


def test_no_two_files_of_the_program_have_one_name():
    names = Counter(
        path.name for path in (ROOT / "tracker").rglob("*.py") if path.name != "__init__.py"
    )

    assert [name for name, times in names.items() if times > 1] == []


def test_no_folder_holds_more_modules_than_can_be_looked_over():
    crowded = {
        str(path.relative_to(ROOT)): number
        for path in packages()
        if (number := len(list(path.glob("*.py"))) - 1) > 25
    }

    assert crowded == {}


def test_tests_stand_where_what_they_test_stands():
    """Every folder of tests is a folder of the program as well, but for those named above."""
    folders = {path.parent for path in (ROOT / "tests").rglob("*.py")}
    theirs = {path.relative_to(ROOT / "tests") for path in folders}
    strange = [
        str(path)
        for path in sorted(theirs)
        if not BESIDE & set(path.parts) and not (ROOT / "tracker" / path).is_dir()
    ]

    assert strange == []


def test_no_property_is_searched_by_chance_or_by_the_clock():
    """A search without a profile is another each time, and has 200 ms for an example."""
    found = []
    for path in sorted((ROOT / "tests").rglob("*.py")):
        for one in ast.walk(ast.parse(path.read_text())):
            said = [ast.unparse(by) for by in getattr(one, "decorator_list", [])]
            by_ours = any(by.startswith(("SHORT", "USUAL", "LONG", "searching(")) for by in said)
            if any(by.startswith("given(") for by in said) and not by_ours:
                found.append(f"{path.relative_to(ROOT)}: {one.name}")
            if isinstance(one, ast.Call) and ast.unparse(one.func) == "settings":
                ours = path.name == "hypothesis_profile.py" or "searching(" in ast.unparse(one)
                found += [] if ours else [f"{path.relative_to(ROOT)}: {ast.unparse(one)}"]

    assert found == []


def test_every_dependency_is_explained_to_contributors():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    explained = (ROOT / "DEVELOPERS.md").read_text()
    names = [text.split(";")[0].split(">")[0].strip() for text in project["dependencies"]]

    assert [name for name in names if f"| {name}" not in explained] == []
