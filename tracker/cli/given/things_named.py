"""What is meant by a name, by the beginning of a code that fits several, and by `.`."""

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Protocol, TypeVar

import msgspec

from tracker.bench.last_named import last_named
from tracker.cli.asking import choose_thing
from tracker.core.shelf.acted_on import Fits
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, whole
from tracker.core.values.command_words import command
from tracker.core.values.errors import (
    AmbiguousCodeError,
    AmbiguousLotError,
    MisusedError,
    RefusedError,
    SeveralFitError,
    UnknownCodeError,
)
from tracker.core.values.near_names import near_names

if TYPE_CHECKING:
    from tracker.cli.desk import Desk

Found = TypeVar("Found", bound=Thing | Lot)

LAST = "."
_MOST_GONE = 6


class Book(Protocol):
    """What names are looked up in: the bench, or the book held open."""

    def batches(self, *, live_only: bool = False) -> list[Batch]:
        """Every jar and blend, or those with anything still on the shelf."""

    def lots(self) -> list[Lot]:
        """Every lot."""

    def find_any(self, code: str) -> Thing | Lot:
        """What a code names."""


class Sought(msgspec.Struct, frozen=True):
    """Where a name is looked up, and what it may mean there."""

    book: Book
    fits: Fits
    with_lots: bool = False
    else_lots: bool = False  # only where nothing on the shelf has the name
    list_verb: str = "shelf --done"


class LotsAlone(msgspec.Struct, frozen=True):
    """A book in which only lots are looked up."""

    book: "LotBook"

    def batches(self, *, live_only: bool = False) -> list[Batch]:  # as Book has it
        """None: a lot is sought."""
        return []

    def lots(self) -> list[Lot]:
        """Every lot."""
        return self.book.lots()

    def find_any(self, code: str) -> Lot:
        """The lot a code names."""
        return self.book.find_lot(code)


class LotBook(Protocol):
    """Where lots are looked up by code."""

    def lots(self) -> list[Lot]:
        """Every lot."""

    def find_lot(self, code: str) -> Lot:
        """The lot a code names."""


def lot_meant(desk: "Desk", text: str, book: LotBook) -> Lot:
    """The lot that a code, a supplier's number or the name of a herb or liquid means.

    Raises:
        UnknownCodeError, SeveralFitError: none fits, or several do and nobody chooses.
    """
    from tracker.core.shelf.acted_on import any_of

    sought = Sought(LotsAlone(book), any_of, with_lots=True, list_verb="lots")
    return meant(desk, text, book.find_lot, sought)


def meant(desk: "Desk", text: str, find: Callable[[str], Found], sought: Sought) -> Found:
    """What a code names; of what no code begins like, the thing whose plant it names.

    A name that fits one thing is taken, and that is said. Of several a person chooses.

    Raises:
        UnknownCodeError: neither a code nor a name fits.
        SeveralFitError: several do, and there is nobody to choose, or none of them was meant.
    """
    text = spoken_of(desk, text)
    question = _question(text)
    if question in desk.answers:
        return find(desk.answers[question])
    try:
        return find(text)
    except AmbiguousLotError:
        raise
    except AmbiguousCodeError as several:
        found = _beginning_so(several.fits, sought)
    except UnknownCodeError as unknown:
        if ".." in text:
            raise _one_alone(desk, text) from None
        found = _of_that_name(text, sought)
        if not found:
            raise _nearer(text, unknown, sought) from None
    if len(found) > 1:
        return find(chosen(desk, text, found))
    _say_taken(desk, text, found)
    return find(found[0].code)


def _one_alone(desk: "Desk", text: str) -> MisusedError:
    takes = f"`{desk.verb}` takes one thing" if desk.verb else "one thing is asked about"
    return MisusedError(
        f"{text} is a range, and {takes}.",
        where="the code",
        do="name them one by one.",
    )


def spoken_of(desk: "Desk", text: str) -> str:
    """The code that `.` stands for, of several the one that is chosen; any other text as it is.

    Raises:
        MisusedError: nothing was named before.
        SeveralFitError: several things were, and there is nobody to choose.
    """
    if text.strip() != LAST:
        return text
    codes = all_spoken_of(desk)
    if len(codes) == 1:
        return codes[0]
    found = [desk.bench.find_any(code) for code in codes] if desk.page is None else []
    if not found:
        raise MisusedError(
            f"Several things were named just before: {', '.join(codes)}.",
            where=f"the code '{LAST}'",
            do="write the code of one.",
        )
    return chosen(desk, LAST, found)


def all_spoken_of(desk: "Desk") -> list[str]:
    """The codes that `.` stands for: of the line before in a page, else of the command before.

    Raises:
        MisusedError: there are none.
    """
    in_page = desk.page is not None
    codes = desk.page.named if desk.page is not None else last_named(desk.bench.state)
    if not codes:
        raise MisusedError(
            f"Nothing was named before{' in this page' if in_page else ' in this book'}.",
            where=f"the code '{LAST}'",
            do="write a code or a name.",
        )
    _remark(desk, f"{LAST} taken as {', '.join(codes)}.")
    return list(codes)


def chosen(desk: "Desk", text: str, found: Sequence[Thing | Lot]) -> str:
    """The code of the one that a person chooses.

    Raises:
        SeveralFitError: there is nobody to choose, or none of them was meant.
    """
    from tracker.outputs.terminal.candidate_lines import candidate

    names, present = desk.bench.practice.names, desk.bench.present
    asked = SeveralFitError(text, [candidate(one, names, present) for one in found])
    return desk.answer(_question(text), partial(choose_thing, asked), asked)


def _question(text: str) -> str:
    return f"what is meant by {text}"


def _beginning_so(codes: Iterable[str], sought: Sought) -> Sequence[Thing | Lot]:
    """What a verb can act on among these; all of them where it can on none."""
    every = [sought.book.find_any(code) for code in codes]
    able = [one for thing in every for one in _able(thing, sought)]
    return able or every


def _able(thing: Thing | Lot, sought: Sought) -> Sequence[Thing | Lot]:
    if isinstance(thing, Lot):
        return [thing]
    if thing.bottle is not None or (thing.extract is not None and thing.jar is not None):
        return [thing]
    return sought.fits(thing.batch)


def _of_that_name(text: str, sought: Sought) -> Sequence[Thing | Lot]:
    """What a verb can act on of that name; else the one thing there is, for the verb to refuse.

    Raises:
        RefusedError: there are several and it can act on none, or all of it is gone.
    """
    from tracker.core.shelf.find_by_name import named

    live = named(text, sought.book.batches(live_only=True))
    able: list[Thing | Lot] = [one for batch in live for one in sought.fits(batch)]
    if sought.with_lots:
        able += named(text, sought.book.lots())
    if able:
        return able
    if len(live) > 1:
        codes = ", ".join(batch.code for batch in live)
        raise RefusedError(
            text,
            f"nothing of that name can be taken here as it stands: {codes}",
            do=f"`{command('show', live[0].code)}` says how far it is.",
        )
    if live:
        return [whole(live[0])]
    gone = named(text, sought.book.batches())
    found: list[Thing | Lot] = [one for batch in gone for one in sought.fits(batch)]
    if not found and sought.else_lots:
        found += named(text, sought.book.lots())
    if gone and not found:
        raise _all_gone(text, gone)
    return found


def _all_gone(text: str, gone: Sequence[Batch]) -> RefusedError:
    codes = [batch.code for batch in gone]
    more = f" and {len(codes) - _MOST_GONE} more" if len(codes) > _MOST_GONE else ""
    return RefusedError(
        text,
        f"nothing of that name is there any more: {', '.join(codes[:_MOST_GONE])}{more}",
        do=f"`{command('show', codes[0])}` says what became of it.",
    )


def _nearer(text: str, unknown: UnknownCodeError, sought: Sought) -> UnknownCodeError:
    """The same refusal; of what is no code, with the names that are near."""
    if not text.strip() or any(sign.isdigit() for sign in text):
        return unknown
    live = sought.book.batches(live_only=True)
    lots = sought.book.lots() if sought.with_lots or sought.else_lots else []
    said = [one for thing in (*live, *lots) for one in (thing.herb, thing.common) if one]
    names = {*said, *(word for one in said for word in one.split())}
    near = [*near_names(text, names), *unknown.near]
    return UnknownCodeError(text, near, list_verb=sought.list_verb)


def _say_taken(desk: "Desk", text: str, found: Sequence[Thing | Lot]) -> None:
    from tracker.outputs.terminal.candidate_lines import candidate

    one = candidate(found[0], desk.bench.practice.names, desk.bench.present)
    _remark(desk, f"{text} taken as {one.code}, {one.name}.")


def _remark(desk: "Desk", remark: str) -> None:
    if remark not in desk.remarks:
        desk.remarks.append(remark)
