"""What every verb shares: the book at hand, the options given beside it, and how it answers."""

import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import ExitStack
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Annotated, TypeVar

import msgspec
import typer
from msgspec.structs import replace

from tracker.bench.bench import Bench
from tracker.cli.asking import OpenQuestionError, UnansweredError, ask, choose, decision, settled
from tracker.cli.given.things_named import Sought, lot_meant, meant, spoken_of
from tracker.cli.screen import columns, has_colour
from tracker.core.shelf.acted_on import Fits, in_bulk, on_the_shelf, steeping
from tracker.core.shelf.codes import is_lot_code
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, a_kind
from tracker.core.values.errors import (
    AmbiguousAmountError,
    MisusedError,
    RefusedError,
    TrackerError,
    UnknownCodeError,
)

if TYPE_CHECKING:  # asking verbs come through here too, and need none of these
    from tracker.bench.open_book import OpenBook
    from tracker.bench.questions import Questions
    from tracker.cli.lines import Page
    from tracker.cli.named_file import Paper
    from tracker.core.facts.fields import About
    from tracker.core.facts.kinds import AnyFact
    from tracker.core.rules.recorded import Recorded
    from tracker.core.rules.verdict import Finding, Question
    from tracker.core.values.times import Toward, When
    from tracker.journal.file_marks import Damage
    from tracker.quantities import Amount

T = TypeVar("T")

AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
AsCsv = Annotated[bool, typer.Option("--csv", help="Answer as CSV.")]
On = Annotated[str | None, typer.Option("--on", help="As if it were that day: 2025-03-03.")]


class Desk(msgspec.Struct):
    """The bench, the options given beside a verb, and what the verb has to say."""

    bench: Bench
    when: str | None = None
    by: str | None = None
    note: str | None = None
    as_json: bool = False
    dry_run: bool = False
    sure: bool = False
    page: "Page | None" = None  # where this is a line of one, nothing is asked or printed
    verb: str = ""
    is_guided: bool = False  # what is missing is asked by the walk through the verb's questions
    confirmed: tuple[str, ...] = ()  # what would be answered to what a person said yes to
    answers: dict[str, str] = {}
    answered: "set[Question]" = set()  # by a yes, each by itself
    remarks: list[str] = []
    warnings: list[str] = []
    papers: "list[Paper]" = []
    done: "Recorded | None" = None  # set once it is on the disk, whatever comes after
    is_recorded: bool = False  # from then on nothing undoes it, and nothing refuses it
    damages: "list[Damage]" = []  # of the book that was held open
    _held: ExitStack = msgspec.field(default_factory=ExitStack)
    _book: "OpenBook | None" = None

    @property
    def colour(self) -> bool:
        """Whether the screen takes colour, and NO_COLOR is not set (no-color.org)."""
        return has_colour()

    @property
    def columns(self) -> int:
        """Cells across the screen; 80 where there is none."""
        return columns()

    def day(self, text: str | None, toward: "Toward" = "future") -> date | None:
        """The day `--on` names, or None where it was not given."""
        from tracker.cli.given.day_asked import day_asked

        return day_asked(self.bench, text, toward)

    # Asking

    def need(self, given: T | None, question: str, *, read: Callable[[str], T]) -> T:
        """What was given, or the answer to a question where a person sits at a terminal.

        Raises:
            MisusedError: it was not given, and there is no terminal to ask at.
            UnansweredError: it was not given, and the verb's own questions ask for it.
        """
        if given is not None:
            return given
        if self.is_guided:
            raise UnansweredError(question)
        if question not in self.answers:
            if self.page is not None or self.as_json or not sys.stdin.isatty():
                raise MisusedError(
                    f"{question}?",
                    where="the command line: it is missing, and there is no terminal to ask at",
                    do=f"give it on the line; `stillroom {self.verb} --help` shows how.",
                )
            self._ask(question, partial(ask, question, read))
        return read(self.answers[question])

    def settled(self, text: str, read: Callable[[str], object]) -> str:
        """The text, or the reading of it that a person at a terminal chooses.

        Raises:
            AmbiguousAmountError: it may be read in several ways, and there is nobody to ask.
        """
        return settled(text, read, self._chosen)

    def _chosen(self, asked: AmbiguousAmountError) -> str:
        return self.answer(f"which reading of {asked.text}", partial(choose, asked), asked)

    def confirm(self, question: str) -> bool:
        """Whether a person at a terminal says yes; no where there is no terminal."""
        if question not in self.answers:
            if self.page is not None or not sys.stdin.isatty():
                return False
            self._ask(question, partial(decision, question, usual="no"))
        return self.answers[question] == "yes"

    def answer(self, question: str, prompt: Callable[[], str], unasked: MisusedError) -> str:
        """What a person at a terminal answers; elsewhere it is refused, since it is open."""
        if question not in self.answers:
            if self.page is not None or self.as_json or not sys.stdin.isatty():
                raise unasked
            self._ask(question, prompt)
        return self.answers[question]

    def _ask(self, question: str, prompt: Callable[[], str]) -> None:
        def answer() -> None:
            self.answers[question] = prompt()

        if self._book is not None:
            raise OpenQuestionError(answer)
        answer()

    def code(self, given: str | None, question: str) -> str:
        """The code that was given, or the answer to the question; what `.` stands for."""
        code = self.need(given, question, read=str.strip)
        return code if code != "." else spoken_of(self, code)

    def codes(
        self,
        given: Sequence[str] | None,
        question: str = "Which jars",
        fits: Fits = on_the_shelf,
    ) -> Sequence[str]:
        """The codes that were given, or the answer to the question; ranges and `.` as codes."""
        from tracker.cli.given.several_codes import spread

        return spread(self, self.need(given or None, question, read=str.split), fits)

    def volume(self, given: str | None, question: str) -> "Amount":
        """A volume in the maker's units, given or asked for."""
        from tracker.quantities import millilitres

        units = self.bench.practice.units
        return self.need(
            self.volume_if(given), question, read=lambda text: millilitres(text, units)
        )

    def volume_if(self, given: str | None) -> "Amount | None":
        """A volume in the maker's units; None where none was given."""
        from tracker.quantities import millilitres

        if not given:
            return None
        units = self.bench.practice.units
        return millilitres(self.settled(given, lambda text: millilitres(text, units)), units)

    # The book, locked from the first time a verb looks at it until the verb is done

    @property
    def book(self) -> "OpenBook":
        """The book, held open for recording."""
        if self._book is None:
            from tracker.bench.record import opened

            page = self.page
            self._book = page.book if page else self._held.enter_context(opened(self.bench))
            self.damages = self._book.damages
        return self._book

    @property
    def happened(self) -> "When":
        """When it happened: `--when`, or now."""
        from tracker.cli.given.day_asked import day_said
        from tracker.core.values.times import parse_when

        def read(text: str) -> "When":
            own = self.bench.practice
            return parse_when(text, self.book.now, own.hemisphere, dates=own.dates)

        return day_said(self, self.when or "", read)

    def begin(self) -> None:
        """Forget what an earlier run of the verb gathered, but not what was answered."""
        for gathered in (self.remarks, self.warnings, self.papers):
            gathered.clear()

    def close(self) -> None:
        """Let go of the book."""
        self._book = None
        self._held.close()

    def find(self, code: str, fits: Fits = on_the_shelf) -> Thing:
        """The jar, blend, extract or bottle that a code or a name means, of what fits.

        Raises:
            RefusedError: it names a lot.
        """
        if is_lot_code(code):
            lot = self.lot(code)
            raise RefusedError(
                lot.code,
                f"it is a lot ({lot.what}), and a jar, extract or bottle is needed",
                do="name one of those; a jar is charged from a lot.",
            )
        return meant(self, code, self.book.find, Sought(self.book, fits))

    def find_any(self, code: str, fits: Fits = on_the_shelf) -> Thing | Lot:
        """The same, or the lot."""
        return meant(self, code, self.book.find_any, Sought(self.book, fits, with_lots=True))

    def lot(self, code: str) -> Lot:
        """The lot that a code, a supplier's number or a name means.

        Raises:
            RefusedError: it names something else.
        """
        try:
            return lot_meant(self, code, self.book)
        except UnknownCodeError as unknown:
            try:
                thing = self.book.find(code)
            except TrackerError:
                raise unknown from None
            raise RefusedError(
                thing.code,
                f"it is {a_kind(thing)}, and a lot is needed",
                do="name a lot, such as LOT-26-01.",
            ) from None

    def jar(self, code: str, done: str, fits: Fits = steeping) -> Jar:
        """The jar a code or a name means.

        Raises:
            RefusedError: it names an extract, a blend or a bottle, which cannot be `done`.
        """
        from tracker.cli.find import jar_of

        return jar_of(self.find(code, fits), done)

    def extract(self, code: str, done: str, fits: Fits = in_bulk) -> Thing:
        """The extract or bottle a code or a name means, or the only extract of a jar.

        Raises:
            RefusedError: a jar with none, or with several; nothing can be `done`.
        """
        from tracker.cli.find import extract_of

        return extract_of(self.find(code, fits), done)

    # Recording

    def record(self, subject: str, fact: "AnyFact") -> "Recorded":
        """Record one fact about what is shown under a code."""
        return self.record_all([(subject, fact)])

    def record_all(self, facts: "Iterable[tuple[str, AnyFact]]") -> "Recorded":
        """Record facts, all or none, each about what is shown under a code.

        With --dry-run, and in a line of a page, they are admitted, and nothing is written yet.

        Raises:
            RefusedError, MisusedError: the gate said no.
            AskedError: the gate asks, and the answer is not known.
        """
        from tracker.bench.interrupts import ignored_from_now_on, uninterrupted
        from tracker.bench.record import as_written, commit
        from tracker.cli.named_file import write_paper
        from tracker.core.rules.recorded import Draft

        happened = self.happened
        drafts = [Draft(self.bench.new_id(), code, happened, self._own(f)) for code, f in facts]
        recorded = self.book.add(drafts, self.questions())
        if self.dry_run or self.page is not None:
            return recorded
        # Before the record: what is printed and not recorded can be printed once more.
        self.remarks += [write_paper(paper) for paper in self.papers]
        with uninterrupted():
            written = commit(self.bench, self.book)
            self.is_recorded = True
            ignored_from_now_on()
            self.done = as_written(recorded, written)
        return self.done

    def questions(self) -> "Questions":
        """What is asked about what is recorded here, and what was answered."""
        from tracker.bench.questions import Questions

        return self.page.questions(self.sure) if self.page else Questions(self.sure, self.answered)

    def ask_about(self, finding: "Finding") -> None:
        """Ask what the verb itself has to ask before it records.

        Raises:
            AskedError: the answer is not known.
        """
        from tracker.core.rules.verdict import Verdict

        asked = self.questions()
        asked.judge(Verdict((finding,)))
        asked.settle()

    def _own(self, fact: "AnyFact") -> "AnyFact":
        """The fact with who did it and the remark given beside the verb."""
        return replace(fact, by=self.by, note=fact.note or self.note)


def about_of(thing: Thing | Lot) -> "About":
    """How an event refers to a thing."""
    from tracker.core.facts.fields import About

    if isinstance(thing, Lot):
        return About(jar=thing.id)
    return About(
        jar=thing.batch.id,
        extract=thing.extract.id if thing.extract else None,
        bottle=thing.bottle.number if thing.bottle else None,
    )
