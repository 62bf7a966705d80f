"""What `begin` settles: the rules of the book, and what is of this person on this machine."""

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

import msgspec

from tracker.bench.bench import Bench
from tracker.bench.home_country import zone_of
from tracker.bench.own_folders import own_folder
from tracker.bench.own_person import own_person
from tracker.bench.own_settings import BOOK, PERSON, forget_setting, keep_setting, setting
from tracker.config.practice_edit import Key, NotEditableError, lines_to_write, with_keys
from tracker.core.practice.countries import Country
from tracker.core.practice.practice import PRACTICE_FILE, Practice
from tracker.core.values.errors import BookError
from tracker.journal.regular_file import read_regular
from tracker.journal.whole_file import make_folder, write_whole

_MOST_BYTES = 256 * 1024


class Wanted(msgspec.Struct, frozen=True):
    """What is to hold; None leaves a thing as it is, and a person of "" is nobody."""

    place: Path
    person: str | None = None
    country: Country | None = None
    digest_at: str | None = None
    reminders: bool | None = None


class Steps(msgspec.Struct, frozen=True):
    """What has to be written for it: keys of the practice, and settings of this machine."""

    place: Path
    keys: Mapping[Key, str]
    person: str | None  # None: as it is
    is_placed: bool  # whether the place is the one in use already

    @classmethod
    def to(cls, wanted: Wanted, bench: Bench) -> "Steps":
        """The steps from what holds now to what is wanted."""
        person = wanted.person
        is_same = person is None or person == (own_person() or "")
        is_placed = _chosen() == str(wanted.place) and _is_begun(wanted.place)
        return cls(
            wanted.place, _keys(wanted, bench.practice), None if is_same else person, is_placed
        )

    @property
    def changes(self) -> bool:
        """Whether there is anything to write."""
        return bool(self.keys) or self.person is not None or not self.is_placed

    def remarks(self) -> list[str]:
        """What else decides which book is in use."""
        said = os.environ.get("STILLROOM_BOOK")
        if not said or os.path.realpath(said) == os.path.realpath(self.place):
            return []
        return [f"STILLROOM_BOOK is set to {said} here, and that book is used first."]


def place_in_use() -> str:
    """Where the book is that is in use, or would be begun."""
    return _chosen() or f"{own_folder('data')}/book"


def _chosen() -> str | None:
    with suppress(ValueError):  # `begin` writes another in its place
        return setting(BOOK)
    return None


def _is_begun(place: Path) -> bool:
    return any((place / one).exists() for one in ("events", PRACTICE_FILE))


def _keys(wanted: Wanted, practice: Practice) -> dict[Key, str]:
    """The keys of the practice that have to be set."""
    keys: dict[Key, str] = {}
    if (land := wanted.country) is not None:
        zone = zone_of(land.code) or practice.zone
        holds: list[tuple[Key, str | None, str | None]] = [
            (("", "units"), practice.units, land.units),
            (("", "measures"), practice.measures, land.measures),
            (("", "hemisphere"), practice.hemisphere, land.hemisphere),
            (("", "dates"), practice.dates, land.dates),
            (("", "currency"), practice.currency, land.currency),
            (("", "zone"), practice.zone, zone),
        ]
        if practice.label_sheet in ("a4", "letter"):  # any other is of the maker's own choice
            holds.append((("labels", "sheet"), practice.label_sheet, land.paper))
        keys |= {key: new for key, now, new in holds if new is not None and new != now}
    if wanted.digest_at not in (None, f"{practice.digest_at:%H:%M}"):
        keys["reminders", "digest"] = str(wanted.digest_at)
    return keys


def carry_out(steps: Steps) -> None:
    """Write all of it: the book's folder and rules first, and last which book is in use.

    Raises:
        BookError: something cannot be written, or the rules have to be set by hand.
    """
    file: str | Path = steps.place
    try:
        make_folder(steps.place)
        file = steps.place / PRACTICE_FILE
        _set_keys(file, steps.keys, is_new=not _is_begun(steps.place))
        file = own_folder("config")
        if steps.person is not None:
            _keep_person(steps.person)
        keep_setting(BOOK, str(steps.place))
    except OSError as reason:
        raise BookError(
            f"The file cannot be written: {reason.strerror or reason}.",
            where=str(reason.filename or file),
            do="make sure that you may write there, then run `stillroom begin` again; nothing "
            "is lost.",
        ) from reason


def _keep_person(person: str) -> None:
    if person:
        keep_setting(PERSON, person)
    else:
        forget_setting(PERSON)


def _set_keys(file: Path, keys: Mapping[Key, str], *, is_new: bool) -> None:
    """Set keys of a practice and leave every other byte of it; a new book gets one in any case."""
    if not keys and not is_new:
        return
    real, mode, before = Path(os.path.realpath(file)), 0o600, b""
    if os.path.lexists(file):
        before = read_regular(real, _MOST_BYTES + 1)
        mode = real.stat().st_mode & 0o777
    try:
        after = with_keys(before.decode(), keys).encode()
    except (UnicodeDecodeError, NotEditableError) as reason:
        lines = "\n    ".join(lines_to_write(keys))
        raise BookError(
            "The rules of the book are written in a way that only you can change.",
            where=f"{file}; nothing in it was changed",
            do=f"write these lines in it, then run `stillroom begin` again:\n    {lines}",
        ) from reason
    if after != before:
        write_whole(real, after, mode=mode)
