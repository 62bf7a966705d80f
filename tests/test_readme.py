"""The screens in the README are what the program prints today.

python tests/test_readme.py     writes what it prints now into the README
"""

import re
import sys
from pathlib import Path

README = Path(__file__).parents[1] / "README.md"
BLOCK = re.compile(r"```console\n(.*?)```", re.DOTALL)
FILE = re.compile(r"```text (\S+)\n(.*?)```", re.DOTALL)


def as_printed(text, command):
    """Each block again, with every `$` line followed by what it prints."""

    def block(found):
        lines = []
        for line in found[1].splitlines():
            if line.startswith("$ "):
                answer = command.run(line.removeprefix("$ stillroom "))
                lines += [line, *answer.out.splitlines(), *answer.err.splitlines()]
        return "```console\n" + "\n".join(lines) + "\n```"

    for name, contents in FILE.findall(text):
        (command.home / name).write_text(contents)
    return BLOCK.sub(block, text)


def without_chance(text):
    """Event numbers and the time of recording differ from run to run."""
    text = re.sub(r"\b[0-9a-f]{8}\b", "########", text)
    return re.sub(r"recorded \d+ [A-Z][a-z]{2} \d{4}", "recorded …", text)


def test_every_screen_is_what_is_printed_today(command):
    text = README.read_text()

    assert without_chance(as_printed(text, command)) == without_chance(text)


if __name__ == "__main__":
    import tempfile

    sys.path.insert(0, str(README.parent))
    from tests.command import Command

    with tempfile.TemporaryDirectory() as home:
        README.write_text(as_printed(README.read_text(), Command(Path(home))))
