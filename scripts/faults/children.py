"""Runs of the program in children of this process, which has everything imported already."""

import json
import os
import pickle
import shutil
import signal
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from importlib import import_module
from io import BytesIO, FileIO, TextIOWrapper
from pathlib import Path
from pkgutil import iter_modules
from typing import NoReturn

from faults.cases import Call, Fault
from faults.homes import environment
from faults.injector import Change, Injector

PATIENCE_S = 40.0
KILLED = -9
HUNG = -1

Act = Callable[[Path], int]


@dataclass(frozen=True)
class Ended:
    """How a run ended, what it said, and which calls and changes of the disk it made."""

    code: int
    out: str
    err: str
    was_hit: bool = False
    calls: tuple[Call, ...] = ()
    changes: tuple[Change, ...] = ()


def warm_up() -> None:
    """Import all that a run may need, so that a fork has it."""
    from tracker.cli.help.verb_table import VERBS
    from tracker.core.rules import by_kind, checks
    from tracker.outputs.words import answers

    for module in set(VERBS.values()):
        import_module(f"tracker.cli.verbs.{module}")
    for name in (
        "filelock", "pydantic", "pint", "sqlite_utils", "fpdf", "segno", "jinja2",
        "tracker.bench.record", "tracker.daemon.ticker", "tracker.daemon.buttons",
        "tracker.outputs.page.render", "tracker.outputs.page.sections", "tracker.journal.backup",
        "tracker.outputs.paper.labels.label_pdf", "tracker.outputs.paper.labels.label_text",
        "tracker.core.replay.replay", "tracker.quantities", "tracker.cli.verbs.keeping.enter",
    ):  # fmt: skip
        import_module(name)
    for folder in (by_kind, checks, answers):
        for found in iter_modules(folder.__path__, f"{folder.__name__}."):
            import_module(found.name)


def command(words: Sequence[str]) -> Act:
    """The command with these words, as an act."""

    def act(home: Path) -> int:
        from tracker.cli.main import main

        sys.argv = [str(Path(sys.executable).with_name("stillroom")), *words]
        try:
            main()
        except SystemExit as ended:
            return ended.code if isinstance(ended.code, int) else 0 if ended.code is None else 1
        return 0

    return act


def in_turn(several: Sequence[Act], home: Path, writer: str | None) -> list[Ended]:
    """Several acts one after another in one child, each with its own answer."""

    def act(home: Path) -> int:
        answers = []
        for one in several:
            out, err = (TextIOWrapper(BytesIO(), "utf-8", write_through=True) for _ in "12")
            with redirect_stdout(out), redirect_stderr(err):
                try:
                    code = one(home)
                except Exception:
                    code = 1
                    traceback.print_exc()
            answers.append((code, *(text.buffer.getvalue().decode() for text in (out, err))))
        sys.stdout.write(json.dumps(answers))
        return 0

    done = run(act, home, watched=False, writer=writer)
    if done.code:
        return [Ended(done.code, "", done.err)] * len(several)
    return [Ended(code, out, err) for code, out, err in json.loads(done.out)]


def run(
    act: Act,
    home: Path,
    faults: Sequence[Fault] = (),
    *,
    writer: str | None = "bench",
    watched: bool = True,
    outside: str = "",
) -> Ended:
    """Run an act in a child whose home that is.

    Args:
        act: what is done there; it answers with an exit code.
        home: its folder.
        faults: what goes wrong.
        writer: who records; None where the program is to make a name.
        watched: whether its calls are counted at all.
        outside: what strace injects, such as `fdatasync:error=EIO:when=1`.
    """
    out, err, notes = (os.memfd_create(name) for name in ("out", "err", "notes"))
    child = os.fork()
    if child == 0:
        _in_child(
            act, home, faults, writer, watched or bool(faults), bool(outside), out, err, notes
        )
    tracer, log = (None, None) if not outside else _attached(child, outside, home)
    code = _waited(child)
    was_hit = False
    if tracer is not None and log is not None:
        tracer.wait(timeout=PATIENCE_S)
        was_hit = "(INJECTED)" in log.read_text() or code == KILLED
    said = [_all_of(one) for one in (out, err, notes)]
    for one in (out, err, notes):
        os.close(one)
    hit, _, kept = said[2].partition(b"\n")
    calls, changes = pickle.loads(kept) if kept else ((), ())  # what our own child wrote
    return Ended(code, said[0].decode(), said[1].decode(), was_hit or hit == b"hit", calls, changes)


def _in_child(
    act: Act,
    home: Path,
    faults: Sequence[Fault],
    writer: str | None,
    watched: bool,
    stops: bool,
    out: int,
    err: int,
    notes: int,
) -> NoReturn:
    code = 1
    write = os.write
    try:
        _set_up(home, writer, out, err)
        injector = Injector(str(home), faults, lambda: _note(write, notes))
        if watched:
            injector.install()
        if stops:
            os.kill(os.getpid(), signal.SIGSTOP)
        try:
            code = act(home)
            sys.stdout.flush()
        except BaseException:
            traceback.print_exc()
        kept = b"\n" + pickle.dumps((tuple(injector.calls), tuple(injector.changes)))
        write(notes, kept)
    finally:
        os._exit(code & 0xFF)


def _set_up(home: Path, writer: str | None, out: int, err: int) -> None:
    """Streams, environment and folder as a process of the command's would have them."""
    os.dup2(out, 1)
    os.dup2(err, 2)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    sys.stdin, sys.stdout = TextIOWrapper(FileIO(0)), TextIOWrapper(FileIO(1, "w"), "utf-8")
    sys.stderr = TextIOWrapper(FileIO(2, "w"), "utf-8", write_through=True)
    os.environ.clear()
    os.environ.update(environment(home, writer=writer))
    time.tzset()
    os.chdir(home)


def _note(write: Callable[[int, bytes], int], notes: int) -> None:
    if os.lseek(notes, 0, os.SEEK_CUR) == 0:
        write(notes, b"hit")


def _all_of(descriptor: int) -> bytes:
    size = os.lseek(descriptor, 0, os.SEEK_END)
    return os.pread(descriptor, size, 0)


def _waited(child: int) -> int:
    end = time.monotonic() + PATIENCE_S
    pause = 0.0005
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        time.sleep(pause)
        pause = min(pause * 1.5, 0.01)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return HUNG


def _attached(child: int, outside: str, home: Path) -> tuple["subprocess.Popen[bytes]", Path]:
    """A tracer at a child that stands still, which then goes on."""
    os.waitpid(child, os.WUNTRACED)
    found = shutil.which("strace")
    if found is None:
        os.kill(child, signal.SIGKILL)
        raise RuntimeError("strace is not installed (Debian: strace)")
    log = home.with_name(f"{home.name}.strace")
    log.write_text("")
    call = outside.partition(":")[0]
    what = ("-e", f"trace={call}", "-e", f"inject={outside}", "-p", str(child))
    tracer = subprocess.Popen([found, "-qq", "-o", str(log), *what])
    while "TracerPid:\t0" in Path(f"/proc/{child}/status").read_text():
        time.sleep(0.001)
    os.kill(child, signal.SIGCONT)
    return tracer, log
