"""Tab in real shells: what is typed becomes what the book has."""

import codecs
import os
import pty
import re
import select
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.command import PATIENCE_S, Command

pytestmark = pytest.mark.thorough

BASH = (
    ["bash", "--norc", "--noprofile", "-i"],
    "PS1='$ '; bind 'set bell-style none'; eval \"$(stillroom completion bash)\"",
)
ZSH = (
    ["zsh", "-f", "-i"],
    "PS1='$ '; autoload -U compinit; compinit -D; eval \"$(stillroom completion zsh)\"",
)
FISH = (
    ["fish", "--no-config", "-i"],
    "function fish_prompt; echo '$ '; end; stillroom completion fish | source",
)
SHELLS = {"bash": BASH, "zsh": ZSH, "fish": FISH}
STYLE = re.compile(r"\x1b\[[0-9;?>=]*[a-zA-Z]|\x1b[\]P].*?(?:\x07|\x1b\\)|\x1b[()=>].?|[\x0e\x0f]")


class Shell:
    """A shell a person types into; what the line has become is asked with `echo`."""

    def __init__(self, name: str, command: Command) -> None:
        self.name = name
        line, setup = SHELLS[name]
        leader, follower = pty.openpty()
        path = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
        env = command.env | {"PATH": path, "TERM": "xterm", "LINES": "40", "COLUMNS": "100"}
        self.process = subprocess.Popen(
            ["setsid", "--ctty", *line],  # a shell for a person has a terminal of its own
            stdin=follower, stdout=follower, stderr=follower, env=env, cwd=command.home,
        )  # fmt: skip
        os.close(follower)
        self.leader = leader
        # A letter of several bytes may come in two parts.
        self._decode = codecs.getincrementaldecoder("utf-8")("replace").decode
        self.typed(f"{setup}; echo rea''dy\r", until="ready\r\n")

    def typed(self, keys: str, until: str) -> str:
        """What the screen shows from these keys on, until it shows that."""
        os.write(self.leader, keys.encode())
        screen, end = "", time.monotonic() + PATIENCE_S
        while until not in screen and time.monotonic() < end:
            if select.select([self.leader], [], [], 1.0)[0]:
                screen += self._decode(os.read(self.leader, 65536))
                if "\x1b[c" in screen or "\x1b[0c" in screen:  # which terminal is it?
                    os.write(self.leader, b"\x1b[?1;2c")
        assert until in screen, screen
        return screen

    def completed(self, typed: str) -> str:
        """The whole line after Tab."""
        self.typed(typed, until=typed[-1])
        os.write(self.leader, b"\t")
        self._calm()
        screen = self.typed("\x01echo '\x05'; echo do''ne\r", until="done\r\n")
        lines = [STYLE.sub("", one).rstrip("\r") for one in screen.split("\n")]
        place = next(at for at, one in enumerate(lines) if one.startswith("done"))
        return lines[place - 1].strip()

    def listed(self, typed: str) -> str:
        """What is on the screen after Tab was pressed twice; the line is then thrown away."""
        self.typed(typed, until=typed[-1])
        os.write(self.leader, b"\t")
        screen = self._calm()
        os.write(self.leader, b"\t")
        screen += self._calm()
        os.write(self.leader, b"\x03")
        self._calm()
        return STYLE.sub("", screen)

    def _calm(self) -> str:
        """Everything until the screen has stood still for a while."""
        screen = ""
        while select.select([self.leader], [], [], 1.5)[0]:
            screen += self._decode(os.read(self.leader, 65536))
        return screen

    def close(self) -> None:
        """End it."""
        self.process.kill()
        self.process.wait()
        os.close(self.leader)


@pytest.fixture(params=SHELLS)
def shell(request, command):
    if shutil.which(request.param) is None:
        pytest.skip(f"{request.param} is not installed")
    command.ok('charge calendula --part flower --dried 100g --pour "500 ml 60%" --place cellar')
    command.ok('charge "lemon balm" --part leaf --dried 90g --pour "400 ml 60%" --code BALM-1')
    command.ok('charge "lemon balm" --part leaf --dried 80g --pour "400 ml 60%" --code BALM-2')
    before = command.written()
    found = Shell(request.param, command)
    yield found
    found.close()
    assert command.written() == before  # a shell that asks records nothing


def test_tab_finishes_verbs_options_and_codes(shell):
    assert shell.completed("stillroom pres") == "stillroom press"
    assert shell.completed("stillroom press BALM-1 --mar") == "stillroom press BALM-1 --marc"
    assert shell.completed("stillroom press CAL").startswith("stillroom press CA")
    assert shell.completed("stillroom press BA") == "stillroom press BALM-"


def test_tab_says_what_is_behind_each_code(shell):
    screen = shell.listed("stillroom press BALM-")

    assert "BALM-1" in screen
    assert "BALM-2" in screen
    assert screen.count("lemon balm leaf, dried") >= 2


def test_tab_leads_from_a_name_to_the_code(shell):
    line = shell.completed("stillroom shake mari")

    if shell.name == "fish":  # which offers only what begins as typed
        assert line == "stillroom shake marigold"
    else:
        assert re.fullmatch(r"stillroom shake CAOF-\d\d-01", line)


def test_what_is_offered_with_a_blank_in_it_stays_one_word(shell):
    line = shell.completed("stillroom batches lemon")

    assert line in {"stillroom batches lemon\\ balm", "stillroom batches 'lemon balm'"}


def test_where_a_file_is_meant_the_shell_offers_files(shell, command):
    (command.home / "evening.txt").write_text("")

    assert shell.completed("stillroom enter eve") == "stillroom enter evening.txt"


def test_a_broken_book_is_silent(shell, command):
    (command.book / "practice.toml").write_text("[nonsense\n")

    screen = shell.listed("stillroom press BALM-")
    assert "practice" not in screen
    assert "Traceback" not in screen
    (command.book / "practice.toml").unlink()
