"""What goes into the record path, and what comes back from it: values, and no text."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeAlias

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import AnyFact
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.part import ShelfPart
from tracker.core.values.times import When

if TYPE_CHECKING:  # what few answers hold
    from tracker.core.reckoning.flows.recall import Reach
    from tracker.core.reckoning.odd_yield import OddYield
    from tracker.core.rules.reminders import Due
    from tracker.core.shelf.thing import Batch


class Draft(msgspec.Struct, frozen=True):
    """A fact about to be recorded: what, about which code, and when it happened."""

    id: str
    subject: str
    when: When
    fact: AnyFact


class StillHeld(msgspec.Struct, frozen=True):
    """The codes of what the recall of a lot put on hold, and its release leaves so."""

    codes: tuple[str, ...]


class LotCounted(msgspec.Struct, frozen=True):
    """What a count did not find of a lot, and what is left of it now; in `unit`, g or ml."""

    missing: float
    left: float
    unit: str


class DueWhileAway(msgspec.Struct, frozen=True):
    """What will happen on the shelf while the maker is away, and that shelf."""

    lines: "tuple[Due, ...]"
    shelf: "tuple[Batch, ...]"


# What the answer to one fact needs of the rest of the shelf.
More: TypeAlias = "OddYield | StillHeld | Reach | LotCounted | DueWhileAway"


class Recorded(msgspec.Struct, frozen=True):
    """What one command recorded, or would record.

    Args:
        entries: as written, in the order of the drafts.
        before: what they are about, as it stood.
        after: the same, and what was opened, as it stands now.
        findings: warnings of the gate, and the questions somebody was sure of.
        misfits: what newly fails to fit, whichever event it hangs on.
        roots: of each amendment, by its id, the event it is about in the end: was, and is now.
        meanwhile: what was done on a value between its recording and its correction.
        amended: the entries that amendments among these name, by their ids.
        names: what entries that the answer has to name are called, by their ids.
        more: by the id of an entry, what else its answer needs of the shelf.
    """

    entries: tuple[Entry, ...]
    before: ShelfPart
    after: ShelfPart
    findings: tuple[Finding, ...] = ()
    misfits: tuple[Flag, ...] = ()
    roots: Mapping[str, tuple[Entry | None, Entry | None]] = {}
    meanwhile: tuple[Entry, ...] = ()
    amended: Mapping[str, Entry] = {}
    names: Mapping[str, str] = {}
    more: Mapping[str, More] = {}
