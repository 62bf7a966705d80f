"""A button pressed on a notice, answered as the command would answer it."""

import logging
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from threading import Thread

from tracker.bench.bench import Bench
from tracker.daemon.notify import DesktopBus, Notice

_PATIENCE_S = 60.0
_LISTEN_S = 3600.0

_log = logging.getLogger("stillroom")


def stillroom_command() -> list[str]:
    """How this very stillroom is started again, wherever it was installed."""
    beside = Path(sys.executable).with_name(Path(sys.argv[0]).name)
    for script in (Path(sys.argv[0]), beside):
        if script.stem == "stillroom" and script.is_file():
            return [str(script.absolute())]
    return [sys.executable, "-c", "from tracker.cli.main import main; main()"]


class AnsweringDesktop:
    """The desktop, with somebody listening to its buttons until the next notice.

    A thread waits for the press, so that the clock goes on being watched; the connection is
    hung up before anybody else uses the desktop.
    """

    def __init__(self, desktop: DesktopBus, bench: Bench) -> None:
        self._desktop, self._bench = desktop, bench
        self._listener: Thread | None = None

    @property
    def name(self) -> str:
        """The desktop's own name."""
        return self._desktop.name

    def deliver(self, notice: Notice) -> None:
        """Show the notice and wait for its buttons beside.

        Raises:
            NotDelivered: as the desktop says.
        """
        self.close()
        self._desktop.deliver(notice)
        if self._desktop.listening:
            self._listener = Thread(target=self._listen, args=(notice,), daemon=True)
            self._listener.start()

    def close(self) -> None:
        """Stop listening."""
        if self._listener is not None:
            self._desktop.hang_up()
            self._listener.join()
            self._listener = None

    def _listen(self, notice: Notice) -> None:
        pressed = None
        while pressed is None and self._desktop.listening:
            pressed = self._desktop.wait_for_action(_LISTEN_S)
        if pressed is not None:
            answer(self._bench.fresh(), pressed, notice.codes.get(pressed, ()))


def answer(bench: Bench, pressed: str, codes: Sequence[str]) -> None:
    """Record what a button says, through the command; what no longer fits is only logged."""
    try:
        wanted = _still_wanted(bench, codes) if pressed == "shaken" else list(codes)
        if not wanted:
            _log.info("pressed %s: nothing left to record", pressed)
        elif pressed == "shaken":
            _recorded(bench, ["shake", *wanted, "--note", "answered on the notice"])
        elif pressed == "later":
            for code in wanted:  # one that is done by now must not keep the others back
                _recorded(bench, ["later", code, "1d"])
    except Exception:  # a press may not end the daemon
        _log.exception("a press of %s was not recorded", pressed)


def _still_wanted(bench: Bench, codes: Sequence[str]) -> list[str]:
    today, wanted = bench.today(), []
    shelf = {jar.code: jar for jar in bench.jars()}
    for code in codes:
        jar = shelf.get(code)
        if jar is None or not jar.is_macerating:
            pressed = jar.end.on if jar is not None and jar.end is not None else None
            _log.info("%s: %s", code, f"already pressed, on {pressed}" if pressed else "gone")
        elif jar.last_shaken is not None and jar.last_shaken.latest >= today:
            _log.info("%s: already shaken, on %s", code, jar.last_shaken)
        else:
            wanted.append(code)
    return wanted


def _recorded(bench: Bench, words: Sequence[str]) -> None:
    done = subprocess.run(
        [*stillroom_command(), "--book", str(bench.book), *words],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        errors="replace",
        timeout=_PATIENCE_S,
        check=False,
    )
    said = " ".join((done.stdout or done.stderr).split())
    if done.returncode:
        _log.warning("a press was refused: %s", said)
    else:
        _log.info("a press recorded: %s", said)
