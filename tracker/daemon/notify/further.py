"""Channels beyond the desktop, by apprise: mail, a phone, a chat. Their addresses are secrets.

The practice names a channel; its address is outside the book, in the environment or in a file
of the configuration folder, so that a book can be shared without it.
"""

import os
import re
import stat
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

import platformdirs
from pydantic import SecretStr, TypeAdapter, ValidationError

from tracker.daemon.notify.apart import Answer, do_apart
from tracker.daemon.notify.notice import NotDelivered, Notice
from tracker.daemon.notify.safe_text import plain_body, plain_line
from tracker.journal.regular_file import opened_regular

FILE = "channels.toml"
LIMIT_S = 30.0
_MOST_BYTES = 100_000
# A secret is not shown by what prints, logs or raises it.
_ADDRESSES = TypeAdapter(dict[str, SecretStr])


def addresses_file() -> Path:
    """Where addresses are kept that are not in the environment."""
    return Path(platformdirs.user_config_dir("stillroom", appauthor=False)) / FILE


def variable(name: str) -> str:
    """The environment variable that holds the address of a channel."""
    return f"STILLROOM_CHANNEL_{re.sub(r'[^A-Z0-9]', '_', name.upper())}"


def address_of(name: str) -> SecretStr:
    """The address of a channel.

    Raises:
        LookupError: it is nowhere, or where others can read it; the message says what to do,
            and nothing of what the file holds.
    """
    if address := os.environ.get(variable(name)):
        return SecretStr(address)
    file, written = addresses_file(), None
    try:
        written = _addresses(file).get(name)
    except FileNotFoundError:
        pass
    except OSError as reason:
        raise LookupError(f"{file} cannot be read: {reason.strerror}") from None
    except ValidationError:  # a ValueError too, which says more of the file than anybody may see
        raise LookupError(f"{file}: something in it is not an address, which is text") from None
    except (ValueError, RecursionError):  # what the parser says quotes from the file
        raise LookupError(f"{file} cannot be read: it is not TOML in UTF-8") from None
    if not written:
        raise LookupError(f"it has no address: set {variable(name)}, or write it in {file}")
    return written


def _addresses(file: Path) -> dict[str, SecretStr]:
    """What the file says, a link followed to where it leads.

    Raises:
        LookupError: others can read it or change it, or it is no file of addresses.
        OSError, ValueError, RecursionError: it cannot be read.
    """
    import tomllib

    with opened_regular(file, through_link=True) as stream:
        seen = os.fstat(stream.fileno())
        if os.name == "posix" and seen.st_uid != os.geteuid():
            raise LookupError(f"{file} belongs to somebody else: make one of your own")
        if os.name == "posix" and stat.S_IMODE(seen.st_mode) & 0o077:
            raise LookupError(f"others can read {file}: chmod 600 it")
        contents = stream.read(_MOST_BYTES + 1)
    if len(contents) > _MOST_BYTES:
        raise LookupError(f"{file} is too long for a file of addresses")
    return _ADDRESSES.validate_python(tomllib.loads(contents.decode()))


class Further:
    """One named channel of the maker's own. Its address never appears in a message of ours."""

    def __init__(
        self,
        name: str,
        *,
        find_address: Callable[[str], SecretStr] = address_of,
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
            NotDelivered: no apprise, address or service, it refused, or did not answer in time.
        """
        if find_spec("apprise") is None:
            why = "apprise is not installed: pipx inject stillroom apprise"
            raise NotDelivered(self.name, why)
        try:
            address = self._find_address(self.name)
        except LookupError as reason:
            raise NotDelivered(self.name, str(reason)) from reason
        title = plain_line(notice.title)
        given: dict[str, str | bool] = {
            "address": address.get_secret_value(),
            "title": title,
            "body": plain_body(notice.body) or title,
            "urgent": notice.urgent,
        }
        answer = do_apart("apprise", given, self._limit_s)
        if answer.outcome != "taken":
            raise NotDelivered(self.name, self._words(answer))

    def _words(self, answer: Answer) -> str:
        match answer.outcome:
            case "not understood":
                return "its address is not one that apprise understands"
            case "no answer in time":
                return f"no answer within {self._limit_s:g} s"
            case "failed":
                return f"apprise failed with it: {answer.why}"
            case "ended":
                return "apprise ended without an answer"
            case _:
                return "the service did not take it"
