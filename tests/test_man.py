"""The manual page: that of the verbs as they are, and one that every man can set."""

import re
import shutil
import subprocess

import pytest

from scripts.make_man import FILE, page
from tracker.cli.help.verb_help import examples
from tracker.cli.help.verb_table import VERBS

CHECKS = (
    ["mandoc", "-T", "lint", "-W", "warning"],
    ["groff", "-man", "-ww", "-Tutf8", "-z"],
)


def test_the_page_is_that_of_the_verbs():
    """If this fails a verb, an option or an example has changed: run scripts/make_man.py."""
    assert FILE.read_text(encoding="ascii") == page(), "run scripts/make_man.py"


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check[0])
def test_nothing_in_it_is_complained_of(check):
    if shutil.which(check[0]) is None:
        pytest.skip(f"{check[0]} is not installed")
    done = subprocess.run([*check, FILE], capture_output=True, text=True, check=False)

    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_every_verb_and_example_can_be_read_on_a_screen_of_80():
    if shutil.which("groff") is None:
        pytest.skip("groff is not installed")
    line = ["groff", "-man", "-Tascii", "-P-cbou", "-rLL=80n", FILE]
    said = subprocess.run(line, capture_output=True, text=True, check=True).stdout
    words = " ".join(said.replace("-\n", "-").split())

    assert max(map(len, said.splitlines())) <= 80
    assert [verb for verb in VERBS if not re.search(rf"stillroom {verb}\b", words)] == []
    for told in examples().values():
        for example, _ in told["examples"]:
            assert f"stillroom {example}".split()[-1] in words
