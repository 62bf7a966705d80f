"""The desktop with its buttons: who listens to them, until something is pressed."""

from threading import Thread

from tracker.bench.bench import Bench
from tracker.daemon.notify import DesktopBus, Notice

_LISTEN_S = 3600.0


class AnsweringDesktop:
    """The desktop, with a thread listening to its buttons until the next notice.

    The thread waits for the press while the daemon goes on watching the clock. Its connection
    is closed before the desktop is used again.
    """

    def __init__(self, desktop: DesktopBus, bench: Bench) -> None:
        self._desktop, self._bench = desktop, bench
        self._listener: Thread | None = None

    @property
    def name(self) -> str:
        """The desktop's own name."""
        return self._desktop.name

    def deliver(self, notice: Notice) -> None:
        """Show the notice and wait for its buttons in the background.

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
            # What records is half of the memory that a daemon would take.
            from tracker.daemon.buttons import record_press

            record_press(self._bench.fresh(), pressed, notice.codes.get(pressed, ()))
