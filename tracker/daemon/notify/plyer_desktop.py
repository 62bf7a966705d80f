"""The desktop through plyer: macOS and Windows, and a second way on Linux."""

import shutil
import sys
from pathlib import Path

from tracker.daemon.notify.apart import do_apart
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

    def deliver(self, notice: Notice) -> None:
        """Return once plyer's call has come back without complaint, in a process apart.

        Raises:
            NotDelivered: no server, plyer raised or ended, or it did not come back in time.
        """
        title, body = _safe_texts(notice)
        try:
            work, title, body = {"win32": _balloon, "darwin": _notification_centre}.get(
                self._platform, self._notify_send
            )(title, body)
        except RuntimeError as reason:
            raise NotDelivered(self.name, str(reason)) from reason
        given = {"title": title, "body": body, "app": APP_NAME, "seconds": str(_BALLOON_S)}
        answer = do_apart(work, given, self._limit_s)
        if answer.outcome == "no answer in time":
            raise NotDelivered(self.name, f"plyer did not come back within {self._limit_s:g} s")
        if answer.outcome != "taken":
            raise NotDelivered(self.name, answer.why or "plyer ended without an answer")

    def _notify_send(self, title: str, body: str) -> tuple[str, str, str]:
        from tracker.daemon.notify import session_bus

        if Path("/app").is_dir():
            raise RuntimeError("plyer's way out of a Flatpak hides whether it worked")
        if shutil.which("notify-send") is None:
            raise RuntimeError("notify-send is not installed")
        try:
            service = session_bus.NotificationService(self._limit_s / 2)
        except session_bus.FAULTS as reason:
            raise RuntimeError(session_bus.fault_said(reason)) from reason
        service.close()
        if "body-markup" in service.capabilities:
            body = as_markup(body)
        # notify-send reads backslashes in the body, and only there, as in C.
        body = _never_an_option(body.replace("\\", "\\\\"))
        return "notify-send", _never_an_option(title), body


def cut_to_units(text: str, units: int) -> str:
    """`text` cut after a word, with an ellipsis, to at most `units` UTF-16 units (2 bytes each)."""
    if _utf16_units(text) <= units:
        return text
    whole = text
    while _utf16_units(text) > units - 1:
        text = text[: units - 1] if len(text) >= units else text[:-1]
    is_in_word = not (whole[len(text)].isspace() or text[-1:].isspace())
    if is_in_word and len(words := text.rsplit(maxsplit=1)) > 1:
        text = words[0]
    return text.rstrip() + "…"


def _utf16_units(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2


def _safe_texts(notice: Notice) -> tuple[str, str]:
    title = plain_line(notice.title).strip() or APP_NAME
    return f"! {title}" if notice.urgent else title, plain_body(notice.body)


def _never_an_option(text: str) -> str:
    """`text` as `notify-send` cannot mistake it for one of its own switches."""
    return f" {text}" if text.startswith("-") else text


def _balloon(title: str, body: str) -> tuple[str, str, str]:
    return "balloon", cut_to_units(title, TITLE_UNITS), cut_to_units(body, BODY_UNITS)


def _notification_centre(title: str, body: str) -> tuple[str, str, str]:
    return "notification centre", title, body
