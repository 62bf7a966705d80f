"""A page of lines: what a person wrote down in the words of the command, one event a line."""

import shlex
import sys
from collections.abc import Container, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from tracker.bench.bench import Bench
from tracker.bench.questions import Questions
from tracker.core.values.errors import MisusedError, TrackerError
from tracker.core.values.text import shown
from tracker.journal.regular_file import read_regular

if TYPE_CHECKING:
    from tracker.bench.open_book import OpenBook
    from tracker.cli.answer import Answer
    from tracker.cli.named_file import Paper
    from tracker.core.rules.verdict import Finding, Question

# A line of the book takes about as much: nobody writes a page of more.
MOST_BYTES = 16 << 20
_SHOWN = 160
LINE, NOTHING = "the line", "nothing of the page was recorded"
_CURLY = "“”„‟‘’‚«»"
_BLANKS = {0xA0: " ", 0x2007: " ", 0x202F: " "}  # copied, or typed with a key held down


class Line(msgspec.Struct, frozen=True):
    """One line of a page: where it stands, as written, and its words."""

    page: str
    number: int
    text: str

    @contextmanager
    def named(self) -> Iterator[None]:
        """What is refused inside names this line as well."""
        try:
            yield
        except TrackerError as refused:
            text = self.text if len(self.text) <= _SHOWN else f"{self.text[:_SHOWN]}…"
            is_known = refused.where == LINE or "nothing was recorded" in refused.where
            inner = "" if is_known else f" ({refused.where})"
            refused.where = f"{self.page}, line {self.number}: {text}{inner}; {NOTHING}"
            if isinstance(refused, MisusedError) and any(sign in text for sign in _CURLY):
                refused.do += " Quotation marks have to be straight: \" or '."
            raise

    def words(self) -> list[str]:
        """The line split as a shell would, without the name of the command.

        Raises:
            MisusedError: a quotation mark has no partner, or there is a NUL in it.
        """
        if "\0" in self.text:
            raise MisusedError("There is a NUL in it.", where=LINE, do="type the line again.")
        try:
            words = shlex.split(self.text.translate(_BLANKS))
        except ValueError as reason:
            raise MisusedError(
                f"The line cannot be read: {str(reason).lower()}.",
                where=LINE,
                do='close the quotation mark; an apostrophe goes between ": "rue d\'Or".',
            ) from reason
        return words[1:] if words[:1] == ["stillroom"] else words


class Page(msgspec.Struct):
    """Many lines given to one open book: each verb adds its answer, and nothing is printed."""

    bench: Bench
    book: "OpenBook"
    sure: bool = False
    as_json: bool = False
    answered: "Container[Question]" = frozenset()
    open: "list[Finding]" = []  # what is asked about the lines so far
    line: int = 0  # the one that is taken now
    named: list[str] = []  # what the line before spoke of
    answers: "list[Answer]" = []
    papers: "list[Paper]" = []

    def questions(self, sure: bool) -> Questions:
        """The questions about the line that is taken now."""
        sure = sure or self.sure
        return Questions(sure, self.answered, f"line {self.line}", self.open)

    def add(self, answer: "Answer", papers: "list[Paper]") -> None:
        """Keep what one line answers, and what it would print."""
        from tracker.cli.given.spoken_of import named_in

        self.answers.append(answer)
        self.named = named_in(answer.recorded) or self.named
        self.papers += papers


def read_page(file: str) -> list[Line]:
    """The lines of a file, or of standard input for `-`, without blank ones and remarks.

    Raises:
        MisusedError: the file cannot be read, or holds no text.
    """
    page = "standard input" if file == "-" else shown(file)
    raw = _bytes_of(file, page)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as reason:
        number = raw.count(b"\n", 0, reason.start) + 1
        raise MisusedError(
            "That is not text in UTF-8.",
            where=f"{page}, line {number}; {NOTHING}",
            do="save the page as plain text in UTF-8, and try once more.",
        ) from reason
    # At line feeds and nowhere else: a name may hold what other readers take for an end.
    lines = [line.strip() for line in text.replace("\r\n", "\n").split("\n")]
    return [
        Line(page, number, line)
        for number, line in enumerate(lines, 1)
        if line and not line.startswith("#")
    ]


def _bytes_of(file: str, page: str) -> bytes:
    try:
        if file == "-":
            raw = sys.stdin.buffer.read(MOST_BYTES + 1)
        else:
            raw = read_regular(Path(file), MOST_BYTES + 1, through_link=True)
    except (OSError, ValueError) as reason:
        raise MisusedError(
            f"The page cannot be read: {getattr(reason, 'strerror', None) or reason}.",
            where=page,
            do="name a file of lines, or - for standard input.",
        ) from reason
    if len(raw) > MOST_BYTES:
        raise MisusedError(
            f"That is more than {MOST_BYTES >> 20} MB.", where=page, do="enter it in parts."
        )
    return raw
