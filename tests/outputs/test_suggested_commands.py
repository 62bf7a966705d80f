"""Commands in answers about codes another writer gave: pasted, only what the verb says happens."""

import re
import subprocess
from shlex import quote

import pytest

from tests.books import written_down
from tests.command import STILLROOM, Command
from tests.core.values.test_command_words import HOSTILE
from tests.lives import OneJar, Pen, a_charge
from tracker.cli.help.verb_table import VERBS
from tracker.core.facts.amendments import Held
from tracker.core.values.command_words import command

# Beside each code stands a jar on hold of the same with an x behind it.
CODES = [one for one in HOSTILE if one.strip() and "\n" not in one]
RECORDING = (
    *(["press", "{}", "300ml"], ["shake", "{}"], ["dispense", "{}", "10ml"], ["restore", "{}"]),
    *(["bottle", "{}", "1x50ml"], ["look", "{}"], ["label", "{}"], ["top-up", "{}"]),
    *(["hold", "--why", "x", "{}"], ["release", "--why", "x", "{}"]),
)
ASKING = (["show", "{}"], ["history", "{}"], ["due"], ["shelf", "--done"], ["check"])
# What a person who reads it would paste: up to a closing mark or the end of a sentence.
SUGGESTED = re.compile(r"stillroom ([a-z][a-z-]*)( --\S* …)?( --)? ")


@pytest.fixture(scope="module")
def given(tmp_path_factory):
    pen = Pen()
    for code in CODES:
        jar, held = OneJar(pen), OneJar(pen)
        jar.charge = pen.write(a_charge(code=code), "2025-03-03")
        jar.press()
        held.charge = pen.write(a_charge(code=f"{code}x"), "2025-03-03")
        pen.write(Held(about=held.jar, why="cloudy"), "2025-03-04")
    return written_down(Command(tmp_path_factory.mktemp("given")), pen.entries)


def said_about(command: Command, code: str) -> list[str]:
    """Every line that any verb says about a code, on either stream."""
    said: list[str] = []
    for words in (*([*one, "--dry-run"] for one in RECORDING), *ASKING):
        options = [one for one in words if one != "{}"]
        more = ["--", code] if "{}" in words else []
        if words[-2:] == ["300ml", "--dry-run"] or "10ml" in words or "1x50ml" in words:
            options.remove(words[2])
            more.append(words[2])
        answer = command.run("", *options, *more)
        assert "Traceback" not in answer.err
        said += (answer.out + answer.err).splitlines()
    return said


@pytest.mark.parametrize("code", CODES[:7])
def test_a_code_of_another_writer_is_found_and_is_one_word_of_a_command(given, code):
    suggested = 0
    for one in (code, f"{code}x"):
        assert given.run("show", "--", one).code == 0
        for line in said_about(given, one):
            for found in SUGGESTED.finditer(line):
                if line[found.end() :].startswith((quote(one), one)):
                    suggested += 1
                    assert found[1] in VERBS
                    assert line[found.end() :].startswith(quote(one))
                    assert (found[3] is not None) == one.startswith("-")

    assert suggested > 2


def test_a_suggested_command_does_what_its_verb_says(given):
    """Through a shell, as pasted, though the code looks like an option or runs a program."""
    for code in CODES:
        line = command("history", code).replace("stillroom", str(STILLROOM), 1)
        done = subprocess.run(
            ["/bin/sh", "-c", line], env=given.env, capture_output=True, text=True, check=False
        )
        assert (code, done.returncode, done.stderr) == (code, 0, "")
        assert done.stdout.startswith("marigold flower, dried")
