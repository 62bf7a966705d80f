"""The only reader of the time."""

import time
from datetime import UTC, datetime, timedelta, tzinfo

TYPE_CHECKING = False  # typing loads as slowly as all the rest of this
if TYPE_CHECKING:  # an answer that is at hand needs the time, and no error
    from tracker.core.values.errors import TrackerError


class SystemZone(tzinfo):
    """The zone this machine is set to, with its rules for every date."""

    def utcoffset(self, moment: datetime | None) -> timedelta | None:
        """The offset from UTC in force at that local time."""
        if moment is None:
            return None
        return moment.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, moment: datetime | None) -> timedelta | None:
        """Not told apart from the offset."""
        return None

    def tzname(self, moment: datetime | None) -> str | None:
        """The name the system gives it at that time."""
        return moment.replace(tzinfo=None).astimezone().tzname() if moment else None

    def fromutc(self, moment: datetime) -> datetime:
        """The local time of an instant given in UTC."""
        return moment.replace(tzinfo=UTC).astimezone().replace(tzinfo=self)


def zone(name: str | None) -> tzinfo:
    """The zone of that name in the tz database, or the system's where none is named."""
    if name is None:
        return SystemZone()
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as reason:
        from tracker.core.values.errors import PracticeError

        raise PracticeError(
            f"There is no time zone {name!r}.",
            where="practice.toml, zone",
            do="write it like Europe/Berlin, or leave it out for the system's own.",
        ) from reason


def is_readable() -> bool:
    """Whether Python can read this machine's clock: beyond 2262 it fails wherever it tries."""
    try:
        time.time()
    except OverflowError:  # more nanoseconds than 64 bits hold
        return False
    return True


def must_be_sound() -> None:
    """Raise TrackerError where nothing can be dated by this machine's clock."""
    if not is_readable():
        raise _unsound("beyond the year 2262")
    if time.time() < 0:
        raise _unsound("before the year 1970")


def _unsound(stands: str) -> "TrackerError":
    from tracker.core.values.errors import TrackerError

    return TrackerError(
        f"The clock of this machine is set {stands}.",
        where="the time of the system; nothing was recorded",
        do="set it right, then repeat the command.",
    )


def nanoseconds() -> int:
    """The present, in nanoseconds since 1970 in UTC."""
    return time.time_ns()


def now(where: tzinfo) -> datetime:
    """The present, in the maker's zone."""
    return datetime.now(where)
