"""Why an event does not fit: one small frozen kind for each reason, with what it is about.

Replay returns these and says nothing in words; `outputs.words.flags` does. `did` is the kind of
the event, as it stands on its line.
"""

from datetime import datetime
from typing import Literal

import msgspec

from tracker.core.shelf.end import End
from tracker.core.values.times import When

# When


class AfterEnd(msgspec.Struct, frozen=True, tag="after_end"):
    """It was done to a steep that was over; `code` names the jar where it is one of several."""

    did: str
    on: When
    end: End
    code: str | None = None


class DatedBefore(msgspec.Struct, frozen=True, tag="dated_before"):
    """It is dated before there was such a thing."""

    on: When
    how: str
    began: When


class StillToCome(msgspec.Struct, frozen=True, tag="still_to_come"):
    """It is dated ahead of the clock."""

    on: When


class WrittenAhead(msgspec.Struct, frozen=True, tag="written_ahead"):
    """It was written down, UTC, ahead of the clock."""

    at: datetime


class SecondPressing(msgspec.Struct, frozen=True, tag="second_pressing"):
    """One steep was pressed twice; the first record stands until the maker says otherwise."""

    ml: float
    first: str
    first_on: When
    first_ml: float
    second: str


class NotPressedYet(msgspec.Struct, frozen=True, tag="not_pressed_yet"):
    """A later steep was begun while the herb of the one before was in."""

    did: str


class MovedOn(msgspec.Struct, frozen=True, tag="moved_on"):
    """Its marc was pressed again into an extract of another steep than the last."""

    did: str


# How much


class MoreThanThere(msgspec.Struct, frozen=True, tag="more_than_there"):
    """More was taken than there was, of a jar, an extract in bulk or a bottle."""

    did: str
    wanted_ml: float
    there_ml: float
    bottle: int | None = None


class MoreAfter(msgspec.Struct, frozen=True, tag="more_after"):
    """There was more after filtering or settling than before."""

    did: str
    before_ml: float
    after_ml: float


class MoreThanWhole(msgspec.Struct, frozen=True, tag="more_than_whole"):
    """The shares of a split come to more than all of it."""

    shares: float


class MoreThanLot(msgspec.Struct, frozen=True, tag="more_than_lot"):
    """More of a lot was discarded than ever came in."""

    wanted: float
    there: float
    unit: str


class OverFull(msgspec.Struct, frozen=True, tag="over_full"):
    """A bottle was refilled beyond its size."""

    volume_ml: float
    size_ml: float


# Of what


class NothingOpens(msgspec.Struct, frozen=True, tag="nothing_opens"):
    """What it is about, or takes from, was never opened by anything in force."""

    did: str
    what: Literal["jar", "extract", "lot", "part", "source"]


class NeverFilled(msgspec.Struct, frozen=True, tag="never_filled"):
    """It is about a bottle that was never filled."""

    did: str
    bottle: int | None = None


class FilledTwice(msgspec.Struct, frozen=True, tag="filled_twice"):
    """A bottle of that number stands already, so the filling does not count."""

    bottle: int


class NotOfSuch(msgspec.Struct, frozen=True, tag="not_of_such"):
    """It cannot happen to that sort of thing."""

    did: str
    what: Literal["lot", "blend", "liquid", "herb"]


class FromItself(msgspec.Struct, frozen=True, tag="from_itself"):
    """It was refilled or poured into out of itself."""

    did: str = "refilled"


class NotOnHold(msgspec.Struct, frozen=True, tag="not_on_hold"):
    """It was released and was not on hold."""


class NotDiscarded(msgspec.Struct, frozen=True, tag="not_discarded"):
    """It was restored, and that discard is not in force."""


# As written


class LetterGivenTwice(msgspec.Struct, frozen=True, tag="letter_given_twice"):
    """Two extracts of a jar were given one letter; this one goes by its own from now on."""

    given: str
    own: str


class RelabelAs(msgspec.Struct, frozen=True, tag="relabel_as"):
    """Two things were given one code; this one is shown under another."""

    code: str
    shown: str
    what: Literal["jars", "lots"]


class LooksAlike(msgspec.Struct, frozen=True, tag="looks_alike"):
    """A code holds a letter that looks like another."""

    why: str


class ContentsDiffer(msgspec.Struct, frozen=True, tag="contents_differ"):
    """One event stands in the book twice with different contents; the first stands."""


class NothingToAmend(msgspec.Struct, frozen=True, tag="nothing_to_amend"):
    """A correction, strike or the like of an event that is not in the book."""

    did: str
    event: str


class CannotCorrect(msgspec.Struct, frozen=True, tag="cannot_correct"):
    """A correction that gives a field a value it cannot have."""

    event: str
    reason: str


class SameGone(msgspec.Struct, frozen=True, tag="same_gone"):
    """Two records were called one happening, and one of them does not count."""

    event: str
    stands: str


class UnknownKind(msgspec.Struct, frozen=True, tag="unknown_kind"):
    """A kind or version that a later program wrote."""

    kind: str


class Unreadable(msgspec.Struct, frozen=True, tag="unreadable"):
    """A value in it says nothing."""

    reason: str


# Of lots


class LotUnknown(msgspec.Struct, frozen=True, tag="lot_unknown"):
    """It took from a lot that nothing in force opens."""


class Overdrawn(msgspec.Struct, frozen=True, tag="overdrawn"):
    """More of a lot was used than there was."""

    code: str
    over: float
    unit: str


class NotHeld(msgspec.Struct, frozen=True, tag="not_held"):
    """Things that hold some of a lot called back and are on no hold."""

    codes: tuple[str, ...]
    lot: str
    recalled: When


OfTime = (
    AfterEnd | DatedBefore | StillToCome | WrittenAhead | SecondPressing | NotPressedYet | MovedOn
)
OfAmount = MoreThanThere | MoreAfter | MoreThanWhole | MoreThanLot | OverFull
OfThing = (
    NothingOpens | NeverFilled | FilledTwice | NotOfSuch | FromItself | NotOnHold | NotDiscarded
)
OfWriting = (
    LetterGivenTwice | RelabelAs | LooksAlike | ContentsDiffer | NothingToAmend | CannotCorrect
    | SameGone | UnknownKind | Unreadable
)  # fmt: skip
OfLots = LotUnknown | Overdrawn | NotHeld
Misfit = OfTime | OfAmount | OfThing | OfWriting | OfLots
