"""Where reading a file can begin in the middle: a step every so many lines, with its digest.

A person calls a line by its number, and a file of a million lines need not be read for one. From
a step on the reader goes on as it did at first, so what it reads is held to the chain.
"""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from tracker.core.values.errors import ChangedLineError
from tracker.journal.file_marks import GENESIS, LINES_IN_A_STEP, Damage, Mark, Step
from tracker.journal.model.sealed_model import FILES, SealedModel

if TYPE_CHECKING:
    from tracker.core.facts.entry import Entry
    from tracker.journal.read import Taken

_STEPS_ON_A_SHEET = 64
_SHEETS = 1 << 20  # of one file


class FileNote(msgspec.Struct, array_like=True):
    """What the model notes of a file: its number here, the sums of its sheets of steps.

    `in_step` says whether each line has the number of its place.
    """

    number: int
    sheets: list[int] = []
    in_step: bool = True


_NOTES = msgspec.msgpack.Decoder(dict[str, FileNote])
_SHEET = msgspec.msgpack.Decoder(list[Step])
_START = Step(0, 0, GENESIS, "")


class Files:
    """The files of a book as a model knows them."""

    def __init__(self, model: SealedModel) -> None:
        self._model = model
        held = model.aside(FILES)
        self._notes = _NOTES.decode(held) if held else {}

    @property
    def names(self) -> dict[int, str]:
        """What each file is called, by its number."""
        return {note.number: name for name, note in self._notes.items()}

    def note(self, file: str) -> FileNote:
        """What is noted of a file; one that is new gets a number."""
        if file not in self._notes:
            self._notes[file] = FileNote(len(self._notes))
        return self._notes[file]

    def take(self, file: str, steps: Sequence[Step]) -> None:
        """Keep the steps of a file that was read on."""
        note, left = self.note(file), list(steps)
        if left and note.sheets:
            last = self._sheet(note, len(note.sheets) - 1)
            if len(last) < _STEPS_ON_A_SHEET:
                left = last + left
                note.sheets.pop()
        while left:
            sheet, left = left[:_STEPS_ON_A_SHEET], left[_STEPS_ON_A_SHEET:]
            at = note.number * _SHEETS + len(note.sheets)
            note.sheets.append(self._model.put("steps", at, msgspec.msgpack.encode(sheet)))

    def keep(self) -> None:
        """Put the notes in the model."""
        self._model.put_aside(FILES, self._notes)

    def _sheet(self, note: FileNote, place: int) -> list[Step]:
        at = note.number * _SHEETS + place
        return _SHEET.decode(self._model.part("steps", at, note.sheets[place]))

    def steps(self, file: str) -> Iterator[Step]:
        """Every step of a file, its beginning first."""
        yield _START
        note = self._notes.get(file)
        for place in range(0 if note is None else len(note.sheets)):
            yield from self._sheet(self._notes[file], place)

    def before(self, file: str, line: int) -> Step:
        """The last step from which reading on comes to a line."""
        note = self._notes.get(file)
        if note is None or not note.sheets:
            return _START
        # As many steps as lines allow, or fewer where a unit of lines went over one.
        place = min((line - 1) // (LINES_IN_A_STEP * _STEPS_ON_A_SHEET), len(note.sheets) - 1)
        while place >= 0:
            fitting = [one for one in self._sheet(note, place) if one.lines < line]
            if fitting:
                return fitting[-1]
            place -= 1
        return _START


def lines_from(
    connection: SealedModel, book: Path, mark: Mark, step: Step, through: int
) -> "Iterator[Taken]":
    """The lines of a file from a step on, through at least the one of that place.

    Raises:
        ChangedLineError: they are not what was read before.
        OSError: never; a file that cannot be read has changed.
    """
    from tracker.journal.model.read_model import damages
    from tracker.journal.read import Reading

    known = {(one.file, one.line) for one in damages(connection)}
    start = msgspec.structs.replace(
        mark, read_to=step.offset, lines=step.lines, digest=step.digest, odd=step.odd
    )
    found: list[Damage] = []
    reading = Reading(book, start, found, at_once=LINES_IN_A_STEP)
    for taken in reading.lines():
        yield from taken
        if reading.settled_lines >= through:
            break
    if any((one.file, one.line) not in known for one in found):
        raise ChangedLineError(mark.file)


def entries_numbered(connection: SealedModel, book: Path, mark: Mark, number: int) -> "list[Entry]":
    """The entries of a file that have a number, which mostly is that of their place."""
    files = Files(connection)
    in_step = files.note(mark.file).in_step
    if in_step and number > mark.lines:
        return []
    step = files.before(mark.file, number) if in_step else _START
    through = number if in_step else mark.lines
    lines = lines_from(connection, book, mark, step, through)
    return [one[0] for one in lines if one[0].sequence == number]
