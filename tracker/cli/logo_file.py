"""The logo of labels: a file beside practice.toml, or the one that is named."""

from pathlib import Path
from typing import Final

from tracker.core.practice.practice import PRACTICE_FILE, Practice
from tracker.core.values.errors import BookError, MisusedError, TrackerError
from tracker.core.values.text import shown
from tracker.journal.regular_file import NotRegularError, read_regular

_MOST_BYTES: Final = 8 * 1024 * 1024
NONE: Final = Path("none")


def logo_bytes(book: Path, practice: Practice, named: Path | None) -> bytes | None:
    """The logo as it is printed; None where there is none.

    Args:
        book: the folder in which practice.toml stands.
        practice: the maker's rules, which may name a logo.
        named: the file to print in its place; `none` for no logo.

    Raises:
        MisusedError, BookError: the file is not there, or holds no picture that can be printed.
    """
    own = practice.label.logo
    if named == NONE or (named is None and own is None):
        return None
    file = named if named is not None else book / str(own)
    where = "--logo" if named is not None else f"[labels] logo in {PRACTICE_FILE}"
    from tracker.outputs.paper.logo import logo_of

    try:
        return logo_of(_contents(file))
    except ValueError as reason:
        raise _refused(file, where, str(reason)) from reason
    except NotRegularError as reason:
        raise _refused(file, where, "it is no file") from reason
    except OSError as reason:
        raise BookError(
            f"The logo {shown(str(file))} cannot be read: {reason.strerror or reason}.",
            where=where,
            do="name a PNG or JPEG file that is there, or print without it: `--logo none`.",
        ) from reason


def _contents(file: Path) -> bytes:
    found = read_regular(file, _MOST_BYTES + 1, through_link=True)
    if len(found) > _MOST_BYTES:
        raise ValueError(f"it is larger than {_MOST_BYTES // 1024 // 1024} MB")
    return found


def _refused(file: Path, where: str, why: str) -> TrackerError:
    return MisusedError(
        f"The logo {shown(str(file))} cannot be printed: {why}.",
        where=where,
        do="name a PNG or JPEG picture of at most 8 MB, or print without it: `--logo none`.",
    )
