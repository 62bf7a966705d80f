"""The last lines of the book, read from the ends of its files."""

from pathlib import Path

from tracker.core.facts.entry import Entry
from tracker.journal.book_file import opened
from tracker.journal.file_marks import Mark
from tracker.journal.line import read_placed
from tracker.journal.model.file_steps import Files, lines_from
from tracker.journal.model.read_model import read_marks
from tracker.journal.model.sealed_model import SealedModel


def last_entries(connection: SealedModel, book: Path, writer: str, most: int) -> list[Entry]:
    """The last lines of a writer's own file, the last one last."""
    mark: Mark | None = read_marks(connection).get(f"{writer}.jsonl")
    if mark is None:
        return []
    start = Files(connection).before(mark.file, max(mark.lines - most + 1, 1))
    found = [one[0] for one in lines_from(connection, book, mark, start, mark.lines)]
    return [one for one in found if one.source == writer][-most:]


def last_commands(connection: SealedModel, book: Path, writer: str, most: int) -> list[list[Entry]]:
    """What a writer recorded last, each command with all its lines, the last one last.

    Args:
        connection: the read model.
        book: the book's folder.
        writer: whose file it is.
        most: how many lines are looked at, about.
    """
    mark: Mark | None = read_marks(connection).get(f"{writer}.jsonl")
    if mark is None:
        return []
    # No step lies within what one command recorded.
    start = Files(connection).before(mark.file, max(mark.lines - most + 1, 1))
    taken = list(lines_from(connection, book, mark, start, mark.lines))
    commands: list[list[Entry]] = []
    last = None
    with opened(book, mark.file) as file:
        for entry, offset, length, _ in taken:
            file.seek(offset)
            _, at = read_placed(file.read(length))
            if at is not None and at.unit == last:
                commands[-1].append(entry)
            else:
                commands.append([entry])
            last = at.unit if at is not None else None
    return [one for one in commands if one[0].source == writer]


def lately_recorded(connection: SealedModel, book: Path, commands: int) -> list[Entry]:
    """The last lines of every file: all that so many commands recorded last, and some before.

    Raises:
        ChangedLineError: a file is not what was read before.
    """
    marks = read_marks(connection).values()
    return [one for mark in marks for one in _end_of(connection, book, mark, commands)]


def _end_of(connection: SealedModel, book: Path, mark: Mark, commands: int) -> list[Entry]:
    """The end of one file, further back until it has the lines of more commands than asked for.

    The first of them may have begun before what was read.
    """
    most = commands
    while True:
        start = Files(connection).before(mark.file, max(mark.lines - most + 1, 1))
        found = [one[0] for one in lines_from(connection, book, mark, start, mark.lines)]
        if not start.lines or len({(one.recorded, one.source) for one in found}) > commands:
            return found
        most *= 4
