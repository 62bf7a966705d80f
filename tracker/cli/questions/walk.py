"""The walk through the questions of a verb: each asked until the verb can do with the answer."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

import msgspec
import typer
from msgspec.structs import replace

from tracker.cli.asking import AnotherAnswerError, UnansweredError, until_told
from tracker.cli.desk import Desk
from tracker.cli.questions.asked import Asked
from tracker.cli.questions.candidates import show
from tracker.cli.questions.typed_answers import BackError, Put, typed
from tracker.core.values.errors import TrackerError
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.core.rules.recorded import Recorded

Act = Callable[[Desk, Mapping[str, object]], "Recorded"]


class Walk(msgspec.Struct):
    """One verb walked through: what the line gave, and what was answered since."""

    desk: Desk
    questions: Sequence[Asked]
    given: Mapping[str, object]
    act: Act
    answers: dict[str, list[str]] = {}  # by the question; an empty list: left out
    before: dict[str, list[str]] = {}  # what was answered before it was asked again
    refused: tuple[str, list[str]] = ("", [])  # why the last answer was refused, and that

    def text(self, name: str) -> str | None:
        """What was answered or given under a name, where it is one text."""
        if texts := self.answers.get(name):
            return texts[0]
        given = self.given.get(name)
        if isinstance(given, list):
            given = given[0] if given else None
        return given if isinstance(given, str) else None

    def words(self) -> dict[str, object]:
        """What the verb is given: the line, and every answer so far."""
        found = dict(self.given)
        for one in self.questions:
            if texts := self.answers.get(one.name):
                found |= one.arguments(self, texts)
        return found

    def forget(self, names: Sequence[str]) -> None:
        """Leave open what was as an answer said that is another one now."""
        for name in names:
            self.answers.pop(name, None)
        self.given = {name: value for name, value in self.given.items() if name not in names}

    # Asking

    def ask_all(self) -> None:
        """Ask what was not given, in the order of the work; `back` goes one question back."""
        at, asked, again = 0, list[int](), set[int]()
        while at < len(self.questions):
            one = self.questions[at]
            if one.given_by(self.given) or not one.applies(self):
                self.answers.pop(one.name, None)
                at += 1
                continue
            if one.name in self.answers and at not in again:  # as it was of another jar
                at += 1
                continue
            again.discard(at)
            try:
                self.ask(one)
            except BackError:
                at = asked.pop() if asked else at
                again.add(at)
                continue
            asked.append(at)
            at += 1

    def ask(self, one: Asked) -> None:
        """Ask one question until the verb can do with the answer.

        Raises:
            BackError: the one before it is meant.
        """
        if old := self.answers.pop(one.name, None):
            self.before[one.name] = old
        answered: list[str] = []
        put = self._put(one)
        while True:
            texts, is_usual = typed(put, is_more=bool(answered))
            self.answers[one.name] = [*answered, *texts]
            if texts and (reason := self._wrong_with(one)):
                typer.echo(shown(reason), err=True)
                self.answers[one.name] = answered
                continue
            answered = self.answers[one.name]
            if not texts or is_usual or one.many != "lines":
                return

    def _put(self, one: Asked) -> Put:
        old = self.before.get(one.name)
        return Put(
            one,
            show(one.offers(self)),
            " + ".join(old) if old else one.usual(self),
            one.is_default and not old,
            one.such_as(self),
            one.unit(self),
        )

    # Trying

    def _wrong_with(self, one: Asked) -> str:
        """Why the verb cannot do with the answers so far; nothing where it can, as far as is known.

        Raises:
            TrackerError: whatever is answered is refused for the same reason, so another is
                wrong: one that was given on the line.
        """
        try:
            words = self.words() | self._sampled()
            if one.is_tried:
                self.tried(words, sure=True)
        except UnansweredError:
            pass
        except TrackerError as reason:
            why, texts = said(reason), self.answers[one.name]
            was, answered = self.refused
            if why == was and texts != answered:
                raise
            self.refused = why, texts
            return why
        self.refused = "", []
        return ""

    def _sampled(self) -> dict[str, object]:
        """What stands for every answer that is still to come."""
        words = dict[str, object]()
        for one in self.questions:
            if self.answers.get(one.name) or one.given_by(self.given):
                continue
            if sample := one.sample(self):
                words |= one.arguments(self, [sample])
        return words

    def tried(self, words: Mapping[str, object], *, sure: bool) -> "Recorded":
        """What the verb would record.

        Raises:
            TrackerError: it would record nothing.
        """
        desk = replace(self.desk, dry_run=True, sure=sure)
        while True:
            try:
                return until_told(desk, partial(self.act, desk, words))
            except AnotherAnswerError as other:
                words = {**words, other.name: other.text}
                self._answer_instead(other)

    def _answer_instead(self, other: AnotherAnswerError) -> None:
        if other.name in self.answers:
            self.answers[other.name] = [other.text]
        else:
            self.given = {**self.given, other.name: other.text}


def said(reason: TrackerError) -> str:
    """What is wrong and what to do, in one line."""
    return f"{reason.what} {reason.do[:1].upper()}{reason.do[1:]}"
