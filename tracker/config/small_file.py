"""The text of a small file that people edit: a regular file, of bounded size, in UTF-8."""

import stat
from pathlib import Path

from tracker.journal.regular_file import NotRegularError, read_regular

# A practice with every rule in it is 5 kB.
MOST_BYTES = 256 * 1024

# How an editor marks what it saved, by the first bytes. The longer mark goes first.
_OTHER_ENCODINGS = (
    (b"\xff\xfe\x00\x00", "UTF-32"),
    (b"\x00\x00\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16"),
    (b"\xfe\xff", "UTF-16"),
)
_NO_FILE_THERE = "put a file in its place, or remove it."
_AS_UTF_8 = "save it as UTF-8 (in Notepad: Save as, Encoding: UTF-8)."


class FileError(ValueError):
    """No text can be had of the file; the file is what is wrong, and not a line of it.

    Attributes:
        do: what to do about it.
        line: the line where it is wrong, if there is one to name.
    """

    def __init__(self, why: str, do: str, line: int | None = None) -> None:
        super().__init__(why)
        self.do, self.line = do, line


def text_of(path: Path) -> str:
    """What the file says, without a byte order mark; a pipe or a device is never waited for.

    Raises:
        FileNotFoundError, NotADirectoryError: there is none.
        FileError: it is not a regular file, cannot be read, is too large, or is not text in UTF-8.
    """
    return _decoded(_bytes(path))


def _bytes(path: Path) -> bytes:
    try:
        # Looked at before it is opened: opening alone can wait for a pipe or stir a device.
        _must_be_regular(path.stat().st_mode)
        found = read_regular(path, MOST_BYTES + 1, through_link=True)
    except NotRegularError as reason:  # it was one when it was looked at
        raise FileError("it is not an ordinary file", _NO_FILE_THERE) from reason
    except (FileNotFoundError, NotADirectoryError) as reason:
        if path.is_symlink():
            raise FileError("it is a link that leads nowhere", "put the file there.") from reason
        raise
    except OSError as reason:
        do = "correct the link." if path.is_symlink() else "allow yourself to read it."
        raise FileError(reason.strerror or str(reason), do) from reason
    if len(found) > MOST_BYTES:
        raise FileError(f"it is larger than {MOST_BYTES // 1024} kB", "keep only your rules in it.")
    return found


def _must_be_regular(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise FileError("it is a folder", _NO_FILE_THERE)
    if not stat.S_ISREG(mode):
        raise FileError("it is not an ordinary file", _NO_FILE_THERE)


def _decoded(found: bytes) -> str:
    for mark, name in _OTHER_ENCODINGS:
        if found.startswith(mark):
            raise FileError(f"it is saved as {name}", _AS_UTF_8)
    if b"\0" in found:
        line = found[: found.index(b"\0")].count(b"\n") + 1
        raise FileError("there is a NUL byte in it, which no text has", _AS_UTF_8, line)
    try:
        return found.decode("utf-8-sig")
    except UnicodeDecodeError as reason:
        # Counted in what was decoded, which is without a byte order mark.
        before = reason.object[: reason.start]
        line, byte = before.count(b"\n") + 1, len(before) - before.rfind(b"\n")
        raise FileError(f"byte {byte} of the line is not UTF-8", _AS_UTF_8, line) from reason
