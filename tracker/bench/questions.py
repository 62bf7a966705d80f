"""What the gate asks about drafts: each question is open until that very one is answered."""

from collections.abc import Container, Iterator
from contextlib import contextmanager

import msgspec
from msgspec.structs import replace

from tracker.core.rules.verdict import AskedError, Finding, Question, Verdict, refusal
from tracker.core.values.errors import RefusedError


class Questions(msgspec.Struct):
    """The questions about drafts that are recorded together, and those that were answered."""

    sure: bool = False  # every question is answered with yes, whatever it is
    answered: Container[Question] = frozenset()
    line: str = ""  # of a page: it names the line in each, and waits for those of the other lines
    open: list[Finding] = []

    def judge(self, verdict: Verdict) -> list[Finding]:
        """What is left to say of a verdict that lets a fact pass; its open questions are kept.

        Raises:
            RefusedError, MisusedError: it does not pass.
        """
        refuse(verdict)
        if not self.sure:
            self.open += [
                asked for one in verdict.questions if (asked := self._named(one)) not in self
            ]
        return list(verdict.findings)

    def __contains__(self, asked: Finding) -> bool:
        return asked.question in self.answered

    def _named(self, one: Finding) -> Finding:
        return replace(one, code=f"{self.line}, {one.code}") if self.line else one

    @contextmanager
    def before_any_refusal(self) -> Iterator[None]:
        """What is refused after an open question may be so because of it: the question first."""
        try:
            yield
        except RefusedError as refused:
            if self.open and not self.line:
                raise AskedError(tuple(dict.fromkeys(self.open))) from refused
            raise

    def settle(self) -> None:
        """Raise AskedError where any question is open."""
        if self.open:
            raise AskedError(tuple(dict.fromkeys(self.open)))


def refuse(verdict: Verdict) -> None:
    """Raise RefusedError or MisusedError where a verdict holds a refusal."""
    if verdict.refusals:
        raise refusal(verdict.refusals)
