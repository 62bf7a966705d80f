"""What the gate says of a fact: values with a kind and fields, never raised from here."""

from collections.abc import Iterable, Iterator
from typing import Literal

import msgspec

from tracker.core.values.errors import MisusedError, RefusedError, TrackerError

Weight = Literal["refusal", "question", "warning"]
Question = tuple[str, str, str]
Rule = Literal[
    "amount",
    "code",
    "date",
    "day",
    "empty",
    "ended",
    "form",
    "fit",
    "gone",
    "harm",
    "hold",
    "kind",
    "lot",
    "name",
    "order",
    "reference",
    "repeated",
    "room",
    "sign",
    "thing",
    "way",
    "whole",
]


class Finding(msgspec.Struct, frozen=True):
    """One thing the gate has to say: which rule, of what, why, and what to do about it.

    A refusal stops the record. A question is asked at a terminal, and refused elsewhere unless
    somebody is sure. A warning is part of the answer.
    """

    rule: Rule
    code: str
    what: str
    do: str = ""
    weight: Weight = "refusal"
    is_misuse: bool = False
    known_by: str = ""  # in place of `what`, where the words of that go with the clock

    @property
    def question(self) -> Question:
        """What tells this question from any other, so that a yes answers it alone."""
        return self.rule, self.code, self.known_by or self.what


class Verdict(msgspec.Struct, frozen=True):
    """All that the gate has to say of one fact."""

    findings: tuple[Finding, ...] = ()

    @classmethod
    def of(cls, *groups: Iterable[Finding]) -> "Verdict":
        """The findings of several checks as one verdict."""
        return cls(tuple(finding for group in groups for finding in group))

    def _of_weight(self, weight: Weight) -> Iterator[Finding]:
        return (one for one in self.findings if one.weight == weight)

    @property
    def refusals(self) -> tuple[Finding, ...]:
        """What stops the record."""
        return tuple(self._of_weight("refusal"))

    @property
    def questions(self) -> tuple[Finding, ...]:
        """What has to be sure."""
        return tuple(self._of_weight("question"))

    @property
    def warnings(self) -> tuple[Finding, ...]:
        """What is said beside the answer."""
        return tuple(self._of_weight("warning"))


class AskedError(TrackerError):
    """The gate asks, and nobody was sure: nothing was recorded. It says all that is asked."""

    def __init__(self, questions: tuple[Finding, ...]) -> None:
        is_one = len(questions) == 1
        what = "this has" if is_one else "all of this has"
        instead = "; ".join(dict.fromkeys(one.do for one in questions if one.do))
        super().__init__(
            "\n".join(f"{one.code}: {one.what}." for one in questions),
            where=f"nothing was recorded: {what} to be confirmed",
            do=f"{instead}; or add --sure if {'it' if is_one else 'all of it'} is right.",
        )
        self.questions = questions


def refusal(findings: tuple[Finding, ...]) -> TrackerError:
    """The error that says why something was refused."""
    first = findings[0]
    if first.is_misuse:
        return MisusedError(f"{first.what}.", where=first.code, do=_ended(first.do))
    return RefusedError(first.code, first.what, do=_ended(first.do))


def _ended(text: str) -> str:
    """A sentence with its full stop, unless it asks."""
    return text if text.endswith("?") else f"{text}."
