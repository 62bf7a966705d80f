"""The facts one command is about to record, and the options every recording verb takes."""

import inspect
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from functools import wraps
from typing import Annotated, Any, get_args

import typer

from tracker.bench.bench import Bench
from tracker.bench.open_book import OpenBook
from tracker.bench.record import as_written, commit, opened
from tracker.bench.recorded import Draft, Recorded
from tracker.cli.desk import AsJson, Desk, desk_json
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import AnyFact
from tracker.core.rules.verdict import AskedError
from tracker.core.shelf.codes import is_lot_code
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, a_kind
from tracker.core.values.errors import (
    MisusedError,
    RefusedError,
    TrackerError,
    UnknownCodeError,
)
from tracker.core.values.text import shown
from tracker.core.values.times import When, parse_when
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.flags import flag_text

When_ = Annotated[
    str | None,
    typer.Option("--when", help="When it happened: 2025-03-03, 2023-06, 2023-summer, unknown."),
]
Who = Annotated[str | None, typer.Option("--by", "--who", help="Who did it.")]
Note = Annotated[str | None, typer.Option("--note", help="A remark to keep with it.")]
DryRun = Annotated[
    bool, typer.Option("--dry-run", help="Say what would be recorded; write nothing.")
]
Sure = Annotated[
    bool, typer.Option("--sure", help="Yes to whatever would be asked before recording.")
]


@dataclass(slots=True)
class Sheet:
    """The facts one command is about to record, and the words it will answer with."""

    desk: Desk
    book: OpenBook
    when: When
    drafts: list[Draft] = field(default_factory=list)
    lines: list[Callable[[], str]] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    more: dict[str, object] = field(default_factory=dict)  # beside the rest with --json
    after_admission: list[Callable[[], None]] = field(default_factory=list)
    before_writing: list[Callable[[], None]] = field(default_factory=list)
    _recorded: Recorded | None = None

    @property
    def now(self) -> datetime:
        """The moment of this command."""
        return self.book.now

    @property
    def recorded(self) -> Recorded:
        """What was recorded, once the drafts are admitted."""
        assert self._recorded is not None
        return self._recorded

    def find(self, code: str) -> Thing:
        """What a code names.

        Raises:
            RefusedError: it names a lot.
        """
        if is_lot_code(code):
            lot = self.find_lot(code)
            raise RefusedError(
                lot.code,
                f"it is a lot ({lot.what}), and a jar, extract or bottle is needed",
                do="name one of those; a jar is charged from a lot.",
            )
        return self.book.find(code)

    def find_lot(self, code: str) -> Lot:
        """The lot a code names.

        Raises:
            RefusedError: it names something else.
        """
        try:
            return self.book.find_lot(code)
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

    def lots(self) -> list[Lot]:
        """Every lot."""
        return self.book.lots()

    def left_of(self, lot: Lot) -> float:
        """What is left of a lot, g or ml; never below nothing."""
        return self.book.left_of(lot)

    def find_any(self, code: str) -> Thing | Lot:
        """The jar, extract, bottle or lot a code names."""
        return self.book.find_any(code)

    def add(self, subject: str, fact: AnyFact, *, event_id: str | None = None) -> str:
        """Put a fact on the sheet; returns the id its event will have."""
        draft = Draft(event_id or self.desk.bench.new_id(), subject, self.when, fact)
        self.drafts.append(draft)
        return draft.id

    def tell(self, line: Callable[[], str]) -> None:
        """Answer with this line once the facts are recorded."""
        self.lines.append(line)

    def tell_fact(self, code: str, fact: AnyFact) -> None:
        """Answer with the fact in words."""
        self.tell(lambda: f"{code} {said(fact)}.")

    def after(self, batch_id: str) -> Batch:
        """The jar or blend as it stands once the sheet is recorded."""
        return self.recorded.after.batches[batch_id]

    def jar_after(self, jar_id: str) -> Jar:
        """The jar as it stands once the sheet is recorded."""
        jar = self.after(jar_id)
        assert isinstance(jar, Jar)
        return jar

    def admit(self) -> None:
        """Hold the drafts to the gate; nothing is written yet."""
        self._recorded = self.book.add(self.drafts, sure=self.desk.sure)
        self.warnings += [
            f"{one.code}: {one.what}" if one.code else one.what
            for one in self.recorded.findings
            if one.weight == "warning"
        ]
        self.warnings += [f"no longer fits: {flag_text(flag)}" for flag in self.recorded.misfits]
        for act in self.after_admission:
            act()

    def write(self) -> None:
        """What was admitted goes into the book."""
        for act in self.before_writing:
            act()
        written = commit(self.desk.bench, self.book)
        self._recorded = as_written(self.recorded, written)

    def said(self) -> list[str]:
        """What was recorded, in lines."""
        return [shown(line()) for line in self.lines]

    def answer(self, lines: list[str]) -> None:
        """Say what was recorded: data on standard output, warnings on standard error."""
        desk = self.desk
        for warning in dict.fromkeys(self.warnings):
            typer.echo(f"Look again: {shown(warning)}.", err=True)
        if desk.as_json:
            desk_json(
                {
                    "recorded": [
                        {"id": one.id, "kind": one.kind, "code": one.subject}
                        for one in self.recorded.entries
                    ],
                    "dry_run": desk.dry_run,
                    "flags": list(dict.fromkeys(self.warnings)),
                    "said": lines,
                    **self.more,
                }
            )
            return
        prefix = "Would record: " if desk.dry_run else ""
        for line in lines:
            typer.echo(prefix + line)


@contextmanager
def gathered(desk: Desk) -> Iterator[Sheet]:
    """Gather facts under the lock; write them, all or none, when the block ends well."""
    if desk.page is not None:
        sheet = Sheet(desk, desk.page.book, _when(desk, desk.page.book))
        yield sheet
        sheet.admit()
        desk.page.sheets.append(sheet)
        return
    with opened(desk.bench) as book:
        sheet = Sheet(desk, book, _when(desk, book))
        yield sheet
        sheet.admit()
        if not desk.dry_run:
            sheet.write()
        lines = sheet.said()
    sheet.answer(lines)


def _when(desk: Desk, book: OpenBook) -> When:
    return parse_when(desk.when or "", book.now, desk.bench.practice.hemisphere)


@dataclass(slots=True)
class Page:
    """Many lines said to one open book: each verb adds its sheet, and nothing is printed."""

    bench: Bench
    book: OpenBook
    sure: bool = False
    sheets: list[Sheet] = field(default_factory=list)


def one_of(text: str, choices: object, where: str) -> Any:  # noqa: ANN401 - one of the literals given
    """The word, if it is one of a Literal's.

    Raises:
        MisusedError: it is none of them.
    """
    allowed: tuple[str, ...] = get_args(choices)
    if text.lower() not in allowed:
        raise MisusedError(
            f"{text!r} is not one of {', '.join(allowed)}.", where=where, do="use one of them."
        )
    return text.lower()


def about_of(thing: Thing | Lot) -> About:
    """How an event refers to a thing."""
    if isinstance(thing, Lot):
        return About(jar=thing.id)
    return About(
        jar=thing.batch.id,
        extract=thing.extract.id if thing.extract else None,
        bottle=thing.bottle.number if thing.bottle else None,
    )


def asked_until_sure(desk: Desk, act: Callable[[], None]) -> None:
    """Do it; where the gate asks and a person sits at the terminal, ask and do it for sure.

    Nobody keeps the book locked while a person thinks: it is opened again after the answer.

    Raises:
        AskedError: there is nobody to ask.
    """
    try:
        act()
    except AskedError as asked:
        if not sys.stdin.isatty() or desk.as_json:
            raise
        for question in asked.questions:
            typer.echo(f"{shown(question.code)}: {shown(question.what)}.", err=True)
            if not typer.confirm("Record it", default=False, err=True):
                typer.echo("Nothing was recorded.", err=True)
                raise typer.Exit(1) from None
        desk.sure = True
        act()


def recording(verb: Callable[..., None]) -> Callable[..., None]:
    """Give a recording verb the options every one of them takes.

    The verb is called with a Desk first. Its own parameters stay as they are; `--when`, `--by`,
    `--note`, `--sure`, `--json` and `--dry-run` are added after them.
    """
    own = list(inspect.signature(verb).parameters.values())[1:]
    extra = [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind)
        for name, default, kind in (
            ("when", None, When_),
            ("by", None, Who),
            ("note", None, Note),
            ("sure", False, Sure),
            ("as_json", False, AsJson),
            ("dry_run", False, DryRun),
        )
    ]
    context = inspect.Parameter(
        "context", inspect.Parameter.POSITIONAL_OR_KEYWORD, annotation=typer.Context
    )

    @wraps(verb)
    def run(
        context: typer.Context,
        *,
        when: str | None,
        by: str | None,
        note: str | None,
        sure: bool,
        as_json: bool,
        dry_run: bool,
        **arguments: object,
    ) -> None:
        at_hand: Bench | Page = context.obj
        if isinstance(at_hand, Page):
            desk = Desk(at_hand.bench, when, by, note, sure=sure or at_hand.sure, page=at_hand)
            verb(desk, **arguments)
            return
        desk = Desk(at_hand, when, by, note, as_json, dry_run, sure)
        asked_until_sure(desk, lambda: verb(desk, **arguments))

    run.__dict__["records"] = True  # what a page of lines may say; typer hands it on
    run.__signature__ = inspect.Signature([context, *own, *extra])  # type: ignore[attr-defined]  # typer reads it
    run.__annotations__ = {one.name: one.annotation for one in (context, *own, *extra)}
    return run
