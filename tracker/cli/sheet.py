"""The facts one command is about to record, and the options every recording verb takes."""

import inspect
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import wraps
from typing import Annotated, Any, get_args

import typer

from tracker.bench.bench import Bench, Draft
from tracker.cli.desk import AsJson, Desk, desk_json
from tracker.cli.find import thing_or_lot
from tracker.core.facts.entry import AnyFact, Entry, lots_used
from tracker.core.facts.fields import About
from tracker.core.reckoning.lot_balance import left
from tracker.core.replay.families import clusters
from tracker.core.replay.replay import lives_of
from tracker.core.rules.refusals import happened
from tracker.core.shelf.codes import is_lot_code
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.errors import (
    MisusedError,
    RefusedError,
    TrackerError,
    UnknownCodeError,
)
from tracker.core.values.text import shown
from tracker.core.values.times import When, parse_when
from tracker.journal.line import validated
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.flags import flag_text

When_ = Annotated[
    str | None,
    typer.Option("--when", help="When it happened: 2025-03-03, 2023-06, 2023-summer, unknown."),
]
Who = Annotated[str | None, typer.Option("--by", "--who", help="Who did it.")]
WhoOnly = Annotated[str | None, typer.Option("--who", help="Who did it.")]
Note = Annotated[str | None, typer.Option("--note", help="A remark to keep with it.")]
DryRun = Annotated[
    bool, typer.Option("--dry-run", help="Say what would be recorded; write nothing.")
]


@dataclass(slots=True)
class Sheet:
    """The facts one command is about to record, and the words it will answer with."""

    desk: Desk
    when: When
    now: datetime
    drafts: list[Draft] = field(default_factory=list)
    lines: list[Callable[[], str]] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    more: dict[str, object] = field(default_factory=dict)  # beside the rest with --json
    _after: dict[str, Batch] = field(default_factory=dict)

    def find(self, code: str) -> Thing:
        """What a code names.

        Raises:
            RefusedError: it names a lot.
        """
        if is_lot_code(code):
            lot = self.find_lot(code)
            raise RefusedError(
                lot.code,
                f"it is a lot ({lot.what}), and a jar, extract or bottle is wanted",
                do="name one of those; a jar is charged from a lot.",
            )
        return self.desk.bench.find(code)

    def find_lot(self, code: str) -> Lot:
        """The lot a code names.

        Raises:
            RefusedError: it names something else.
        """
        try:
            return self.desk.bench.find_lot(code)
        except UnknownCodeError as unknown:
            try:
                thing = self.desk.bench.find(code)
            except TrackerError:
                raise unknown from None
            raise RefusedError(
                thing.code,
                f"it is a {thing.kind}, and a lot is wanted",
                do="name a lot, such as LOT-26-01.",
            ) from None

    def lots(self) -> list[Lot]:
        """Every lot; none in a book that is only begun."""
        return self.desk.bench.lots() if self.desk.bench.book.exists() else []

    def left_of(self, lot: Lot) -> float:
        """What is left of a lot, g or ml; never below nothing."""
        return max(left(lot, self.desk.bench.batches()), 0.0)

    def find_any(self, code: str) -> Thing | Lot:
        """The jar, extract, bottle or lot a code names."""
        return thing_or_lot(self.desk.bench, code)

    def add(self, subject: str, fact: AnyFact, *, event_id: str | None = None) -> str:
        """Put a fact on the sheet; returns the id its event will have."""
        draft = Draft(event_id or self.desk.bench.new_id(), subject, self.when, fact)
        self.drafts.append(draft)
        return draft.id

    def tell(self, line: Callable[[], str]) -> None:
        """Answer with this line once the facts are settled."""
        self.lines.append(line)

    def tell_fact(self, code: str, fact: AnyFact) -> None:
        """Answer with the fact in words."""
        self.tell(lambda: f"{code} {said(fact)}.")

    def after(self, batch_id: str) -> Batch:
        """The jar or blend as it stands once the sheet is recorded."""
        batch = self._after.get(batch_id)
        if batch is None:
            raise MisusedError(
                "That leaves no jar at all.", where="the sheet", do="see `stillroom history`."
            )
        return batch

    def jar_after(self, jar_id: str) -> Jar:
        """The jar as it stands once the sheet is recorded."""
        jar = self.after(jar_id)
        assert isinstance(jar, Jar)
        return jar

    def settle(self) -> None:
        """Replay every jar the sheet touches, with the sheet; note what does not fit."""
        from tracker.core.rules.refusals import known_to_its_end
        from tracker.core.values.lookalikes import strange_names

        bench = self.desk.bench
        recorded = bench.now().astimezone(UTC)
        entries = [
            Entry(
                one.id,
                bench.writer,
                place,
                one.subject,
                one.when,
                recorded,
                validated(one.fact),
            )
            for place, one in enumerate(self.drafts, 1 << 40)
        ]
        self.warnings += [why for one in self.drafts for why in strange_names(one.fact)]
        mine = {one.id for one in self.drafts}
        by_jar = bench.kin_of(jar_id for entry in entries for jar_id in entry.jars)
        for entry in entries:
            for jar_id in entry.jars:
                by_jar.setdefault(jar_id, []).append(entry)
        every = [entry for own in by_jar.values() for entry in own]
        known_to_its_end(every)
        for kin in clusters(by_jar, every):
            lives = lives_of(kin, [entry for jar_id in kin for entry in by_jar[jar_id]])
            self._after |= lives.batches
            shelved: list[Batch | Lot] = [*lives.batches.values(), *lives.lots.values()]
            flags = [*lives.strays, *(flag for one in shelved for flag in one.flags)]
            self.warnings += [flag_text(flag) for flag in flags if flag.event in mine]
        self.warnings += self._overdrawn(entries)

    def _overdrawn(self, entries: list[Entry]) -> list[str]:
        """What was taken from lots beyond what the book says was left: a warning, no more.

        Scales and jugs differ, and a lot may have been weighed by eye.
        """
        used = {lot for entry in entries for lot in lots_used(entry.fact)}
        if not used:
            return []
        batches = {one.id: one for one in self.desk.bench.batches()} | self._after
        return [
            f"{lot.code}: by the book {-over:g} {lot.unit} more was used than there was"
            for lot in self.lots()
            if lot.id in used and (over := left(lot, batches.values())) < -DROP_ML
        ]

    def answer(self) -> None:
        """Say what was recorded: data on standard output, warnings on standard error."""
        desk = self.desk
        for warning in dict.fromkeys(self.warnings):
            typer.echo(f"Look again: {shown(warning)}.", err=True)
        if desk.as_json:
            desk_json(
                {
                    "recorded": [
                        {"id": one.id, "kind": one.fact.kind, "code": one.subject}
                        for one in self.drafts
                    ],
                    "dry_run": desk.dry_run,
                    "flags": list(dict.fromkeys(self.warnings)),
                    "said": [shown(line()) for line in self.lines],
                    **self.more,
                }
            )
            return
        prefix = "Would record: " if desk.dry_run else ""
        for line in self.lines:
            typer.echo(prefix + shown(line()))


@contextmanager
def gathered(desk: Desk) -> Iterator[Sheet]:
    """Gather facts under the lock; write them, all or none, when the block ends well."""
    desk.bench.check_is_book()
    with desk.bench.locked():
        now = desk.bench.now()
        when = parse_when(desk.when or "", now, desk.bench.practice.hemisphere)
        sheet = Sheet(desk, when, now)
        yield sheet
        for draft in sheet.drafts:
            happened(draft.subject, draft.when, sheet.now)
        sheet.settle()
        if sheet.drafts and not desk.dry_run:
            desk.bench.record(sheet.drafts)
    sheet.answer()


def one_of(text: str, choices: object, where: str) -> Any:  # noqa: ANN401 - one of the literals given
    """The word, if it is one of a Literal's.

    Raises:
        MisusedError: it is none of them.
    """
    allowed: tuple[str, ...] = get_args(choices)
    if text.lower() not in allowed:
        raise MisusedError(
            f"{text!r} is not one of {', '.join(allowed)}.", where=where, do="say one of them."
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


def recording(verb: Callable[..., None]) -> Callable[..., None]:
    """Give a recording verb the options every one of them takes.

    The verb is called with a Desk first. Its own parameters stay as they are; `--when`,
    `--by`, `--note`, `--json` and `--dry-run` are added after them. Who did it may also be
    said as `--who`, and must be where `--by` is a verb's own: a jar is pressed by hand.
    """
    own = list(inspect.signature(verb).parameters.values())[1:]
    takes_by = any(
        "--by" in (getattr(option, "default", None), *(getattr(option, "param_decls", None) or ()))
        for one in own
        for option in getattr(one.annotation, "__metadata__", ())
    )
    extra = [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind)
        for name, default, kind in (
            ("when", None, When_),
            ("by", None, WhoOnly if takes_by else Who),
            ("note", None, Note),
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
        as_json: bool,
        dry_run: bool,
        **arguments: object,
    ) -> None:
        bench: Bench = context.obj
        verb(Desk(bench, when, by, note, as_json, dry_run), **arguments)

    run.__dict__["records"] = True  # what a page of lines may say; typer hands it on
    run.__signature__ = inspect.Signature([context, *own, *extra])  # type: ignore[attr-defined]  # typer reads it
    run.__annotations__ = {one.name: one.annotation for one in (context, *own, *extra)}
    return run
