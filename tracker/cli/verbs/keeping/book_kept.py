"""Where the book is, how much is in it, and when it was last copied: the first lines of a verb."""

from collections.abc import Iterator

from tracker.bench.bench import Bench
from tracker.bench.copies_made import copies_made
from tracker.outputs.words.past_moments import moment_said


def book_rows(bench: Bench, lines: int, writers: int) -> Iterator[tuple[str, str]]:
    """The rows to print first.

    Args:
        bench: of the book.
        lines: how many there are in it.
        writers: how many files they stand in; each machine that records has one.
    """
    by = f" by {_count(writers, 'writer')}" if writers else ""
    yield "The book", f"{bench.book.resolve()}, {_count(lines, 'line')}{by}"
    yield "Backed up", _backed_up(bench, lines)


def _backed_up(bench: Bench, lines: int) -> str:
    copies, now = copies_made(bench.state), bench.now()
    if (made := copies.made) is None:
        return "never, as far as this machine knows: stillroom backup DIR"
    since = lines - made.lines
    more = f"; {_count(since, 'line')} since" if since > 0 else ""
    text = f"{moment_said(made.at, now)} to {made.where}{more}"
    seen = copies.verified
    if seen is not None and seen.at > made.at:
        where = "" if seen.where == made.where else f" {seen.where}"
        text += f"; verified{where} {moment_said(seen.at, now)}"
    return text


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def book_fields(bench: Bench) -> dict[str, object]:
    """The same as data."""
    copies = copies_made(bench.state)
    return {
        "book": str(bench.book.resolve()),
        "backed_up": copies.made,
        "verified": copies.verified,
    }
