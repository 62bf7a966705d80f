"""Standard output and error: what cannot be printed is said, and never undoes what is recorded."""

import codecs
import io
import os
import re
import sys
from contextlib import suppress
from typing import TYPE_CHECKING, TextIO

from tracker.cli.screen import columns_of
from tracker.core.values.errors import TrackerError
from tracker.core.values.text import shown, utf16_escapes

if TYPE_CHECKING:
    from _typeshed import ReadableBuffer

# Signs of ours that old code pages lack, each as wide as what stands for it.
_PLAIN = str.maketrans("–—·…×−≈≤≥°“”‘’", "--*.x-~<>'\"\"''")

# What is neither the end of a line, a tab nor one of our own colours.
_UNPRINTED = re.compile("[^\n\t\x1b]+|\x1b(?!\\[(?:0|1|2|3|38;5;29|1;97;41)m)")


class UnprintedError(TrackerError):
    """The answer could not be printed: a full disk, a closed output."""

    def __init__(self, reason: OSError) -> None:
        super().__init__(
            f"The answer could not be printed: {reason.strerror}.",
            where="standard output",
            do="print it where there is room, and ask again.",
        )


# So much of what was printed is known; all of it was, unless there is more.
_MOST_KNOWN = 1 << 17


class _SeenText(io.TextIOWrapper):
    """What is printed: nothing in it works unseen, and no line is wider than the screen."""

    is_data = False

    def write(self, text: str) -> int:
        """Print it with what is unseen in it made seen, but for line ends and our own colours."""
        seen = _UNPRINTED.sub(lambda found: shown(found[0]), text)
        super().write(seen if self.is_data else self._parted(seen))
        return len(text)

    def _parted(self, text: str) -> str:
        """Lines wider than the screen, parted between words; in a pipe only where COLUMNS is set.

        So a script finds a whole message in one line.
        """
        cells = columns_of(self)
        if cells is None or all(len(one) <= cells and one.isascii() for one in text.split("\n")):
            return text
        from tracker.outputs.terminal.wrapping import hung

        return "\n".join("\n".join(hung(one, cells)) for one in text.split("\n"))


def print_data() -> None:
    """Leave every line as it is: what is printed now is read by a program, or kept as a file."""
    if isinstance(sys.stdout, _SeenText):
        sys.stdout.is_data = True


class _Written(io.FileIO):
    """Bytes on their way out; after one refusal the rest is dropped, so that nothing asks twice."""

    is_lost = False
    written = b""

    def write(self, data: "ReadableBuffer") -> int:
        """Write, or say once that it cannot be done."""
        if not self.is_lost:
            try:
                count = super().write(data) or 0
                if len(self.written) <= _MOST_KNOWN:
                    self.written += memoryview(data)[:count]
                return count
            except BrokenPipeError:
                self.is_lost = True
                raise
            except OSError as reason:
                self.is_lost = True
                self.refused(reason)
        return memoryview(data).nbytes

    def refused(self, reason: OSError) -> None:
        """Say that the answer is not printed."""
        raise UnprintedError(reason)


class _Beside(_Written):
    """Standard error: what cannot be said there changes nothing."""

    def write(self, data: "ReadableBuffer") -> int:
        """Write, or drop it."""
        with suppress(BrokenPipeError):
            return super().write(data)
        return memoryview(data).nbytes

    def refused(self, reason: OSError) -> None:
        """Say nothing: there is nowhere to say it."""


def make_sure_of_streams() -> None:
    """Put streams that fail in one known way in place of those that the process was given."""
    codecs.register_error("stillroom", _replaced)
    _fill_closed()
    sys.stdout = _stream(sys.stdout, 1, _Written)
    sys.stderr = _stream(sys.stderr, 2, _Beside)


def printed() -> bytes | None:
    """All that was printed, as long as it is short and nothing was said beside it."""
    out, err = _raw(sys.stdout), _raw(sys.stderr)
    if not isinstance(out, _Written) or not isinstance(err, _Written) or err.written:
        return None
    return out.written if 0 < len(out.written) <= _MOST_KNOWN and not out.is_lost else None


def _raw(stream: TextIO) -> object:
    return getattr(getattr(stream, "buffer", None), "raw", None)


def flush() -> None:
    """Print what is not printed yet.

    Raises:
        UnprintedError: it cannot be.
        BrokenPipeError: its reader went away.
    """
    sys.stdout.flush()
    sys.stderr.flush()


def _fill_closed() -> None:
    """Open nothing on a closed stream, or the next file that is opened would be printed into."""
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            opened = os.open(os.devnull, os.O_RDONLY)  # the lowest number that is free: this one
            os.set_inheritable(opened, True)
    if sys.stdin is None:
        sys.stdin = open(0, closefd=False)  # noqa: SIM115  # stays as long as the process


def _stream(given: TextIO | None, number: int, kind: type[_Written]) -> TextIO:
    if given is not None and not _is_the_systems(given, number):
        return given
    encoding = "utf-8" if given is None else given.encoding
    with suppress(LookupError):
        # The command's own writer takes a bare ASCII for a system that names no encoding.
        encoding = "utf-8" if codecs.lookup(encoding).name == "ascii" else encoding
    if os.name == "nt" and isinstance(given, io.TextIOWrapper):
        given.reconfigure(errors="stillroom")  # its console takes no bytes
        return given
    raw = kind(number, "w", closefd=False)
    return _SeenText(
        io.BufferedWriter(raw),
        encoding,
        errors="stillroom",
        line_buffering=raw.isatty() or number == 2,
    )


def _is_the_systems(given: TextIO, number: int) -> bool:
    """Whether it is the stream the process was begun with, and not one a test put there."""
    return given is (sys.__stdout__ if number == 1 else sys.__stderr__)


def _replaced(reason: UnicodeError) -> tuple[str, int]:
    """What stands for letters that the encoding lacks: a plain sign, or their numbers."""
    assert isinstance(reason, UnicodeEncodeError)
    lost = reason.object[reason.start : reason.end]
    plain = lost.translate(_PLAIN)
    return "".join(one if one < "\x7f" else utf16_escapes(one) for one in plain), reason.end
