"""The command as a person runs it, with a book and a home of its own."""

import codecs
import fcntl
import io
import json
import os
import pty
import select
import shlex
import signal
import struct
import subprocess
import sys
import termios
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any
from unittest.mock import patch
from zoneinfo import ZoneInfo

from tracker.bench.bench import Bench
from tracker.bench.own_folders import APP
from tracker.cli.main import main
from tracker.cli.plain.plain_answer import answer_plainly
from tracker.cli.plain.plain_line import plain_line

STILLROOM = Path(sys.executable).with_name("stillroom")
PATIENCE_S = 60.0
_ASKING = (": ", "? ", ") ")  # how a question ends


@dataclass(frozen=True)
class Answer:
    """What a run of the command left behind."""

    code: int
    out: str
    err: str


class Command:
    """`stillroom` for one book. A line is split as a shell would; `more` is taken as it is.

    A run is the command's own `main` in this process, since starting a process takes fifty
    times as long; `installed` and `start` run the program itself, and so does what has to be a
    process: a daemon, a run `under` another program, one whose clock is faked.
    `tests/cli/test_installed.py` holds the two to the same answers.
    """

    def __init__(self, home: Path, *, writer: str = "bench", zone: str = "Europe/Berlin") -> None:
        self.home, self.zone = home, zone
        self.book = home / "book"
        self.cache = home / "cache"
        self.state = home / "state"
        kept = {
            name: text for name, text in os.environ.items() if not name.startswith("STILLROOM_")
        }
        kept.pop("NO_COLOR", None)
        kept.pop("COLUMNS", None)
        self.env = kept | {
            "HOME": str(home),
            "XDG_CACHE_HOME": str(self.cache),
            "XDG_CONFIG_HOME": str(home / "config"),
            "XDG_STATE_HOME": str(self.state),
            "XDG_DATA_HOME": str(home / "data"),
            "STILLROOM_BOOK": str(self.book),
            "STILLROOM_WRITER": writer,
            "TZ": zone,
            "TERM": "xterm",
            "PYTHONIOENCODING": "utf-8",
        }

    def practice(self, text: str) -> "Command":
        """Write practice.toml; the book is begun if it was not."""
        (self.book / "events").mkdir(parents=True, exist_ok=True)
        (self.book / "practice.toml").write_text(text)
        return self

    # Running

    def start(
        self, line: str, *more: str, under: Sequence[str] = (), **streams: int
    ) -> "subprocess.Popen[str]":
        """A run that goes on beside others."""
        return subprocess.Popen(
            [*under, str(STILLROOM), *shlex.split(line), *more],
            stdin=streams.get("stdin", subprocess.DEVNULL),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=self.env,
            cwd=self.home,
            text=True,
            encoding="utf-8",
        )

    def run(
        self, line: str, *more: str, typed: str | None = None, under: Sequence[str] = ()
    ) -> Answer:
        """Run to the end without a terminal; `typed` comes in through a pipe."""
        if under or line.startswith(("daemon", "reminders")) or "LD_PRELOAD" in self.env:
            return self.installed(line, *more, typed=typed, under=under)
        return self._run_here(main, line, more, typed)

    def seen(self, line: str) -> str:
        """All that a run prints, answers and remarks in the order in which they come."""
        return self._run_here(main, line, together=True).out

    def plainly(self, line: str) -> Answer:
        """Answer a plain line as the program does, without what reads every other line."""

        def act() -> None:
            plain = plain_line(sys.argv[1:])
            assert plain is not None, line
            answer_plainly(plain, None)

        return self._run_here(act, line)

    def _run_here(
        self,
        act: Callable[[], None],
        line: str,
        more: Sequence[str] = (),
        typed: str | None = None,
        *,
        together: bool = False,
    ) -> Answer:
        code: object = 0
        words = shlex.split(line)
        with self._as_a_process_of_its_own(words, more, typed or "", together) as (out, err):
            try:
                act()
            except SystemExit as ended:
                code = ended.code
        assert code is None or isinstance(code, int), code
        said = "" if together else err.getvalue().decode()
        return Answer(code or 0, out.getvalue().decode(), said)

    @contextmanager
    def _as_a_process_of_its_own(
        self, words: Sequence[str], more: Sequence[str], typed: str, together: bool
    ) -> Iterator[tuple[io.BytesIO, io.BytesIO]]:
        """Environment, folder, zone and streams as a process of the command's would have them."""
        out, before = io.BytesIO(), Path.cwd()
        err = out if together else io.BytesIO()
        streams = [io.TextIOWrapper(one, "utf-8", write_through=True) for one in (out, err)]
        typing = io.TextIOWrapper(io.BytesIO(typed.encode()), "utf-8")
        stopping = signal.getsignal(signal.SIGINT)  # what is recorded lets nothing stop it
        with (
            # Where nothing is a terminal a process takes 80 columns; so that ours does as well.
            patch.dict(os.environ, {"COLUMNS": "80"} | self.env, clear=True),
            patch.object(sys, "argv", [str(STILLROOM), *words, *more]),
            patch.object(sys, "stdin", typing),
            redirect_stdout(streams[0]),
            redirect_stderr(streams[1]),
        ):
            time.tzset()
            os.chdir(self.home)
            try:
                yield out, err
            finally:
                os.chdir(before)
                if threading.current_thread() is threading.main_thread():
                    signal.signal(signal.SIGINT, stopping)
                for one in streams:
                    one.detach()
        time.tzset()

    def installed(
        self, line: str, *more: str, typed: str | None = None, under: Sequence[str] = ()
    ) -> Answer:
        """Run the program that was installed to its end, as `run` does, in a process."""
        stdin = subprocess.DEVNULL if typed is None else subprocess.PIPE
        with self.start(line, *more, under=under, stdin=stdin) as process:
            try:
                out, err = process.communicate(typed, timeout=PATIENCE_S)
            except subprocess.TimeoutExpired:
                process.kill()
                raise
        return Answer(process.returncode, out, err)

    def told(self, line: str, *more: str) -> str:
        """What a run that has to succeed prints, wherever its lines are parted."""
        return " ".join(self.ok(line, *more).split())

    def ok(self, line: str, *more: str) -> str:
        """Run what must be done; its standard output."""
        answer = self.run(line, *more)
        assert answer.code == 0, f"{line}\n{answer.err}"
        return answer.out

    def json(self, line: str, *more: str) -> Any:
        """Run what must be done with --json; the answer read."""
        return json.loads(self.ok(line, *more, "--json"))

    def asked(self, line: str) -> Any:
        """The JSON answer of an asking verb."""
        return self.json(line)

    def refused(self, line: str, *more: str, code: int = 1, under: Sequence[str] = ()) -> str:
        """Run what must be refused with that exit code and nothing written; its message."""
        before = self.written()
        answer = self.run(line, *more, under=under)
        assert answer.code == code, f"{line}: {answer.code}\n{answer.out}{answer.err}"
        assert answer.out == ""
        assert "Traceback" not in answer.err
        assert self.written() == before
        return answer.err

    def at_terminal(
        self, line: str, *more: str, typed: str = "", columns: int = 80, **env: str
    ) -> Answer:
        """Run on a pseudo-terminal, with these lines typed ahead and then end of input."""
        leader, follower = pty.openpty()
        fcntl.ioctl(follower, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        process = subprocess.Popen(
            [str(STILLROOM), *shlex.split(line), *more],
            stdin=follower,
            stdout=follower,
            stderr=follower,
            env=self.env | env,
            cwd=self.home,
            start_new_session=True,
        )
        os.close(follower)
        os.write(leader, typed.encode() + b"\x04")
        screen = _read_all(leader)
        os.close(leader)
        if process.poll() is None and not _ended(process):
            process.kill()
        return Answer(process.wait(), screen.decode(), "")

    def talk(self, line: str, *said: str, columns: int = 80, rows: int = 24, **env: str) -> "Talk":
        """A conversation on a pseudo-terminal: each word is typed once the program waits for it."""
        with Talk(self, line, columns, rows, env) as talk:
            for one in said:
                talk.type(one)
        return talk

    # Looking at what was left behind

    def written(self) -> Mapping[str, bytes]:
        """Every file of the book and its bytes."""
        return {
            str(path.relative_to(self.home)): path.read_bytes()
            for path in sorted(self.book.rglob("*"))
            if path.is_file()
        }

    def lines(self) -> list[dict[str, Any]]:
        """Every line of the book as it stands, in the order of its files."""
        return [
            json.loads(line)
            for path in sorted((self.book / "events").glob("*.jsonl"))
            for line in path.read_bytes().splitlines()
        ]

    def event(self, kind: str, number: int = -1) -> str:
        """The id of one event of a kind: the last written, or another."""
        return str([line["id"] for line in self.lines() if line["type"] == kind][number])

    def number(self, kind: str, number: int = -1) -> str:
        """The number of one event of a kind, as `history` shows it in a book of one writer."""
        return str(int([one["sequence"] for one in self.lines() if one["type"] == kind][number]))

    def bench(self, now: str = "2026-01-01 12:00") -> Bench:
        """The same book at hand in this process, with the clock standing at a local time."""
        moment = datetime.fromisoformat(now).replace(tzinfo=ZoneInfo(self.zone))
        return Bench(
            self.book,
            cache=self.cache / APP,
            state=self.state / APP,
            read_clock=lambda: moment,
        )


class Talk:
    """A run on a pseudo-terminal that is typed to when it waits, not before.

    `code` is its exit code once it has ended, `screen` all that was printed, `keys` how many
    keys were pressed, `typed` each answer and where on the screen it was given.
    """

    def __init__(
        self, command: Command, line: str, columns: int, rows: int, env: Mapping[str, str]
    ) -> None:
        leader, follower = pty.openpty()
        fcntl.ioctl(follower, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self._leader, self.screen, self.keys, self.code = leader, "", 0, -1
        # A letter of several bytes may come in two parts.
        self._decode = codecs.getincrementaldecoder("utf-8")("replace").decode
        self.typed: list[tuple[int, str]] = []
        self.before = termios.tcgetattr(follower)
        self._process = self._start(line, follower, command.env | env, command.home)
        self._follower = follower

    def _start(self, line: str, follower: int, env: Mapping[str, str], home: Path) -> Any:
        return subprocess.Popen(
            [str(STILLROOM), *shlex.split(line)],
            stdin=follower,
            stdout=follower,
            stderr=follower,
            env=env,
            cwd=home,
            start_new_session=True,
            preexec_fn=_take_terminal,
        )

    def __enter__(self) -> "Talk":
        self.waits()
        return self

    def __exit__(self, *_: object) -> None:
        if self._process.poll() is None:
            os.write(self._leader, b"\x04")
        if not _ended(self._process):
            self._process.kill()
        self.code = self._process.wait()
        self._read()
        self.after = termios.tcgetattr(self._follower)
        os.close(self._follower)
        os.close(self._leader)

    def type(self, text: str) -> None:
        """Type a line, or a control sign alone, and wait for what it brings."""
        is_sign = text in ("\x03", "\x04")
        self.keys += len(text) + (not is_sign)
        seen = len(self.screen)
        if not is_sign:
            self.typed.append((seen, text))
        os.write(self._leader, text.encode() + (b"" if is_sign else b"\n"))
        self.waits(seen)

    @property
    def asks(self) -> str:
        """The question that ends the screen; nothing once it has ended."""
        return self.screen.rpartition("\n")[2] if self._process.poll() is None else ""

    def waits(self, seen: int = 0) -> None:
        """Read the screen until a new question ends it, or the program has."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until and self._process.poll() is None:
            self._read(0.02)
            if len(self.screen) > seen and self.screen.endswith(_ASKING):
                return
        self._read()

    def _read(self, patience_s: float = 0.0) -> None:
        while select.select([self._leader], [], [], patience_s)[0]:
            try:
                self.screen += self._decode(os.read(self._leader, 65536))
            except OSError:
                return


def _take_terminal() -> None:
    """The terminal it runs on is that of the session, so that Ctrl-C there reaches it.

    It is not ignored either, as it is where the tests themselves run behind an `&`.
    """
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


def _read_all(leader: int) -> bytes:
    """Everything on the screen until the other side is closed or patience ends."""
    screen = b""
    with suppress(OSError):  # Linux answers EIO where the other side is closed
        while select.select([leader], [], [], PATIENCE_S)[0]:
            part = os.read(leader, 65536)
            if not part:
                break
            screen += part
    return screen


def _ended(process: "subprocess.Popen[bytes]") -> bool:
    try:
        process.wait(timeout=PATIENCE_S)
    except subprocess.TimeoutExpired:
        return False
    return True
