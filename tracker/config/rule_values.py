"""A value of practice.toml as the rule it stands for; ValueError says what it needs to be."""

import re
from collections.abc import Callable
from datetime import time
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from tracker.core.shelf.spell import STRONG_PCT_VOL
from tracker.core.values.text import is_plain, shown
from tracker.core.values.times import Period, parse_period

# Longer than any text of a rule but a path; what reads one may look at it many times.
LONGEST_TEXT = 200
_LONGEST_PATH = 4096
# Names of the tz database: at most 14 characters a part by its own rule, "Theory and pragmatics
# of the tz code and data" (from memory); and nothing that leads to another folder.
_ZONE = re.compile(r"[A-Za-z][A-Za-z0-9_+-]{0,30}(?:/[A-Za-z0-9_+-]{1,30}){0,3}")
_MOST_SHOWN = 60


def quoted(value: object) -> str:
    """A value or a name as a message may repeat it: on one line, safe, and short."""
    match value:
        case list() | dict():
            return f"a {'list' if isinstance(value, list) else 'table'} of {len(value)}"
        case int() if value.bit_length() > 64:
            return "a number of more than 19 digits"
        case str():
            cut = value if len(value) <= _MOST_SHOWN else f"{value[:_MOST_SHOWN]}…"
            return repr(shown(cut)).replace("\\\\", "\\")
        case _:
            return shown(str(value))


def name_shown(name: str) -> str:
    """The name of a table or key as a message may repeat it."""
    return shown(name if len(name) <= _MOST_SHOWN else f"{name[:_MOST_SHOWN]}…")


def text(value: object) -> str:
    """The text of a value that is one."""
    if not isinstance(value, str):
        raise ValueError("it needs a text in quotes")
    if len(value) > LONGEST_TEXT:
        raise ValueError(f"it needs a text of at most {LONGEST_TEXT} characters")
    return value


def period(value: object) -> Period:
    """A span such as `28d`."""
    return parse_period(text(value))


def period_or_none(value: object) -> Period | None:
    """The same, or `none`."""
    return None if text(value).strip().lower() in ("none", "never") else period(value)


def look_days(value: object) -> tuple[int, ...]:
    """`1d, 7d`, or `none`."""
    if text(value).strip().lower() in ("none", "never", ""):
        return ()
    periods = [parse_period(part) for part in text(value).split(",")]
    if any(one.months or one.days < 1 for one in periods):
        raise ValueError("it needs days such as 1d, 7d")
    return tuple(sorted({one.days for one in periods}))


def time_of_day(value: object) -> time:
    """`08:00`, as a text or as TOML writes a time."""
    try:
        found = value if isinstance(value, time) else time.fromisoformat(text(value))
        if found.tzinfo is not None:
            raise ValueError("with a zone")
    except ValueError as reason:
        raise ValueError("it needs a time such as 08:00") from reason
    return found


def pct_vol(value: object) -> float:
    """`20 %`, or the bare number."""
    written = str(value) if isinstance(value, float) or _is_short(value) else ""
    written = written.removesuffix("%").strip()
    if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,20})?", written) or not 0 <= float(written) <= 100:
        raise ValueError("it needs a strength of 0 to 100 % vol")
    if 0 < float(written) < 1:
        raise ValueError("it needs a strength of 1 to 100 % vol, or 0: write 20 %, not 0.2")
    return float(written)


def _is_short(value: object) -> bool:
    """Whether it is a text or a whole number that can be written out at once."""
    if isinstance(value, bool):
        return False
    return isinstance(value, str) or (isinstance(value, int) and value.bit_length() <= 64)


def warn_below(value: object) -> float:
    """The same, within what the book keeps account of."""
    found = pct_vol(value)
    if found > STRONG_PCT_VOL:
        raise ValueError(f"it needs a strength of 0 to {STRONG_PCT_VOL:g} % vol")
    return found


def zone(value: object) -> str:
    """The name of a zone that there is."""
    name = text(value)
    try:
        if not _ZONE.fullmatch(name):
            raise ValueError("not a name")
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as reason:
        raise ValueError("it needs the name of a time zone such as Europe/Berlin") from reason
    return name


def currency(value: object) -> str:
    """`EUR`, `€` or whatever the maker's money is called; only shown beside amounts."""
    found = text(value).strip()
    if not is_plain(found) or len(found) > 12:
        raise ValueError("it needs a short text such as EUR")
    return found


def channels(value: object) -> tuple[str, ...]:
    """`desktop, mail`: names only, since addresses are secrets and the book is shared."""
    names = tuple(part.strip() for part in text(value).split(","))
    if not all(re.fullmatch(r"[a-z][a-z0-9-]{0,30}", name) for name in names):
        raise ValueError("it needs names such as desktop, mail, and no address among them")
    return tuple(dict.fromkeys(names))


def folder(value: object) -> str | None:
    """`~/Synced/stillroom`, or one within the book's folder, or `none`."""
    found = value.strip() if isinstance(value, str) else text(value)
    if not found or len(found) > _LONGEST_PATH or "\0" in found:
        raise ValueError("it needs the path of a folder")
    return None if found.lower() == "none" else found


def one_of(*choices: str) -> Callable[[object], str]:
    """Reads one of a few words."""

    def choose(value: object) -> str:
        word = value.strip().lower() if isinstance(value, str) else ""
        if word not in choices:
            raise ValueError(f"it needs to be one of {', '.join(choices)}")
        return word

    return choose


def yes_or_no(value: object) -> bool:
    """Whether it says yes, as a text or as TOML writes it."""
    if isinstance(value, bool):
        return value
    if value not in ("yes", "no"):
        raise ValueError("it needs to be true or false")
    return value == "yes"
