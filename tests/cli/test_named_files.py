"""What is said of a name that nothing can be written under, and what stays there."""

import pytest

from tests.command import Command

NAMES = {
    "a folder": ("papers", "There is a folder there.", "name a file in it"),
    "a link": ("link.pdf", "A link stands there", "name the file it leads to"),
    "a folder that is not there": ("nowhere/l.pdf", "there is no folder nowhere.", "make that"),
    "standard output": ("-", "It is written to a file.", "name a file"),
    "lines of the book": ("book/events/new.jsonl", "the book keeps files of its own", "name a"),
    "rules of the book": ("book/practice.toml", "the book keeps files of its own", "name a file"),
    "a device": ("/dev/null", "What stands there is no file", "name another file"),
    "a file": ("taken.pdf", "A file stands there already", "--force"),
}


@pytest.fixture(scope="module")
def shelf(tmp_path_factory) -> Command:
    command = Command(tmp_path_factory.mktemp("shelf"))
    command.ok("charge Melissa --part leaf --dried 25g --pour '125 ml 45%' --when 2025-03-03")
    (command.home / "papers").mkdir()
    (command.home / "taken.pdf").write_text("mine")
    (command.home / "link.pdf").symlink_to("taken.pdf")
    return command


@pytest.mark.parametrize(("name", "what", "do"), NAMES.values(), ids=NAMES)
def test_a_name_that_cannot_be_written_is_refused_with_the_reason(shelf, name, what, do):
    line = f"label MEOF --no-record --to {name}"
    said = shelf.refused(line)

    assert name == "taken.pdf" or shelf.refused(f"{line} --force") == said
    assert what in said
    assert do in said.splitlines()[-1]
    assert (shelf.home / "taken.pdf").read_text() == "mine"
    assert not (shelf.home / "-").exists()
