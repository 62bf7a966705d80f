"""The notification service on the session bus, over jeepney; imported only where it is used.

Source: Desktop Notifications Specification 1.2 (freedesktop.org) and D-Bus Specification.
"""
# jeepney ships no types.
# mypy: disable-error-code="import-untyped"

import os
import socket
import struct
from contextlib import suppress
from pathlib import Path

from jeepney import (
    DBusAddress,
    DBusErrorResponse,
    HeaderFields,
    MatchRule,
    Message,
    message_bus,
    new_method_call,
)
from jeepney.bus import get_connectable_addresses
from jeepney.io.blocking import DBusConnection, prep_socket
from jeepney.wrappers import unwrap_msg

_NAME = "org.freedesktop.Notifications"
_PATH = "/org/freedesktop/Notifications"
_SERVICE = DBusAddress(_PATH, bus_name=_NAME, interface=_NAME)

# Everything a missing, frozen, dying or nonsensical bus or server makes jeepney raise.
FAULTS = (OSError, ValueError, LookupError, RuntimeError, struct.error, DBusErrorResponse)


def fault_said(fault: Exception) -> str:
    """`fault` in words for the maker."""
    match fault:
        case DBusErrorResponse():
            words = [part for part in fault.data if isinstance(part, str)]
            return " ".join([f"{fault.name}:", *words]) if words else str(fault.name)
        case TimeoutError():
            return "no answer from the session bus or its notification server in time"
        case OSError():
            return f"the session bus cannot be reached: {fault.strerror or fault}"
        case _:
            return str(fault) or type(fault).__name__


def _socket_path() -> str:
    """Where the session bus listens, by the environment.

    Raises:
        LookupError: the environment names no session bus.
    """
    if address := os.environ.get("DBUS_SESSION_BUS_ADDRESS"):
        path: str = next(get_connectable_addresses(address))
        return path
    if runtime := os.environ.get("XDG_RUNTIME_DIR"):
        return str(Path(runtime) / "bus")
    raise LookupError("the environment names no session bus")


class _Connection(DBusConnection):  # type: ignore[misc]  # jeepney ships no types
    """A connection on which no call waits for ever; jeepney gives its first one no limit."""

    def __init__(self, sock: socket.socket, limit_s: float) -> None:
        self._limit_s = limit_s
        super().__init__(sock)

    def send_and_get_reply(self, message: Message, *, timeout: float | None = None) -> Message:
        limit_s = self._limit_s if timeout is None else timeout
        return super().send_and_get_reply(message, timeout=limit_s)


def _connect(limit_s: float) -> _Connection:
    sock = prep_socket(_socket_path(), timeout=limit_s)
    try:
        sock.settimeout(limit_s)  # a full bus must not hold up a send either
        return _Connection(sock, limit_s)
    except BaseException:
        sock.close()
        raise


class _AboutNotice(MatchRule):  # type: ignore[misc]  # jeepney ships no types
    """What the server itself says about one notice: a button pressed, or closed."""

    def __init__(self, owner: str, notice_id: int) -> None:
        super().__init__(type="signal", sender=owner, interface=_NAME, path=_PATH)
        self._notice_id = notice_id

    def matches(self, message: Message) -> bool:
        return (
            super().matches(message)
            and message.header.fields[HeaderFields.member]
            in ("ActionInvoked", "NotificationClosed")
            and message.body[:1] == (self._notice_id,)
        )


class NotificationService:
    """The server that answers for desktop notifications, seen through one connection.

    Args:
        limit_s: seconds any single step may take before it counts as failed.

    Raises:
        FAULTS: no bus, no server (none could be started either), or no answer in time.
    """

    def __init__(self, limit_s: float) -> None:
        self._bus = _connect(limit_s)
        try:
            # Asked first, because this is the call that starts a server on demand.
            self.capabilities = self._capabilities()
            self._owner = str(self._ask(message_bus.GetNameOwner(_NAME))[0])
            bus_id = str(self._ask(message_bus.GetId())[0])
        except BaseException:
            self.close()
            raise
        self.identity = (bus_id, self._owner)

    def notify(
        self,
        app_name: str,
        replaces_id: int,
        texts: tuple[str, str],
        actions: list[str],
        *,
        urgent: bool,
    ) -> int:
        """The id the server gave to the notice with `texts` (summary, body).

        Raises:
            FAULTS: the server refused it, or did not answer with an id.
        """
        if actions:  # some servers send signals to all, and only to those who asked
            self._ask(message_bus.AddMatch(MatchRule(type="signal", sender=_NAME, path=_PATH)))
        hints = {"urgency": ("y", 2 if urgent else 1)}
        default_expiry = -1
        body = (app_name, replaces_id, "", *texts, actions, hints, default_expiry)
        reply = self._ask(new_method_call(_SERVICE, "Notify", "susssasa{sv}i", body))
        match reply:
            case (int(notice_id),) if notice_id > 0:
                return notice_id
            case _:
                raise ValueError(f"the notification server answered {reply!r}, not an id")

    def action_on(self, notice_id: int, timeout_s: float) -> str | None:
        """The key of the button pressed on a notice, or None when it was closed.

        Raises:
            TimeoutError: neither happened in `timeout_s` seconds.
            FAULTS: the bus went away.
        """
        with self._bus.filter(_AboutNotice(self._owner, notice_id)) as found:
            message = self._bus.recv_until_filtered(found, timeout=timeout_s)
        if message.header.fields[HeaderFields.member] == "NotificationClosed":
            return None
        return str(message.body[1])

    def hang_up(self) -> None:
        """Wake everything that waits on this connection: it has ended."""
        with suppress(OSError):
            self._bus.sock.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        """Close the connection; what was shown stays, but its buttons no longer work."""
        self._bus.close()

    def _ask(self, call: Message) -> tuple[object, ...]:
        body: tuple[object, ...] = unwrap_msg(self._bus.send_and_get_reply(call))
        return body

    def _capabilities(self) -> frozenset[str]:
        match self._ask(new_method_call(_SERVICE, "GetCapabilities")):
            case (list(words),):
                return frozenset(map(str, words))
            case reply:
                raise ValueError(f"the notification server answered {reply!r}, not a list")
