"""The desktop through plyer: macOS and Windows, and a second way on Linux."""

import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Thread

from tracker.daemon.notify.notice import APP_NAME, NotDelivered, Notice
from tracker.daemon.notify.safe_text import as_markup, plain_body, plain_line

# Room in the Windows structure NOTIFYICONDATAW (shellapi.h, from memory): szInfoTitle[64] and
# szInfo[256], in UTF-16 units and with the closing NUL. Longer text makes plyer raise.
TITLE_UNITS = 63
BODY_UNITS = 255

_BALLOON_S = 5


class PlyerDesktop:
    """Notices through plyer, with its silent failures closed as far as it lets us.

    plyer's front door catches and prints what goes wrong in its back rooms, so the back
    rooms are called directly. It knows neither urgency nor replacing nor buttons; an urgent
    title is marked with `! `.

    On Linux (tested): refused unless a notification server answers on the session bus and
    `notify-send` is there. plyer does not look at the exit code of `notify-send`, so a
    server that dies in that very moment goes unseen.

    On Windows and macOS: written from plyer's source and never run there. Windows shows a
    balloon for a few seconds and `deliver` returns when it has gone. macOS needs pyobjus,
    and recent systems give no notification centre to a bare Python, which raises.

    Args:
        limit_s: seconds a call may take before it counts as not delivered; a balloon is up
            for 5 of them.
        platform: as `sys.platform` names it.
    """

    name = "plyer"

    def __init__(self, limit_s: float = 10.0, platform: str = sys.platform) -> None:
        self._limit_s = limit_s
        self._platform = platform
        self._call: Thread | None = None

    def deliver(self, notice: Notice) -> None:
        """Return once plyer's call has come back without complaint.

        Raises:
            NotDelivered: no server, plyer raised, or it did not come back in time. A call
                that is still stuck is not joined by another.
        """
        if self._call is not None and self._call.is_alive():
            raise NotDelivered(self.name, "an earlier notification is still held up")
        title, body = _safe_texts(notice)
        show = {"win32": _balloon, "darwin": _notification_centre}.get(self._platform, _notify_send)
        failures = self._bounded(lambda: show(title, body, self._limit_s))
        if failures:
            raise NotDelivered(self.name, _said(failures[0])) from failures[0]

    def _bounded(self, show: Callable[[], None]) -> list[Exception]:
        """What `show` raised, or a TimeoutError after `limit_s` seconds."""
        failures: list[Exception] = []

        def run() -> None:
            try:
                show()
            except Exception as reason:  # plyer raises bare Exception
                failures.append(reason)

        self._call = Thread(target=run, name="plyer", daemon=True)
        self._call.start()
        self._call.join(self._limit_s)
        if self._call.is_alive():
            return [TimeoutError(f"plyer did not come back within {self._limit_s:g} s")]
        return failures


def _said(failure: Exception) -> str:
    return str(failure) or type(failure).__name__


def cut_to_units(text: str, units: int) -> str:
    """`text` cut, with an ellipsis, to at most `units` UTF-16 units (2 bytes each)."""
    if _utf16_units(text) <= units:
        return text
    while _utf16_units(text) > units - 1:
        text = text[: units - 1] if len(text) >= units else text[:-1]
    return text.rstrip() + "…"


def _utf16_units(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2


def _safe_texts(notice: Notice) -> tuple[str, str]:
    title = plain_line(notice.title).strip() or APP_NAME
    return f"! {title}" if notice.urgent else title, plain_body(notice.body)


def _never_an_option(text: str) -> str:
    """`text` as `notify-send` cannot mistake it for one of its own switches."""
    return f" {text}" if text.startswith("-") else text


def _notify_send(title: str, body: str, limit_s: float) -> None:
    from tracker.daemon.notify import session_bus

    if Path("/app").is_dir():
        raise RuntimeError("plyer's way out of a Flatpak hides whether it worked")
    if shutil.which("notify-send") is None:
        raise RuntimeError("notify-send is not installed")
    try:
        service = session_bus.NotificationService(limit_s / 2)
    except session_bus.FAULTS as reason:
        raise RuntimeError(session_bus.fault_said(reason)) from reason
    service.close()
    # plyer.notification would warn about a missing python-dbus, and choose by what it finds.
    from plyer.platforms.linux.notification import NotifySendNotification

    if "body-markup" in service.capabilities:
        body = as_markup(body)
    NotifySendNotification().notify(
        title=_never_an_option(title),
        # notify-send reads backslashes in the body, and only there, as in C.
        message=_never_an_option(body.replace("\\", "\\\\")),
        app_name=APP_NAME,
    )


def _balloon(title: str, body: str, _limit_s: float) -> None:
    # plyer.notification would start a thread of its own, where an exception goes unseen.
    from plyer.platforms.win.libs.balloontip import balloon_tip

    balloon_tip(
        title=cut_to_units(title, TITLE_UNITS),
        message=cut_to_units(body, BODY_UNITS),
        app_name=APP_NAME,
        timeout=_BALLOON_S,
    )


def _notification_centre(title: str, body: str, _limit_s: float) -> None:
    from plyer.platforms.macosx.notification import instance

    instance().notify(title=title, message=body, app_name=APP_NAME)
