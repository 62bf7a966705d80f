"""The screens in README and docs are what the program prints today.

python tests/test_readme.py     writes what it prints now into them

Every page has a book of its own, on one day. What its book needs beforehand stands in a comment:
`<!--`, lines that begin with `$`, `-->`.
"""

import re
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from unittest.mock import patch

import pytest

from tracker import clock
from tracker.outputs.terminal.wrapping import hung

ROOT = Path(__file__).parents[1]
PAGES = [
    path
    for path in (ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")))
    if path.name != "a-day.md"  # played in a real terminal by scripts/record_day.py
    and "```console\n" in path.read_text()
]
COLUMNS = 80
TODAY = datetime(2026, 6, 13, 6, tzinfo=UTC)
BLOCK = re.compile(
    r"^```text (?P<file>\S+)\n(?P<text>.*?)^```"
    r"|^<!--\n(?P<before>\$ .*?)^-->"
    r"|^```console\n(?P<said>.*?)^```",
    re.DOTALL | re.MULTILINE,
)


def as_printed(page, command):
    """The page with every `$` line followed by what a terminal of 80 columns shows now."""

    def block(found):
        if name := found["file"]:
            (command.home / name).write_text(found["text"])
        elif before := found["before"]:
            for _, line in commands(before):
                command.ok(line)
        else:
            said = list[str]()
            for typed, line in commands(found["said"]):
                printed = command.seen(line).splitlines()
                said += [typed, *(part for one in printed for part in hung(one, COLUMNS))]
            return "```console\n" + "\n".join(said) + "\n```"
        return found[0]

    with patch.object(clock, "now", TODAY.astimezone):
        return BLOCK.sub(block, page)


def commands(text):
    """Each command as it stands there, and as one line; it may go on behind a backslash."""
    typed = re.findall(r"^\$ stillroom (?:.*\\\n)*.*$", text, re.MULTILINE)
    return [(one, re.sub(r"\s*\\\n\s*", " ", one).removeprefix("$ stillroom ")) for one in typed]


def without_chance(text):
    """Event numbers differ from run to run."""
    return re.sub(r"\b[0-9a-f]{8}\b", "########", text)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_screen_is_what_is_printed_today(page, command):
    text = page.read_text()

    assert without_chance(as_printed(text, command)) == without_chance(text)


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    from tests.command import Command

    for one in PAGES:
        with tempfile.TemporaryDirectory() as home:
            one.write_text(as_printed(one.read_text(), Command(Path(home))))
