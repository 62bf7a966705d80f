"""What this writer wrote last: to see a repeat, and an end that is gone, before recording."""

from collections.abc import Iterator
from datetime import datetime
from functools import cached_property

from tracker.bench.bench import Bench
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import Unknown, traits_of
from tracker.core.rules.verdict import Finding
from tracker.journal.file_marks import GENESIS
from tracker.journal.model import read_model
from tracker.journal.model.read_model import AskedModel
from tracker.journal.model.sealed_model import SealedModel
from tracker.journal.own_head import NAME, own_ends

# A repeat comes after one command, or a few; a longer page is known by its end.
_MOST = 64


class OwnLines:
    """The last lines of one writer, as they were when the book was opened."""

    def __init__(self, bench: Bench, model: AskedModel) -> None:
        self._bench, self._ask = bench, model.ask

    def repeated_by(self, entry: Entry, now: datetime) -> Iterator[Finding]:
        """A question where an entry says once more what was recorded a moment ago."""
        assert not isinstance(entry.fact, Unknown)
        if traits_of(entry.fact).twice == "more":
            from tracker.core.rules.checks.repeated import repeated

            yield from repeated(entry, self._recent, now, self._names)

    @cached_property
    def _recent(self) -> list[Entry]:
        """The last lines: more than one page has that is entered within minutes."""
        return self._ask(self._last_lines)

    def _last_lines(self, connection: SealedModel) -> list[Entry]:
        from tracker.journal.model.last_lines import last_entries

        return last_entries(connection, self._bench.book, self._bench.writer, _MOST)

    def commands(self, most: int) -> list[list[Entry]]:
        """What each of the last commands recorded, the last one last; of about so many lines."""
        from tracker.journal.model.last_lines import last_commands

        def question(connection: SealedModel) -> list[list[Entry]]:
            return last_commands(connection, self._bench.book, self._bench.writer, most)

        return self._ask(question)

    @cached_property
    def _names(self) -> dict[str, str]:
        from tracker.core.facts.entry_numbers import entry_names

        writers = {*self._ask(read_model.writers), self._bench.writer}
        return entry_names(self._recent, writers)

    @cached_property
    def gone(self) -> tuple[Finding, ...]:
        """A question where the own file no longer ends in, or goes on from, the last own line."""
        file = f"{self._bench.writer}.jsonl"
        known = [one for one in self._ask(read_model.damages) if one.gone]
        why = next((one.why for one in known if one.file == file), None)
        why = why or self._ends_early(file)
        if why is None:
            return ()
        what = f"{why}; what is recorded now takes numbers that were given before"
        do = "put the newer copy back in its place, or run `stillroom check --accept`"
        return (Finding("gone", file, what, do, "question"),)

    def _ends_early(self, file: str) -> str | None:
        """How the file is shorter than it was, though another file may hold the rest."""
        end = own_ends(self._bench.state / NAME).get(file)
        if end is None:
            return None
        mark = self._ask(read_model.read_marks).get(file)
        lines, digest = (0, GENESIS) if mark is None else (mark.lines, mark.digest)
        if not end.reaches_beyond(lines, digest):
            return None
        return f"it ends at line {lines}, and line {end.lines} was written to it before"
