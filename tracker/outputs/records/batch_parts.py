"""What a batch record is made of, as data.

What one needs is listed in 21 CFR 111.260 (from memory; docs/record.md goes through it). The
record helps to keep one and says what it does not hold; it is not compliance.
"""

from datetime import datetime

import msgspec

from tracker.outputs.answer_fields import Answer

BASIS = (
    "After the list in 21 CFR 111.260. It helps to keep a batch record; it does not make "
    "anything compliant."
)
# What the book does not know, by the paragraph that asks for it: for ink, or other records.
NOT_HELD = (
    "111.260(b), (c): the equipment used, and when it was cleaned",
    "111.260(h), (i): tests made elsewhere, and that specifications are met",
    "111.260(j)(2): initials of the person who verified weights and additions",
    "111.260(k): an actual label, and the reconciliation of labels",
    "111.260(l): the review and approval by quality control",
)
TO_FILL_IN = (
    "Vessel and equipment used",
    "Cleaned, how and when",
)
TO_SIGN = (
    "Weighed or measured by",
    "Verified by",
    "Added by",
    "Addition verified by",
    "Equipment clean, checked by",
    "Record reviewed by",
    "Released or rejected by",
)


class Amended(msgspec.Struct, frozen=True):
    """What amended a step later: a correction, a strike, or that it counts as another.

    `changed`: what a correction in force changed, `volume 370 ml → 330 ml`.
    """

    id: str
    number: str
    kind: str
    recorded: datetime
    by: str | None
    why: str | None
    said: str
    in_force: bool
    changed: tuple[str, ...] = ()


class Step(msgspec.Struct, frozen=True):
    """One line of the book. `said` is what was written; `now`, what holds where it differs.

    `at`: the hour it happened, where one is known.
    """

    id: str
    number: str
    kind: str
    code: str
    when: str
    recorded: datetime
    by: str | None
    writer: str
    said: str
    in_force: bool
    now: str | None = None
    amended: tuple[Amended, ...] = ()
    at: datetime | None = None


class Component(msgspec.Struct, frozen=True):
    """Something weighed or measured in, `amount` in `unit`, as far as it is known.

    `herb` is the plant, of what is one; `lot_in_book`, whether its lot is one of the book.
    """

    event: str
    on: str
    what: str
    amount: float | None
    unit: str
    known: str
    by: str | None
    written: str | None = None
    lot: str | None = None
    where: str | None = None
    their_lot: str | None = None
    herb: str | None = None
    at: datetime | None = None
    lot_in_book: bool = False
    lot_recalled: bool = False


class BlendPart(msgspec.Struct, frozen=True):
    """A jar, extract or bottle that some of this came from, with its lots, days and cautions."""

    code: str
    what: str
    how: str
    on: str
    ml: float | None
    lots: tuple[str, ...]
    charged: str | None = None
    pressed: str | None = None
    good_through: str | None = None
    hold: str | None = None
    cautions: tuple[str, ...] = ()


class BottleLeft(msgspec.Struct, frozen=True):
    """A bottle, its size, what is left in it and how strong, its state, its own last good day."""

    code: str
    size_ml: float
    left_ml: float
    filled: str
    state: str
    good_through: str | None
    hold: str | None
    strength: str


class ExtractYield(msgspec.Struct, frozen=True):
    """What a pressing, draw-off or blend gave, and where every millilitre of it went.

    `later_ml` of it came when the same marc was pressed again. `possible_ml` is all the liquid
    there was before it; what came in equals what went out. `strength` is that of its bulk.
    """

    code: str
    how: str
    on: str
    ml: float
    later_ml: float
    known: str
    possible_ml: float | None
    pct_of_possible: float | None
    marc: str | None
    added_ml: float
    filter_loss_ml: float
    lees_ml: float
    passed_on_ml: float
    dispensed_ml: float
    discarded_ml: float
    unaccounted_ml: float
    bulk_ml: float
    bottled_ml: float
    good_through: str | None
    hold: str | None
    strength: str
    bottles: tuple[BottleLeft, ...]


class GivenOut(msgspec.Struct, frozen=True):
    """What was given out: how much, of what, when, under which reference, and by whom."""

    event: str | None
    code: str
    on: str
    ml: float | None
    reference: str | None
    by: str | None = None
    number: str | None = None


class FileDigest(msgspec.Struct, frozen=True):
    """How far a writer's file goes, and the chained digest of its last line."""

    file: str
    lines: int
    digest: str


class Book(msgspec.Struct, frozen=True):
    """The state of the book the record was taken from."""

    whole: bool
    digest: str
    files: tuple[FileDigest, ...]


class Heeded(msgspec.Struct, frozen=True):
    """Something to heed before anything else: in a word or two, and in full."""

    mark: str
    said: str
    is_grave: bool


class Record(msgspec.Struct, frozen=True):
    """Everything the book holds about one batch.

    Attributes:
        name: what its plants are called, with part and form; `latin` are their Latin names.
        heed: what has to be read before anything else, the gravest first.
        days: when it was charged, what became of it, till when it is good.
        grave: those of the cautions that are about a poison, or a way not to use it.
        made: when it was printed.
    """

    code: str
    what: str
    state: str
    hold: str | None
    made: datetime
    book: Book
    batch: Answer
    cautions: tuple[str, ...]
    components: tuple[Component, ...]
    parts: tuple[BlendPart, ...]
    yields: tuple[ExtractYield, ...]
    lots: tuple[str, ...]
    given: tuple[GivenOut, ...]
    holds: tuple[Step, ...]
    labels: tuple[Step, ...]
    steps: tuple[Step, ...]
    flags: tuple[str, ...]
    basis: str = BASIS
    not_held: tuple[str, ...] = NOT_HELD
    to_sign: tuple[str, ...] = TO_SIGN
    to_fill_in: tuple[str, ...] = TO_FILL_IN
    name: str = ""
    latin: tuple[str, ...] = ()
    heed: tuple[Heeded, ...] = ()
    days: tuple[str, ...] = ()
    grave: tuple[str, ...] = ()
