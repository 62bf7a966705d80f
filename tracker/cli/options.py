"""The options that every recording verb takes, and those that several share."""

import inspect
import sys
from collections.abc import Callable, Mapping
from functools import partial, wraps
from typing import Annotated, get_args

import typer

from tracker.bench.bench import Bench
from tracker.bench.last_named import remember_named
from tracker.bench.record import also_failed
from tracker.cli.answer import answer_of, answered, kept_once_recorded, show_answer
from tracker.cli.asking import AnotherAnswerError, UnansweredError, until_answered
from tracker.cli.damaged_book import tell_damages
from tracker.cli.desk import AsJson, Desk
from tracker.cli.first_book import mention_begin
from tracker.cli.given.person_given import remember_for_the_evening, who_did_it
from tracker.cli.given.spoken_of import named_in
from tracker.cli.given.typed_words import TypedWords
from tracker.cli.lines import Page
from tracker.cli.questions.guides import GUIDES
from tracker.core.rules.recorded import Recorded
from tracker.core.values.errors import MisusedError, TrackerError
from tracker.core.values.text import shown

When_ = Annotated[
    str | None,
    typer.Option("--when", help="When it happened: 2 Feb, monday, 3 days ago, summer 2023."),
]
Who = Annotated[
    str | None, typer.Option("--by", help="Who did it; remembered for the evening. me: you.")
]
Note = Annotated[str | None, typer.Option("--note", help="A remark to keep with it.")]
DryRun = Annotated[
    bool, typer.Option("--dry-run", help="Show what would be recorded; write nothing.")
]
Sure = Annotated[bool, typer.Option("--sure", help="Answer yes to every question.")]

JarCode = Annotated[str | None, typer.Argument(help="The jar, such as CAOF-26-01.")]
ExtractCode = Annotated[str | None, typer.Argument(help="The extract, such as CAOF-26-01A.")]
Codes = Annotated[list[str] | None, typer.Argument(help="Codes, such as CAOF-26-01.")]
Filled = Annotated[
    str | None,
    typer.Option(help="What the jar stands at, herb and menstruum together: 580ml."),
]
Belongs = Annotated[
    str | None, typer.Option("--belongs", help="Whose it is: a reference, never a name.")
]
Why = Annotated[str | None, typer.Option(help="Why.")]

_BESIDE_EVERY = (
    ("when", None, When_),
    ("by", None, Who),
    ("note", None, Note),
    ("sure", False, Sure),
    ("as_json", False, AsJson),
    ("dry_run", False, DryRun),
)


def recording(verb: Callable[..., Recorded]) -> Callable[..., None]:
    """Give a recording verb the options every one of them takes, and print its answer.

    The verb is called with a Desk first. Its own parameters stay as they are; `--when`, `--by`,
    `--note`, `--sure`, `--json` and `--dry-run` are added after them.
    """
    typed_as = verb.__name__.rstrip("_").replace("_", "-")

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
        typed = TypedWords()
        words = typed.arguments(arguments)
        when, by, note = (one and typed.text(one) for one in (when, by, note))

        def said(desk: Desk, words: Mapping[str, object]) -> Recorded:
            desk.by, remark = who_did_it(desk.bench, by)
            desk.remarks += [*typed.remarks, *([remark] if remark else [])]
            return verb(desk, **words)

        if isinstance(at_hand, Page):
            desk = Desk(at_hand.bench, when, by, note, sure=sure, page=at_hand, verb=typed_as)
            at_hand.add(answer_of(desk, said(desk, words)), desk.papers)
            return
        desk = Desk(at_hand, when, by, note, as_json, dry_run, sure, verb=typed_as)
        mention_begin(at_hand)
        with kept_once_recorded(desk):
            recorded = _recorded(desk, verb.__name__, words, said)
            if desk.is_recorded:
                remember_for_the_evening(desk.bench, by)
                remember_named(at_hand.state, named_in(recorded))
            show_answer(desk, answered(desk, recorded))
            tell_damages(desk.damages)

    run.__dict__["records"] = True  # what a page of lines may hold; typer hands it on
    _give_signature(run, verb)
    return run


def _give_signature(run: Callable[..., None], verb: Callable[..., Recorded]) -> None:
    """What typer reads of a verb: its own parameters, and those beside every one."""
    own = list(inspect.signature(verb).parameters.values())[1:]
    extra = [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind)
        for name, default, kind in _BESIDE_EVERY
    ]
    context = inspect.Parameter(
        "context", inspect.Parameter.POSITIONAL_OR_KEYWORD, annotation=typer.Context
    )
    run.__signature__ = inspect.Signature([context, *own, *extra])  # type: ignore[attr-defined]  # typer reads it
    run.__annotations__ = {one.name: one.annotation for one in (context, *own, *extra)}


def _recorded(
    desk: Desk, verb: str, words: Mapping[str, object], act: Callable[..., Recorded]
) -> Recorded:
    """What a verb recorded; where it is refused, its remarks are printed before the refusal.

    Once the lines are on the disk nothing refuses them any more: what fails then is a remark.
    """
    try:
        return _asked(desk, verb, words, act)
    except Exception as reason:
        if desk.done is not None:
            desk.bench.remarks.append(also_failed(reason))
            return desk.done
        if isinstance(reason, TrackerError):
            for remark in (*desk.remarks, *desk.bench.remarks):
                typer.echo(shown(remark), err=True)
        raise


def _asked(
    desk: Desk, verb: str, words: Mapping[str, object], act: Callable[..., Recorded]
) -> Recorded:
    """What a verb recorded; at a terminal it is walked through where anything is missing."""
    desk.is_guided = verb in GUIDES and sys.stdin.isatty() and not desk.as_json
    if desk.is_guided and words.get("like"):
        from tracker.cli.questions.confirming import alike

        words = alike(desk, verb, words, act)
    while True:
        try:
            return until_answered(desk, partial(act, desk, words))
        except AnotherAnswerError as other:
            words = {**words, other.name: other.text}
        except UnansweredError:
            break
    from tracker.cli.questions.confirming import walked

    given = walked(desk, verb, words, act)
    return until_answered(desk, lambda: act(desk, given))


def one_of(text: str, choices: object, where: str) -> str:
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
