"""How the command runs: on streams that fail in one known way, and with failures as text."""

import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import NoReturn

from tracker import clock
from tracker.bench.bench import Bench, bench_in_use
from tracker.bench.own_settings import BOOK, setting_file
from tracker.cli import streams
from tracker.cli.screen import columns, say
from tracker.cli.streams import UnprintedError
from tracker.core.values.errors import (
    AmbiguousAmountError,
    BookError,
    SeveralFitError,
    TrackerError,
)
from tracker.core.values.text import escaped_json, shown
from tracker.journal.regular_file import read_regular

# What shells answer for a command that was stopped by Ctrl-C: 128 and the number of SIGINT.
STOPPED = 130


def bench_of(book: Path | None) -> Bench:
    """The bench of the book that was named, or of the default one.

    Raises:
        BookError: no book can be there.
    """
    try:
        return bench_in_use() if book is None else Bench(book)
    except (OSError, ValueError, RuntimeError) as reason:  # a link to itself, or a NUL in it
        why = getattr(reason, "strerror", None) or reason
        if book is None:
            do = "say where it is with `stillroom begin --at DIR`."
            where = setting_file(BOOK)
            raise BookError(
                f"Where the book is cannot be read: {why}.", where=where, do=do
            ) from reason
        do = "correct the path after --book, or in STILLROOM_BOOK."
        raise BookError(f"A book cannot be there: {why}.", where=str(book), do=do) from reason


def print_untold(state: Path) -> None:
    """What the daemon could not deliver is printed before anything else, once."""
    file = state / "untold"
    try:
        text = read_regular(file, 4000, through_link=True).decode()
    except (OSError, ValueError):
        return
    say(shown(text), err=True)
    with suppress(OSError):
        file.replace(state / "untold.printed")


def _print_failure(failure: TrackerError) -> None:
    lines = [shown(line) for line in str(failure).split("\n")]
    if sys.stderr.isatty():
        from tracker.outputs.terminal.wrapping import sentences

        lines = [part for line in lines for part in sentences(line, columns())]
    say("\n".join(lines), err=True)


def _print_readings(asked: AmbiguousAmountError) -> None:
    """The readings of an amount for a script: JSON, as the last line of standard error."""
    import msgspec

    answer = {"error": asked.why, "text": asked.text, "readings": asked.readings}
    say(escaped_json(msgspec.json.encode(answer).decode()), err=True)


def _print_candidates(asked: SeveralFitError) -> None:
    """What a name may mean for a script: JSON, as the last line of standard error."""
    import msgspec

    answer = {"error": "several fit", "text": asked.text, "choices": asked.candidates}
    say(escaped_json(msgspec.json.encode(answer).decode()), err=True)


def unprinted(reason: OSError) -> NoReturn:
    """Say that the answer could not be printed, and end."""

    def act() -> None:
        raise UnprintedError(reason)

    run(act)


def run(act: Callable[[], None]) -> NoReturn:
    """Do what was asked and end; an expected failure is text on standard error and an exit code."""
    streams.make_sure_of_streams()
    try:
        code = _exit_code(act)
        streams.flush()
    except UnprintedError as failure:
        _print_failure(failure)
        code = failure.exit_code
    except BrokenPipeError:
        code = 1  # the reader of a pipe went away; nothing more can be written to it
    except KeyboardInterrupt:
        code = STOPPED
    sys.exit(code)


def _exit_code(act: Callable[[], None]) -> int | str | None:
    try:
        if not clock.is_readable():  # even an import may read it
            clock.must_be_sound()
        act()
    except SystemExit as ended:
        return ended.code
    except AmbiguousAmountError as asked:
        _print_failure(asked)
        if "--json" in sys.argv:
            _print_readings(asked)
        return asked.exit_code
    except SeveralFitError as asked:
        _print_failure(asked)
        if "--json" in sys.argv:
            _print_candidates(asked)
        return asked.exit_code
    except TrackerError as failure:
        _print_failure(failure)
        return failure.exit_code
    except BrokenPipeError:
        raise
    except OSError as reason:  # of a file or folder that nothing else has said more about
        refused = BookError(
            f"The system refuses: {reason.strerror or reason}.",
            where=str(reason.filename or "a file or folder of the command"),
            do="make sure that it is there and that you may read and write it.",
        )
        _print_failure(refused)
        return refused.exit_code
    return 0
