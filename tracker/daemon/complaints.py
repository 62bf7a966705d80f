"""What a daemon has to complain of, in its log: each once, and never so much that the log grows."""

import logging
from collections.abc import Callable
from time import monotonic

from tracker.daemon.notify.safe_text import plain_body

# A state that comes and goes, or a message with another number in it each time, may not fill
# a disk: so many lines in so long.
MOST = 20
WITHIN_S = 24 * 3600.0
MOST_LETTERS = 4000

_log = logging.getLogger("stillroom")


class Complaints:
    """Says what is wrong once for as long as it stays the same.

    Args:
        seconds: a clock that is never set; the wall clock may be what is wrong.
    """

    def __init__(self, seconds: Callable[[], float] = monotonic) -> None:
        self._seconds = seconds
        self.last = ""
        self._said_at: list[float] = []

    def complain(self, complaint: str, *, with_traceback: bool = False) -> None:
        """Log a complaint unless it is the last one, or there were too many."""
        complaint = plain_body(complaint)[:MOST_LETTERS]
        if complaint == self.last:
            return
        self.last = complaint
        now = self._seconds()
        self._said_at = [at for at in self._said_at if now - at < WITHIN_S]
        if len(self._said_at) > MOST:
            return
        self._said_at.append(now)
        if len(self._said_at) > MOST:
            _log.warning("the trouble comes and goes; no more of it is logged today")
        elif with_traceback:
            _log.exception("%s", complaint)
        else:
            _log.warning("%s", complaint)

    def settled(self) -> None:
        """All is well: the same complaint would be news."""
        self.last = ""
