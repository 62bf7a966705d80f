"""Channels beyond the desktop, by apprise: mail, a phone, a chat. Their addresses are secrets.

The practice names a channel; its address is outside the book, in the environment or in a file
of the configuration folder, so that a book can be shared without it.
"""

import os
import re
import stat
from collections.abc import Callable
from pathlib import Path
from threading import Thread

import platformdirs

from tracker.daemon.notify.notice import NotDelivered, Notice
from tracker.daemon.notify.safe_text import plain_body, plain_line

FILE = "channels.toml"
LIMIT_S = 30.0


def addresses_file() -> Path:
    """Where addresses are kept that are not in the environment."""
    return Path(platformdirs.user_config_dir("stillroom", appauthor=False)) / FILE


def variable(name: str) -> str:
    """The environment variable that holds the address of a channel."""
    return f"STILLROOM_CHANNEL_{re.sub(r'[^A-Z0-9]', '_', name.upper())}"


def address_of(name: str) -> str:
    """The address of a channel.

    Raises:
        LookupError: it is nowhere, or where others can read it; the message says what to do.
    """
    if address := os.environ.get(variable(name)):
        return address
    file = addresses_file()
    try:
        if os.name == "posix" and stat.S_IMODE(file.stat().st_mode) & 0o077:
            raise LookupError(f"others can read {file}: chmod 600 it")
        import tomllib

        address = tomllib.loads(file.read_text(encoding="utf-8")).get(name)
    except FileNotFoundError:
        address = None
    except (OSError, ValueError) as reason:
        raise LookupError(f"{file} cannot be read: {reason}") from reason
    if not isinstance(address, str):
        raise LookupError(f"it has no address: set {variable(name)}, or write it in {file}")
    return address


class Further:
    """One named channel of the maker's own. Its address never appears in a message of ours."""

    def __init__(
        self,
        name: str,
        *,
        find_address: Callable[[str], str] = address_of,
        limit_s: float = LIMIT_S,
    ) -> None:
        self._name, self._find_address, self._limit_s = name, find_address, limit_s

    @property
    def name(self) -> str:
        """What the practice calls it."""
        return self._name

    def deliver(self, notice: Notice) -> None:
        """Return once the service has taken it.

        Raises:
            NotDelivered: no apprise, address or service, it refused, or it did not answer in time.
        """
        try:
            import apprise
        except ImportError as reason:
            why = "apprise is not installed: pipx inject stillroom apprise"
            raise NotDelivered(self.name, why) from reason
        try:
            address = self._find_address(self.name)
        except LookupError as reason:
            raise NotDelivered(self.name, str(reason)) from reason
        service = apprise.Apprise()
        if not service.add(address):
            raise NotDelivered(self.name, "its address is not one that apprise understands")
        urgent = apprise.NotifyType.WARNING if notice.urgent else apprise.NotifyType.INFO
        taken: list[bool] = []

        def send() -> None:
            answer = service.notify(
                title=plain_line(notice.title),
                body=plain_body(notice.body) or plain_line(notice.title),
                notify_type=urgent,
                body_format=apprise.NotifyFormat.TEXT,
            )
            taken.append(bool(answer))

        thread = Thread(target=send, name=self.name, daemon=True)
        thread.start()
        thread.join(self._limit_s)
        if not taken:
            raise NotDelivered(self.name, f"no answer within {self._limit_s:g} s")
        if not taken[0]:
            raise NotDelivered(self.name, "the service did not take it")
