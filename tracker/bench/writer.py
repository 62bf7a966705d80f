"""The writer's name: one person on one machine, and the one file of a book appended to here.

Made once and kept in the state folder, so that a copy of the book on another machine writes to a
file of its own. Two machines that came to share a name would each overwrite the other's file
through any synchronising tool, so what is kept is used only where it is sure to be ours.
"""

import os
import re
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from tracker.bench.book_lock import HeldError, held
from tracker.core.values.errors import BookError, MisusedError
from tracker.core.values.file_names import slug
from tracker.journal.own_head import NAME as OWN_ENDS
from tracker.journal.own_head import own_ends
from tracker.journal.regular_file import read_regular
from tracker.journal.whole_file import make_folder, write_whole

SET_BY = "STILLROOM_WRITER"
_MOST_BYTES = 400
_WAIT_S = 20.0
_MACHINE_IDS = ("/etc/machine-id", "/var/lib/dbus/machine-id")
# A name as it is made here: the machine's, and the end of a random number.
_MADE = re.compile(r"[a-z0-9-]+-[0-9a-f]{8}")


class Writer(NamedTuple):
    """The name, the hash of the machine it is for, and what there is to say about it once."""

    name: str
    machine: str | None = None
    remark: str | None = None


class _Kept(NamedTuple):
    """What a file of a writer holds."""

    name: str
    machine: str | None


def writer_of(
    state_root: Path,
    new_id: Callable[[], str],
    machine_id: Callable[[], str | None] | None = None,
) -> Writer:
    """Who records here.

    Args:
        state_root: the state folder of this person on this machine.
        new_id: gives random ids, of which the last eight digits go into a new name.
        machine_id: gives the identity of the machine, None where it has none.

    Raises:
        MisusedError: the maker's own word for it has no letter or digit.
        BookError: a new name cannot be kept.
    """
    machine = _hashed((machine_id or _machine_id)())
    if given := os.environ.get(SET_BY):
        return Writer(_own_word(given), machine)
    file = state_root / "writer"
    with suppress(FileNotFoundError, ValueError):
        kept = _read(file)
        if kept.machine is not None and machine in (None, kept.machine):
            return Writer(kept.name, machine)
    try:
        make_folder(state_root)
        lock = state_root / "writer.lock"
        with held(state_root, beside=lock, timeout_s=_WAIT_S):
            return _settled(file, machine, new_id)
    except HeldError as reason:
        raise _not_kept(file, "another stillroom is making one") from reason
    except OSError as reason:
        raise _not_kept(file, reason.strerror or str(reason)) from reason


def _own_word(given: str) -> str:
    name = slug(given)
    if not name:
        raise MisusedError(
            "A writer's name needs a letter from a to z or a digit.",
            where=f"{SET_BY}={given!r}",
            do="set another name, or none: one is made for this machine.",
        )
    return name


def _not_kept(file: Path, why: str) -> BookError:
    return BookError(
        f"The writer's name cannot be kept: {why}.",
        where=f"{file}; nothing was recorded",
        do=f"make sure that you may write in that folder, or name the writer with {SET_BY}.",
    )


def _settled(file: Path, machine: str | None, new_id: Callable[[], str]) -> Writer:
    """The name under the lock: as another has just made it, as it was kept, or a new one."""
    why, kept = None, None
    try:
        kept = _read(file)
    except FileNotFoundError:
        pass
    except ValueError as reason:
        why = f"The file {file} held no writer's name ({reason})"
    if kept is not None:
        if None in (kept.machine, machine) or kept.machine == machine:
            if kept.machine is None and machine is not None:  # of before it said the machine
                with suppress(OSError):
                    _keep(file, kept.name, machine)
            return Writer(kept.name, machine)
        why = f"The name {kept.name} in {file} was made on another machine"
    name = None if kept is not None else _found_again(file.parent, machine)
    name = name or _new_name(new_id)
    aside = _set_aside(file) if why else None
    _keep(file, name, machine)
    remark = (
        f"{why}; it was moved to {aside}, and what is recorded here is recorded by {name}."
        if why
        else None
    )
    return Writer(name, machine, remark)


def _new_name(new_id: Callable[[], str]) -> str:
    import socket

    return f"{slug(socket.gethostname()) or 'writer'}-{new_id()[-8:]}"


def _keep(file: Path, name: str, machine: str | None) -> None:
    text = f"{name}\n" if machine is None else f"{name}\nmachine {machine}\n"
    write_whole(file, text.encode())


def _set_aside(file: Path) -> Path:
    """Where it is now; nothing that was ever kept is lost."""
    number = 1
    while os.path.lexists(aside := file.with_name(f"{file.name}.set-aside-{number}")):
        number += 1
    return file.rename(aside)


def _read(file: Path) -> _Kept:
    """What the file holds.

    Raises:
        FileNotFoundError: there is none.
        ValueError: what it holds is no name, or cannot be read; it says why.
    """
    try:
        text = read_regular(file, _MOST_BYTES + 1)
    except FileNotFoundError:
        raise
    except OSError as reason:
        raise ValueError((reason.strerror or str(reason)).lower()) from reason
    if len(text) > _MOST_BYTES:
        raise ValueError("it is far too long")
    try:
        first, *rest = text.decode().splitlines() or [""]
    except UnicodeDecodeError as reason:
        raise ValueError("it is not text") from reason
    name = slug(first) if first.isprintable() else ""
    if not name:
        raise ValueError("it is not text" if first.strip() else "it is empty")
    said = [one.removeprefix("machine ").strip() for one in rest if one.startswith("machine ")]
    return _Kept(name, said[0] if said else None)


def _found_again(state_root: Path, machine: str | None) -> str | None:
    """The one name made here under which this very machine wrote before, if it left a trace."""
    if machine is None:
        return None
    names = {
        end.file.removesuffix(".jsonl")
        for kept in state_root.glob(f"*/{OWN_ENDS}")
        for end in own_ends(kept).values()
        if end.machine == machine
    }
    made = [name for name in names if _MADE.fullmatch(name) and name == slug(name)]
    return made[0] if len(made) == 1 else None


def _hashed(identity: str | None) -> str | None:
    """What stands for the machine without naming it."""
    if identity is None:
        return None
    from hashlib import sha256

    return sha256(f"stillroom writer {identity}".encode()).hexdigest()[:16]


def _machine_id() -> str | None:
    """What the system calls this machine, where that is cheap to learn; None elsewhere."""
    for file in _MACHINE_IDS:
        with suppress(OSError, ValueError):
            text = Path(file).read_text(encoding="ascii").strip()
            if re.fullmatch("[0-9a-f]{32}", text):  # empty, or a word, before the first boot
                return text
    return _machine_guid()


if sys.platform == "win32":

    def _machine_guid() -> str | None:
        import winreg

        place, rights = r"SOFTWARE\Microsoft\Cryptography", winreg.KEY_READ | winreg.KEY_WOW64_64KEY
        with suppress(OSError), winreg.OpenKey(winreg.HKEY_LOCAL_MACHINE, place, 0, rights) as key:
            return str(winreg.QueryValueEx(key, "MachineGuid")[0])
        return None
else:

    def _machine_guid() -> str | None:
        return None
