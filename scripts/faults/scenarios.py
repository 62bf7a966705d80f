"""The paths of the program that write: what stands before each, what it does, and what follows."""

import logging
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal
from zoneinfo import ZoneInfo

from faults.children import Act, command, run
from faults.homes import Tree, put_back, tree_of

Sort = Literal["record", "button", "daemon", "copy", "file", "accept", "ask"]

CHARGE = ("charge", "Calendula officinalis", "--dried", "100g", "--pour", "500 ml 45%")
JAR, JAR_TO_PRESS = "CAOF-26-01", "ACMI-26-01"
EVENTS = "book/events/bench.jsonl"
TOLD = "delivered"  # beside the home, where no fault reaches
_PAGE = "".join(f'note {JAR} "line {n} of the page"\n' for n in range(1, 9)) + f"shake {JAR}\n"
_TICK_AT = datetime(2026, 10, 5, 12, 0, tzinfo=ZoneInfo("Europe/Berlin"))


@dataclass(frozen=True)
class Scenario:
    """One path: its name, what it leaves behind, and the act that the faults fall into."""

    name: str
    sort: Sort
    act: Act
    prepare: Callable[[Path], None]
    target: str = ""  # a file or folder it writes beside the book
    writer: str | None = "bench"
    next: tuple[str, ...] = ("note", JAR, "after the fault")
    redo: tuple[str, ...] = ()  # what is said after a kill, where not the same
    forgets: bool = False  # nothing but the read model remembers how far the file went
    again: tuple[str, ...] = ()  # the same words unsure, where a second one would make more


def _ok(home: Path, *words: str) -> None:
    done = run(command(words), home, watched=False)
    if done.code:
        raise RuntimeError(f"{words}: {done.err}")


def _nothing(home: Path) -> None:
    (home / "cache").mkdir(mode=0o700)


def _shelf(home: Path) -> None:
    """A jar that stands, one that was pressed and is half bottled, and an old mistake."""
    _ok(home, *CHARGE, "--when", "2026-03-03", "--shake", "daily")
    _ok(home, "charge", "Achillea millefolium", "--dried", "80g", "--pour", "400 ml 50%",
        "--when", "2026-03-04", "--sure")  # fmt: skip
    _ok(home, "charge", "Melissa officinalis", "--dried", "50g", "--pour", "300 ml 40%",
        "--when", "2026-03-05", "--sure")  # fmt: skip
    _ok(home, "press", "MEOF-26-01", "250ml", "--when", "2026-05-05", "--sure")
    (home / "page.txt").write_text(_PAGE)


def _then(more: Callable[[Path], None]) -> Callable[[Path], None]:
    def prepare(home: Path) -> None:
        _shelf(home)
        more(home)

    return prepare


def _torn(home: Path) -> None:
    with (home / EVENTS).open("ab") as file:
        file.write(b'{"specversion":"1.0","id":"torn')


def _half_unit(home: Path) -> None:
    """The first lines of a unit, as a kill in the middle of a page leaves them."""
    whole = (home / EVENTS).read_bytes()
    ends = {file: file.read_bytes() for file in (home / "state").rglob("own-ends")}
    _ok(home, "enter", "page.txt", "--sure")
    lines = (home / EVENTS).read_bytes()[len(whole) :].splitlines(keepends=True)
    (home / EVENTS).write_bytes(whole + b"".join(lines[:3]))
    _forget(home)
    for file, kept in ends.items():  # it was killed before it remembered them
        file.write_bytes(kept)


def _forget(home: Path) -> None:
    for file in (home / "cache").rglob("shelf-*"):
        file.unlink()


def _spoil_model(home: Path) -> None:
    """Every part of the model is another book's, though SQLite finds nothing wrong with it."""
    for file in (home / "cache").rglob("shelf-*.sqlite"):
        data = file.read_bytes()
        file.write_bytes(data.replace(b"Calendula", b"Calendule"))


def _spoil_own_ends(home: Path) -> None:
    for file in (home / "state").rglob("own-ends"):
        file.write_bytes(b"\0" * 40 + file.read_bytes()[40:])


def _spoil_writer(home: Path) -> None:
    _nothing(home)
    state = home / "state" / "stillroom"
    state.mkdir(mode=0o700, parents=True)
    (home / "state").chmod(0o700)
    (state / "writer").write_bytes(b"\xff\0 no name\n")
    (state / "writer").chmod(0o600)


def _stands(home: Path) -> None:
    _ok(home, "page", "--to", "shelf.html")
    _ok(home, "note", JAR, "since the page")


def _gone_end(home: Path) -> None:
    _ok(home, "note", JAR, "this line goes")
    lines = (home / EVENTS).read_bytes().splitlines(keepends=True)
    _ok(home, "shelf")
    (home / EVENTS).write_bytes(b"".join(lines[:-1]))


def _backed_up(home: Path) -> None:
    _ok(home, "backup", "copy")
    _ok(home, "note", JAR, "since the copy")


def _keeps_page(home: Path) -> None:
    """The page of before stands there, and what it was made of has changed since."""
    (home / "pages").mkdir(mode=0o700)
    _ok(home, "page", "--to", "pages/stillroom.html")
    _ok(home, "note", JAR, "since the page")
    (home / "book" / "practice.toml").write_text(f'[page]\nfolder = "{home}/pages"\n')
    (home / "book" / "practice.toml").chmod(0o600)


class _Deliveries:
    """A channel that takes every notice and notes it where no fault reaches."""

    name = "test"

    def __init__(self, file: Path) -> None:
        self._descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)

    def deliver(self, notice: object) -> None:
        """Note it."""
        os.write(self._descriptor, b"told\n")


def tick_twice(home: Path) -> int:
    """Two beats of one daemon on one noon: the second may not tell again."""
    from tracker.bench.bench import Bench
    from tracker.daemon.notify import Chain
    from tracker.daemon.ticker import DaemonMemory, tick

    logging.basicConfig(level=logging.INFO, stream=sys.stderr)
    bench = Bench(
        home / "book",
        cache=home / "cache" / "stillroom",
        state=home / "state" / "stillroom",
        read_clock=lambda: _TICK_AT,
    )
    channels, kept = Chain([_Deliveries(home.with_name(TOLD))]), DaemonMemory()
    for _ in range(2):
        tick(bench.fresh(), channels, kept)
    return 0


def press_button(home: Path) -> int:
    """The button of a notice; its answer is a line of the log."""
    from tracker.bench.bench import Bench
    from tracker.daemon.buttons import record_press

    logging.basicConfig(level=logging.INFO, stream=sys.stderr)
    state = home / "state" / "stillroom"
    bench = Bench(home / "book", cache=home / "cache" / "stillroom", state=state)
    record_press(bench, "shaken", [JAR])
    return 0


def _record(
    name: str,
    *words: str,
    more: Callable[[Path], None] | None = None,
    forgets: bool = False,
) -> Scenario:
    again = words[:-1] if words[-1] == "--sure" and words[0] not in ("correct", "enter") else ()
    prepare = _then(more) if more else _shelf
    return Scenario(name, "record", command(words), prepare, again=again, forgets=forgets)


SCENARIOS: dict[str, Scenario] = {
    one.name: one
    for one in (
        Scenario("first", "record", command(CHARGE), _nothing, again=CHARGE,
                 next=("charge", "Achillea millefolium", "--dried", "80g", "--pour", "400 ml 50%",
                       "--sure")),
        Scenario("first-unnamed", "record", command(CHARGE), _nothing, writer=None,
                 next=("charge", "Achillea millefolium", "--dried", "80g", "--pour", "400 ml 50%",
                       "--sure")),
        _record("charge", "charge", "Urtica dioica", "--dried", "90g", "--pour", "450 ml 45%",
                "--count", "3", "--sure"),
        _record("note", "note", JAR, "smells as it should"),
        _record("press", "press", JAR_TO_PRESS, "330ml", "--sure"),
        _record("bottle", "bottle", "MEOF-26-01A", "1x100ml", "--sure"),
        _record("correct", "correct", "4", "--set", "volume=240ml", "--why", "misread", "--sure"),
        _record("enter", "enter", "page.txt", "--sure"),
        _record("torn", "note", JAR, "onto a torn end", more=_torn),
        _record("half-unit", "note", JAR, "onto half a unit", more=_half_unit),
        _record("no-cache", "note", JAR, "without a read model", more=_forget),
        _record("broken-model", "note", JAR, "with a spoilt read model", more=_spoil_model),
        _record("spoilt-end", "note", JAR, "with a spoilt end of its own", more=_spoil_own_ends,
                forgets=True),
        Scenario("spoilt-writer", "record", command(CHARGE), _spoil_writer, writer=None,
                 next=("charge", "Achillea millefolium", "--dried", "80g", "--pour", "400 ml 50%",
                       "--sure")),
        Scenario("button", "button", press_button, _shelf),
        Scenario("daemon", "daemon", tick_twice, _then(_keeps_page), "pages/stillroom.html"),
        Scenario("backup", "copy", command(("backup", "copy")), _shelf, "copy"),
        Scenario("backup-again", "copy", command(("backup", "copy")), _then(_backed_up), "copy"),
        Scenario("page", "file", command(("page", "--to", "shelf.html")), _shelf, "shelf.html",
                 redo=("page", "--to", "shelf.html", "--force")),
        Scenario("page-over", "file", command(("page", "--to", "shelf.html", "--force")),
                 _then(_stands), "shelf.html"),
        Scenario("label", "record", command(("label", JAR, "--to", "labels.pdf")), _shelf,
                 "labels.pdf"),
        Scenario("accept", "accept", command(("check", "--accept")), _then(_gone_end)),
        Scenario("ask", "ask", command(("shelf", "--json")), _shelf),
        Scenario("ask-no-cache", "ask", command(("shelf", "--json")), _then(_forget)),
        Scenario("ask-broken-model", "ask", command(("shelf", "--json")), _then(_spoil_model)),
        Scenario("ask-a-day", "ask", command(("shelf", "--on", "2026-04-01", "--json")), _shelf),
        Scenario("ask-history", "ask", command(("history", JAR)), _shelf),
    )
}  # fmt: skip


def base_of(scenario: Scenario, home: Path) -> Tree:
    """What stands in the home before the act, seen by the read model as it is now."""
    put_back(home, {})
    home.chmod(0o700)
    scenario.prepare(home)
    return tree_of(home)
