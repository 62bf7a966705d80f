"""The channel that is always there: plain lines on a stream."""

from typing import TextIO

from tracker.daemon.notify.notice import NotDelivered, Notice
from tracker.daemon.notify.safe_text import plain_line, plain_lines


class Terminal:
    """Writes a notice as its title and its body, indented; buttons are left out."""

    name = "terminal"

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def deliver(self, notice: Notice) -> None:
        """Return once the stream was flushed.

        Raises:
            NotDelivered: the stream is closed, or refused the text.
        """
        try:
            self._stream.write(self._encodable(_as_text(notice)))
            self._stream.flush()
        except (OSError, ValueError) as reason:
            raise NotDelivered(self.name, str(reason)) from reason

    def _encodable(self, text: str) -> str:
        """`text` as the stream can carry it: a German name must not stop an ASCII console."""
        encoding = self._stream.encoding or "utf-8"
        return text.encode(encoding, "backslashreplace").decode(encoding)


def _as_text(notice: Notice) -> str:
    title = plain_line(notice.title)
    lines = [f"! {title}" if notice.urgent else title]
    if notice.body:
        lines += [f"  {line}".rstrip() for line in plain_lines(notice.body)]
    return "\n".join(lines) + "\n"
