"""The channel that is always there: plain lines on a stream."""

from typing import TextIO

from tracker.daemon.notify.notice import NotDelivered, Notice
from tracker.daemon.notify.safe_text import plain_line, plain_lines


class Terminal:
    """Writes a notice as its title and its body, indented; buttons are left out.

    A terminal has somebody before it. What goes into a file, a pipe or nowhere is written all
    the same, and counts as told only where the maker said that it reaches them.

    Args:
        stream: where to; None where the process was started without it.
        is_read: whether what is printed counts though the stream is no terminal.
    """

    name = "terminal"

    def __init__(self, stream: TextIO | None, *, is_read: bool = False) -> None:
        self._stream, self._is_read = stream, is_read

    def deliver(self, notice: Notice) -> None:
        """Return once the stream was flushed.

        Raises:
            NotDelivered: the stream is closed, refused the text, or is no terminal.
        """
        stream = self._stream
        if stream is None:
            raise NotDelivered(self.name, "there is nothing to print on")
        try:
            stream.write(_encodable(_as_text(notice), stream))
            stream.flush()
        except (OSError, ValueError) as reason:
            raise NotDelivered(self.name, str(reason)) from reason
        if not self._is_read and not is_terminal(stream):
            raise NotDelivered(self.name, "it was printed, but not on a terminal")


def is_terminal(stream: TextIO | None) -> bool:
    """Whether somebody may be sitting before it: one that was hung up is none any more."""
    try:
        return stream is not None and stream.isatty()
    except ValueError:  # it is closed
        return False


def _encodable(text: str, stream: TextIO) -> str:
    """`text` as the stream can carry it: a German name must not stop an ASCII console."""
    encoding = stream.encoding or "utf-8"
    return text.encode(encoding, "backslashreplace").decode(encoding)


def _as_text(notice: Notice) -> str:
    title = plain_line(notice.title)
    lines = [f"! {title}" if notice.urgent else title]
    if notice.body:
        lines += [f"  {line}".rstrip() for line in plain_lines(notice.body)]
    return "\n".join(lines) + "\n"
