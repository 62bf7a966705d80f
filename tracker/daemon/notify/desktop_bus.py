"""The Linux desktop over D-Bus, where the server confirms what it accepted."""

from typing import TYPE_CHECKING

from tracker.daemon.notify.notice import APP_NAME, NotDelivered, Notice
from tracker.daemon.notify.safe_text import as_markup, plain_body, plain_line

if TYPE_CHECKING:
    from tracker.daemon.notify.session_bus import NotificationService


class DesktopBus:
    """The session's notification server. One thread at a time may use it.

    Delivered means the server answered with an id. Ids are remembered by `Notice.key`, so
    that a later notice replaces an earlier one, and forgotten when another server takes
    over: it starts counting again, and an old id could be another program's message.

    Args:
        limit_s: seconds the bus or the server may take over one answer.
    """

    name = "desktop-bus"

    def __init__(self, limit_s: float = 3.0) -> None:
        self._limit_s = limit_s
        self._server: tuple[str, str] | None = None
        self._shown: dict[str, int] = {}
        self._listening: tuple[NotificationService, int] | None = None

    @property
    def listening(self) -> bool:
        """Whether the last notice has buttons that may still be pressed."""
        return self._listening is not None

    def deliver(self, notice: Notice) -> None:
        """Show `notice`; the buttons of the one before it stop working.

        Raises:
            NotDelivered: no bus, no server, an error, or no answer in time.
        """
        self.close()
        try:
            # Costs 30 ms to load, and other systems do not have it.
            from tracker.daemon.notify import session_bus
        except ImportError as reason:
            raise NotDelivered(self.name, str(reason)) from reason
        try:
            service = session_bus.NotificationService(self._limit_s)
            try:
                self._show(service, notice)
            finally:
                if self._listening is None:
                    service.close()
        except session_bus.FAULTS as reason:
            raise NotDelivered(self.name, session_bus.fault_said(reason)) from reason

    def fault(self) -> str | None:
        """Why no notice would be shown now; None where a server answers. Nothing is shown."""
        try:
            from tracker.daemon.notify import session_bus
        except ImportError as reason:
            return str(reason)
        try:
            session_bus.NotificationService(self._limit_s).close()
        except session_bus.FAULTS as reason:
            return session_bus.fault_said(reason)
        return None

    def wait_for_action(self, timeout_s: float) -> str | None:
        """The key of the button pressed on the last notice.

        None when none was pressed within `timeout_s` seconds, and at once when none can be
        any more: closed, no buttons, or the bus gone. `listening` tells the two apart.
        """
        if self._listening is None:
            return None
        from tracker.daemon.notify import session_bus

        service, notice_id = self._listening
        try:
            pressed = service.action_on(notice_id, timeout_s)
        except TimeoutError:
            return None
        except session_bus.FAULTS:
            pressed = None
        self.close()
        return pressed

    def hang_up(self) -> None:
        """End a wait for buttons that another thread is in; safe to call from anywhere."""
        listening = self._listening
        if listening is not None:
            listening[0].hang_up()

    def close(self) -> None:
        """Stop listening for buttons."""
        if self._listening is not None:
            self._listening[0].close()
            self._listening = None

    def _show(self, service: "NotificationService", notice: Notice) -> None:
        if service.identity != self._server:
            self._server = service.identity
            self._shown.clear()
        actions = _buttons(notice) if "actions" in service.capabilities else []
        notice_id = service.notify(
            APP_NAME,
            self._shown.get(notice.key, 0),
            _texts(notice, service.capabilities),
            actions,
            urgent=notice.urgent,
        )
        if notice.key:
            self._shown[notice.key] = notice_id
        if actions:
            self._listening = service, notice_id


def _buttons(notice: Notice) -> list[str]:
    return [plain_line(part) for action in notice.actions for part in action]


def _texts(notice: Notice, capabilities: frozenset[str]) -> tuple[str, str]:
    """Summary and body. Only the body may hold markup; a server may show no body at all."""
    title, body = plain_line(notice.title), plain_body(notice.body)
    if "body" not in capabilities:
        return " · ".join([title, *body.splitlines()]), ""
    return title, as_markup(body) if "body-markup" in capabilities else body
