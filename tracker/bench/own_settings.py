"""What this person chose on this machine: files of one line in the program's config folder.

Read at every start, before anything else is loaded, so they are looked at by hand and are no TOML.
"""

import os

from tracker.bench.own_folders import own_folder

BOOK = "book"
PERSON = "person"

_MOST_BYTES = 4096
_PLAINLY = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0)
_KIND, _REGULAR = 0o170000, 0o100000  # as in stat.h, without loading stat


def setting_file(name: str) -> str:
    """The file of a setting; it may not be there."""
    return f"{own_folder('config')}/{name}"


def setting(name: str) -> str | None:
    """The one line of a setting; None where it was never set.

    Raises:
        ValueError: what is there is not one line of text.
    """
    try:
        descriptor = os.open(setting_file(name), _PLAINLY)
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError as reason:
        raise ValueError((reason.strerror or str(reason)).lower()) from reason
    try:
        if os.fstat(descriptor).st_mode & _KIND != _REGULAR:
            raise ValueError("it is not a file")
        contents = os.read(descriptor, _MOST_BYTES + 1)
    finally:
        os.close(descriptor)
    return _line(contents)


def _line(contents: bytes) -> str:
    text = os.fsdecode(contents).removesuffix("\n").removesuffix("\r")
    if len(contents) > _MOST_BYTES:
        raise ValueError("it is far too long")
    if not text.strip():
        raise ValueError("it is empty")
    if "\n" in text or "\0" in text:
        raise ValueError("it is more than one line of text")
    return text


def keep_setting(name: str, text: str) -> None:
    """Replace a setting in one step.

    Raises:
        OSError: the disk refused; it is as it was.
    """
    from pathlib import Path

    from tracker.journal.whole_file import make_folder, write_whole

    file = Path(setting_file(name))
    make_folder(file.parent)
    write_whole(file, os.fsencode(text) + b"\n")


def forget_setting(name: str) -> None:
    """Take a setting away.

    Raises:
        OSError: the disk refused; it is as it was.
    """
    from pathlib import Path

    Path(setting_file(name)).unlink(missing_ok=True)


def book_in_use() -> tuple[str, bool]:
    """Where the book is, and whether `begin` chose that place.

    Raises:
        ValueError: what was kept of that choice is no full path.
    """
    chosen = setting(BOOK)
    if chosen is None:
        return f"{own_folder('data')}/book", False
    if not os.path.isabs(chosen):  # noqa: PTH117  # pathlib loads as slowly as all the rest
        raise ValueError("it does not hold a full path")
    return chosen, True
