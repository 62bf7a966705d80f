"""What can go wrong and what the person at the bench can do about it."""

from collections.abc import Sequence
from typing import ClassVar

import msgspec

from tracker.core.values.lookalikes import strange_letter

# Of many things that fit, so many are listed.
_MOST_LISTED = 20


class TrackerError(Exception):
    """An expected failure: what happened, where, and what to do about it.

    Exit codes are those of the command: 1 refused by a rule of the trade or the book,
    2 misused.
    """

    exit_code: ClassVar[int] = 1

    def __init__(self, what: str, *, where: str, do: str) -> None:
        super().__init__(what)
        self.what, self.where, self.do = what, where, do

    def __str__(self) -> str:
        return f"{self.what}\n  where: {self.where}\n  to do: {self.do}"


class RefusedError(TrackerError):
    """The event cannot be recorded as things stand; nothing was written."""

    def __init__(self, code: str, why: str, *, do: str) -> None:
        super().__init__(f"{code}: {why}.", where="nothing was recorded", do=do)


class MisusedError(TrackerError):
    """The words of the command cannot be understood."""

    exit_code = 2


class UnknownCodeError(TrackerError):
    """Nothing in the book has the code that was named."""

    def __init__(self, code: str, near: list[str], *, list_verb: str = "shelf --done") -> None:
        hint = f"did you mean {near[0]}? " if near else ""
        if strange := strange_letter(code) or _unseen(code):
            hint = f"{strange}: type it again. {hint}"
        super().__init__(
            f"Nothing in the book goes by {code}.",
            where=f"the code or name {code!r}",
            do=f"{hint}`stillroom {list_verb}` lists what there is.",
        )
        self.near = near


def _unseen(code: str) -> str | None:
    from tracker.core.values.unseen import unseen_sign

    sign = unseen_sign(code)
    return sign and f"there is {sign}, which cannot be seen"


class AmbiguousCodeError(TrackerError):
    """A shortened code fits more than one thing."""

    def __init__(self, code: str, fits: list[str]) -> None:
        shown = ", ".join(fits[:6]) + (f" and {len(fits) - 6} more" if len(fits) > 6 else "")
        super().__init__(
            f"{code} fits {len(fits)} things: {shown}.",
            where=f"the code or name {code!r}",
            do="write more of the code.",
        )
        self.fits = fits


class Candidate(msgspec.Struct, frozen=True):
    """One of several things that may be meant."""

    code: str
    name: str
    state: str

    def __str__(self) -> str:
        return f"{self.code}  {self.name}, {self.state}"


class SeveralFitError(MisusedError):
    """A name or the beginning of a code that several things fit."""

    def __init__(self, text: str, candidates: Sequence[Candidate]) -> None:
        lines = [f"  {one}" for one in candidates[:_MOST_LISTED]]
        if (more := len(candidates) - _MOST_LISTED) > 0:
            lines.append(f"  and {more} more")
        start = text.strip().casefold()
        is_code = start == "." or any(one.code.casefold().startswith(start) for one in candidates)
        super().__init__(
            "\n".join([f"{text} fits {len(candidates)} things:", *lines]),
            where=f"the {'code' if is_code else 'name'} {text!r}",
            do="write the code of one, or more of the name.",
        )
        self.text, self.candidates = text, tuple(candidates)


class AmbiguousLotError(AmbiguousCodeError):
    """A supplier's number that several lots bear."""

    def __init__(self, number: str, fits: list[str]) -> None:
        super().__init__(number, fits)
        self.what = f"{len(fits)} lots have the supplier's number {number}: {', '.join(fits)}."
        self.do = "name the lot by its own code."


class UnknownEntryError(TrackerError):
    """No line of the book has that number."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"The book has no entry {text}.",
            where=f"the number {text!r}",
            do="`stillroom history CODE` shows the number of every entry.",
        )


class AmbiguousEntryError(TrackerError):
    """A number or a part of an id is that of several lines."""

    def __init__(self, text: str, fits: list[str]) -> None:
        shown = ", ".join(fits[:6]) + (f" and {len(fits) - 6} more" if len(fits) > 6 else "")
        super().__init__(
            f"{text} may be {len(fits)} entries: {shown}.",
            where=f"the number {text!r}",
            do="write one of these.",
        )


class BookError(TrackerError):
    """The book's folder cannot be read or written as it should."""


class ChangedLineError(BookError):
    """A line is no longer the one that was read of its file before."""

    def __init__(self, file: str) -> None:
        super().__init__(
            f"The file {file} of the book is being changed while it is read.",
            where="the book's folder events; nothing was recorded",
            do="pause the program that syncs it, or close the editor, then repeat the command.",
        )


class DamagedLineError(TrackerError):
    """A line of the book is not what was written there."""


class StrangeLineError(DamagedLineError):
    """A line fits the chain, but nothing that could have been recorded reads so."""


class QuantityError(MisusedError):
    """An amount that is not one: no number, no unit, the wrong kind, out of range."""

    def __init__(self, text: str, why: str, *, do: str) -> None:
        end = "" if why.endswith("?") else "."
        super().__init__(f"{text!r}: {why}{end}", where="the amount as written", do=do)


class Reading(msgspec.Struct, frozen=True):
    """One way to read an amount: how that is written without doubt, and what it comes to."""

    written: str
    comes_to: str

    def __str__(self) -> str:
        return f"{self.written} ({self.comes_to})" if self.comes_to else self.written


class AmbiguousAmountError(QuantityError):
    """An amount that may be read in more than one way, with each of its readings."""

    def __init__(self, text: str, why: str, readings: Sequence[Reading]) -> None:
        super().__init__(text, why, do="write one of these.")
        self.text, self.why, self.readings = text, why, tuple(readings)
        self.what += f" It may be read as: {'; '.join(map(str, self.readings))}."


class AmbiguousDateError(AmbiguousAmountError):
    """A date in numbers that may be two days."""

    def __init__(self, text: str, why: str, readings: Sequence[Reading]) -> None:
        super().__init__(text, why, readings)
        self.where = "the day as written"

    def at(self, clock: str) -> "AmbiguousDateError":
        """The same of a day with a time behind it."""
        ways = [
            Reading(f"{one.written} {clock}", f"{one.comes_to}, {clock}") for one in self.readings
        ]
        return AmbiguousDateError(f"{self.text} {clock}", self.why, ways)

    def by(self) -> "AmbiguousDateError":
        """The same of the last day that something can have happened on."""
        ways = [Reading(f"by {one.written}", f"by {one.comes_to}") for one in self.readings]
        return AmbiguousDateError(f"by {self.text}", self.why, ways)


class AmbiguousPourError(AmbiguousAmountError):
    """A pour that may be read in more than one way."""


class PracticeError(MisusedError):
    """practice.toml holds a key or value that means nothing."""
