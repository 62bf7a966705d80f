"""Who records: the person named, the one named earlier this evening, or the one of `begin`."""

from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec

from tracker.bench.own_settings import PERSON, setting, setting_file
from tracker.core.values.errors import MisusedError
from tracker.journal.regular_file import read_regular
from tracker.journal.whole_file import make_folder, write_whole

ME = "me"

_FILE = "by"
_MOST_BYTES = 1000
# A day at the bench is over by then, and the next one is another day.
_AN_EVENING = timedelta(hours=6)
_NIGHT = timedelta(hours=4)


class Remembered(msgspec.Struct, frozen=True):
    """The person that was named last, and when."""

    name: str
    at: datetime


def own_person() -> str | None:
    """The person that `begin` was told; None where it was told none, or that cannot be read."""
    try:
        return setting(PERSON)
    except ValueError:
        return None


def named(given: str) -> str:
    """The person a name stands for: `me` is the one of `begin`.

    Raises:
        MisusedError: it is `me`, and nobody said who that is.
    """
    if given != ME:
        return given
    if (person := own_person()) is None:
        raise MisusedError(
            "Nobody has said who `me` is.",
            where=setting_file(PERSON),
            do="say it once with `stillroom begin --me NAME`, or name the person here.",
        )
    return person


def remembered(state: Path, now: datetime) -> Remembered | None:
    """The person named on this evening, as far as it is still the same one."""
    with suppress(OSError, ValueError):
        text = read_regular(state / _FILE, _MOST_BYTES).decode()
        name, _, at = text.removesuffix("\n").partition("\n")
        then = datetime.fromisoformat(at).astimezone(now.tzinfo)
        is_same_day = (then - _NIGHT).date() == (now - _NIGHT).date()
        if name and is_same_day and timedelta(0) <= now - then < _AN_EVENING:
            return Remembered(name, then)
    return None


def remember(state: Path, name: str, now: datetime) -> None:
    """Keep who was named, for the commands of this evening; the person of `begin` ends that.

    Raises:
        OSError: the disk refused.
    """
    if name == own_person():
        (state / _FILE).unlink(missing_ok=True)
    elif "\n" not in name:
        make_folder(state)
        write_whole(state / _FILE, f"{name}\n{now.astimezone(UTC).isoformat()}\n".encode())
