"""Questions whose answer is read with the book at hand: asked once more until it can be read."""

import sys
from collections.abc import Callable, Sequence
from typing import TypeVar

import typer

from tracker.cli.answer import answer_of
from tracker.cli.asking import OpenQuestionError, choose, decision
from tracker.cli.desk import Desk
from tracker.cli.given.typed_words import TypedWords
from tracker.cli.typed_line import typed_line
from tracker.core.facts.kinds import AnyFact
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.verdict import AskedError
from tracker.core.values.errors import AmbiguousAmountError, TrackerError
from tracker.core.values.text import shown

T = TypeVar("T")

NOT_RECORDED = "Nothing was recorded."


def is_asked(desk: Desk) -> bool:
    """Whether a person sits at a terminal and is to be asked."""
    return desk.page is None and not desk.as_json and sys.stdin.isatty()


def typed(question: str, *, may_be_blank: bool = False) -> str:
    """What a person types in answer, with what was odd about it told."""
    words = TypedWords()
    default = "" if may_be_blank else None
    text = typed_line(shown(question), default, prompt_suffix=" ", show_default=False)
    text = words.text(text)
    for remark in words.remarks:
        say(remark)
    return text.strip()


def say(text: str) -> None:
    """Print a line beside the answer."""
    typer.echo(shown(text), err=True)


def answer_to(desk: Desk, key: str, prompt: Callable[[], str], read: Callable[[str], T]) -> T:
    """The answer to a question, read while the book is held; asked again while it cannot be.

    Args:
        desk: keeps the answer from one run of the verb to the next.
        key: what the answer is kept under.
        prompt: asks, once the book is let go.
        read: reads the answer.

    Raises:
        OpenQuestionError: it was not asked yet, or could not be read.
    """

    def ask() -> None:
        desk.answers[key] = prompt()

    if key not in desk.answers:
        raise OpenQuestionError(ask)
    try:
        return read(desk.answers[key])
    except TrackerError as slip:
        reason = slip

    def again() -> None:
        if isinstance(reason, AmbiguousAmountError):
            try:
                desk.answers[key] = choose(reason)
                return
            except AmbiguousAmountError:
                pass
        else:
            _say_slip(reason)
        ask()

    raise OpenQuestionError(again)


def _say_slip(reason: TrackerError) -> None:
    say(f"{reason.what} {reason.do[:1].upper()}{reason.do[1:]}")


def stop() -> None:
    """End, with nothing recorded."""
    typer.echo(NOT_RECORDED, err=True)
    raise typer.Exit(1)


def recorded_once_shown(
    desk: Desk,
    facts: Sequence[tuple[str, AnyFact]],
    told: Callable[[Recorded], Sequence[str]],
    *,
    asks_again: Sequence[str] = (),
) -> Recorded:
    """Record facts; at a terminal once a person has seen what comes of them and says yes.

    What the gate asks stands in place of that one question, each by itself.

    Args:
        desk: where the verb is run.
        facts: each about what is shown under a code.
        told: what is shown before, from what would be recorded.
        asks_again: the beginnings of the keys of answers that are asked for once more where the
            gate refuses what they come to.
    """
    if not is_asked(desk) or desk.sure or desk.dry_run:
        return desk.record_all(facts)
    key = f"record {[(code, str(fact)) for code, fact in facts]}"
    if key in desk.answers:
        return desk.record_all(facts)
    try:
        would = _tried(desk, facts)
    except AskedError:
        raise
    except TrackerError as reason:
        if not asks_again:
            raise
        raise OpenQuestionError(_forgetting(desk, asks_again, reason)) from None
    lines = told(would)
    answer = answer_of(desk, would)
    is_asked_by_the_gate = any(one.weight == "question" for one in would.findings)

    def ask() -> None:
        for line in lines:
            say(line)
        if not is_asked_by_the_gate and decision("Record?", usual="yes") != "yes":
            stop()
        desk.answers[key] = "yes"
        desk.confirmed = (*answer.lines, *answer.beside)

    raise OpenQuestionError(ask)


def _forgetting(desk: Desk, asks_again: Sequence[str], reason: TrackerError) -> Callable[[], None]:
    def forget() -> None:
        _say_slip(reason)
        for key in [one for one in desk.answers if one.startswith(tuple(asks_again))]:
            del desk.answers[key]

    return forget


def _tried(desk: Desk, facts: Sequence[tuple[str, AnyFact]]) -> Recorded:
    """What would be recorded, and nothing is written."""
    was = desk.dry_run, desk.sure
    desk.dry_run = desk.sure = True
    try:
        return desk.record_all(facts)
    finally:
        desk.dry_run, desk.sure = was
