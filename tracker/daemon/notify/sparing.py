"""A channel that costs a process each time it is tried, tried less often while it fails."""

from tracker.daemon.notify.notice import NotDelivered, Notice, Notifier

# With a heartbeat of 30 s, nine and a half minutes.
MOST_LEFT_OUT = 19


class Sparing:
    """Left out of 1, 3, 7, then 15 and 19 digests in a row, each time that it has failed again."""

    def __init__(self, channel: Notifier) -> None:
        self._channel = channel
        self._failures = 0
        self._left_out = 0
        self._why = ""

    @property
    def name(self) -> str:
        """The channel's own name."""
        return self._channel.name

    def deliver(self, notice: Notice) -> None:
        """Have the channel deliver, unless it is left out this time.

        Raises:
            NotDelivered: as the channel says, or said when it was tried last.
        """
        if self._left_out > 0:
            self._left_out -= 1
            raise NotDelivered(self.name, self._why)
        try:
            self._channel.deliver(notice)
        except NotDelivered as reason:
            self._failures += 1
            self._left_out = min(2 ** min(self._failures, 8) - 1, MOST_LEFT_OUT)
            self._why = reason.why
            raise
        self._failures = 0
