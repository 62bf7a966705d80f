"""A book as it is asked: jars, blends, lots, lines and what is wrong with them."""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar

from tracker.core.practice.practice import PRACTICE_FILE
from tracker.core.shelf.find_by_code import picked, picked_any, picked_lot
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.misfit import LooksAlike
from tracker.core.shelf.shelf import Shelf
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.errors import BookError
from tracker.core.values.lookalikes import strange_letter
from tracker.journal.model import read_model
from tracker.journal.model.read_model import AskedModel, ReadModel
from tracker.journal.model.sealed_model import SealedModel

if TYPE_CHECKING:
    from tracker.core.facts.entry import Entry
    from tracker.core.rules.away import Stay
    from tracker.journal.file_marks import Damage

P = ParamSpec("P")
T = TypeVar("T")


class AskedBook:
    """One book and its read model: what is on the shelf, and every line about it.

    Args:
        book: the book's folder.
        model: what answers for it.
        named: whether a person named the folder, so that it has to be there.
        chosen: whether it is the one that `begin` chose, which is never begun again by itself.
    """

    def __init__(self, book: Path, model: ReadModel, *, named: bool, chosen: bool = False) -> None:
        self.book, self.model = book, model
        self._named, self._chosen = named, chosen
        self._asked: AskedModel | None = None

    @property
    def is_by_default(self) -> bool:
        """Whether nobody said which book: it is the one in the platform's own place."""
        return not self._named and not self._chosen

    @contextmanager
    def asking(self) -> Iterator[None]:
        """Ask the read model as it is now, through one connection until the block ends."""
        self.must_exist()
        with closing(self._model()) as self._asked:
            try:
                yield
            finally:
                self._asked = None

    def _model(self) -> AskedModel:
        return AskedModel(self.model, self.model.connect())

    def _ask(
        self, question: Callable[Concatenate[SealedModel, P], T], *given: P.args, **named: P.kwargs
    ) -> T:
        """Ask the read model one thing; one that is broken is made new, and asked again."""
        if self._asked is not None:
            return self._asked.ask(question, *given, **named)
        with closing(self._model()) as model:
            return model.ask(question, *given, **named)

    def check_is_book(self) -> None:
        """Raise BookError unless the folder is a book, or could become the default one."""
        events = self.book / "events"
        if events.is_dir():
            return
        if self.book.exists() and (not self.book.is_dir() or self._holds_other_things()):
            raise BookError(
                "That is not a book: it has no folder named events.",
                where=str(self.book),
                do="name the folder of a book, or an empty one to begin a book in.",
            )

    def _holds_other_things(self) -> bool:
        return any(path.name != PRACTICE_FILE for path in self.book.iterdir())

    def must_be_where_chosen(self) -> None:
        """Raise BookError where the book that `begin` chose is gone: a new one would hide that."""
        made_of = (self.book / "events", self.book / PRACTICE_FILE)
        if self._chosen and not any(one.exists() for one in made_of):
            raise BookError(
                "The book is not there any more.",
                where=str(self.book),
                do="connect its drive again, or say where it is now: `stillroom begin --at DIR`.",
            )

    def must_exist(self) -> None:
        """Raise BookError where an asking verb was pointed at nothing."""
        self.must_be_where_chosen()
        self.check_is_book()
        if self._named and not self.book.exists():
            raise BookError(
                "There is no book there.",
                where=str(self.book),
                do="correct the path, or begin the book with `stillroom --book DIR charge`.",
            )

    def must_be_begun(self) -> None:
        """Raise BookError where there are no events: a drive that is not mounted looks empty."""
        self.must_exist()
        if not (self.book / "events").is_dir():
            raise BookError(
                "There is no book there now.",
                where=str(self.book),
                do="connect its drive again, or begin the book with `stillroom charge`.",
            )

    def jars(self, *, live_only: bool = False, on: date | None = None) -> list[Jar]:
        """The jars on the shelf, or all there ever were; as they stood on a day."""
        found = self.batches(live_only=live_only, on=on)
        return [one for one in found if isinstance(one, Jar)]

    def batches(self, *, live_only: bool = False, on: date | None = None) -> list[Batch]:
        """The jars and blends on the shelf, or all there ever were; as they stood on a day."""
        self.must_exist()
        if on is None or (last := self._ask(read_model.last_day)) is None or on >= last:
            return self._ask(read_model.batches, live_only=live_only)
        found = sorted(
            self.replayed(through=on).batches, key=lambda one: (one.begun.start, one.code)
        )
        return [one for one in found if one.is_live or not live_only]

    def batches_near(self, code: str, *, live_only: bool) -> list[Batch]:
        """Those whose codes begin with the text, or with which it begins."""
        return self._ask(read_model.batches_like, code, live_only=live_only)

    def last_day(self) -> date | None:
        """The latest day anything in the book happened on; None of an empty one."""
        return self._ask(read_model.last_day)

    def find(self, code: str, on: date | None = None) -> Thing:
        """What a code names; it may be shortened while only one thing fits.

        Raises:
            UnknownCodeError, AmbiguousCodeError: none fits, or several do.
        """
        if on is None:
            self.must_exist()
            near = self._ask(read_model.batches_like, code.strip())
            return picked(code, near, self.codes)
        batches = self.batches(on=on)
        return picked(code, batches, lambda: [one.code for one in batches])

    def find_any(self, code: str, on: date | None = None) -> Thing | Lot:
        """The jar, extract, bottle or lot of a code; a lot of another code in full only.

        Raises:
            UnknownCodeError, AmbiguousCodeError: none fits, or several do.
        """
        return picked_any(code, lambda text: self.find(text, on=on), self.lots)

    def batch(self, batch_id: str) -> Batch | None:
        """The jar or blend that one event opened, as it stands now."""
        return self._ask(read_model.batch_by_id, batch_id)

    def pressed_alike(self, herb: str, through: date) -> list[Jar]:
        """The newest jars of a herb written the same way that were pressed by that day."""
        from tracker.journal.model.past_pressings import pressed_alike

        return self._ask(pressed_alike, herb, through)

    def read_alike(self, herb: str) -> list[Jar]:
        """The newest jars of a herb of which it was read what they stood at."""
        from tracker.journal.model.past_pressings import read_alike

        self.must_exist()
        return self._ask(read_alike, herb)

    def lots(self) -> list[Lot]:
        """Every lot of herb and liquid that ever came in."""
        self.must_exist()
        return self._ask(read_model.lots)

    def lots_by_id(self, ids: Iterable[str]) -> dict[str, Lot]:
        """Those of these that are lots, and what they were dried of."""
        return self._ask(read_model.lots_by_id, ids)

    def shelved(self, on: date | None = None) -> tuple[list[Batch], list[Lot]]:
        """Every jar, blend and lot there ever was; as they stood on a day."""
        if on is None or (last := self.last_day()) is None or on >= last:
            return self.batches(), self.lots()
        self.must_exist()
        shelf = self.replayed(through=on)
        batches = sorted(shelf.batches, key=lambda one: (one.begun.start, one.code))
        return batches, list(shelf.lots.values())

    def flowing(self, starts: Collection[str]) -> tuple[list[Batch], list[Lot]]:
        """What a graph of all that flows into and out of some things needs; and every lot."""
        from tracker.journal.model.flow_ends import flowing

        return self._ask(flowing, starts)

    def find_lot(self, code: str) -> Lot:
        """The lot a code names; it may be shortened while only one fits.

        Raises:
            UnknownCodeError, AmbiguousCodeError: none fits, or several do.
        """
        return picked_lot(code, self.lots())

    def codes(self) -> list[str]:
        """The code of every jar and blend there ever was."""
        return self._ask(read_model.codes)

    def entries_of(self, jar_id: str) -> "list[Entry]":
        """Every line about one jar, corrections and struck ones included, in replay order."""
        return self.entries_about([jar_id])

    def entries_about(self, ids: "Iterable[str]") -> "list[Entry]":
        """The same about any of these jars and lots, each line once."""
        from tracker.core.facts.entry import replay_order
        from tracker.core.replay.families import each_once

        return sorted(each_once(self._lines_about(list(ids)))[0], key=replay_order)

    def _lines_about(self, ids: Sequence[str]) -> "list[Entry]":
        """The entries of jars and lots; where another line stands in their place, as it is now."""

        def question(connection: SealedModel) -> "list[Entry]":
            every = (at for one in ids for at in read_model.places_of(connection, one))
            places = list(dict.fromkeys(every))
            if not places:
                return []
            from tracker.journal.read_places import read_entries

            return read_entries(self.book, places)

        return self._ask(question)

    def told_from(self, day: date) -> list[str]:
        """The ids of jars, blends and lots of which something may have happened from a day on."""
        from tracker.journal.model.late_lines import told_from

        return self._ask(told_from, day)

    def joined_lines(self, ids: Iterable[str]) -> "tuple[list[Entry], set[str]]":
        """Every line about these and about what flows into or out of them; and the ids of all."""
        from tracker.core.replay.families import joined_jars

        loaded, missing = set[str](), set(ids)
        lines: list[Entry] = []
        while missing:
            loaded |= missing
            lines += self._lines_about(sorted(missing))
            missing = joined_jars(lines, lambda one: one) - loaded
        return lines, loaded

    def sharing_code(self, ids: Iterable[str]) -> list[str]:
        """Those of these whose code was given twice."""
        from tracker.journal.model.late_lines import sharing_code

        return self._ask(sharing_code, ids)

    def writers(self) -> tuple[str, ...]:
        """Everybody whose lines the book holds."""
        return self._ask(read_model.writers)

    def names_of(self, entries: "Iterable[Entry]") -> dict[str, str]:
        """What each of these entries is called, by its id: `214`, or `h214` of several writers.

        And the codes of what they take from, by `code_key`.
        """
        from tracker.core.facts.entry_numbers import entry_names
        from tracker.outputs.words.thing_codes import thing_codes

        every = list(entries)
        names = entry_names(every, self._ask(read_model.writers))
        return names | thing_codes(every, self.batch)

    def entries(self) -> "list[Entry]":
        """Every line of the book, read from the files."""
        from tracker.bench.entries_read import entries_read

        return entries_read(self.book, self._ask)

    def lately_recorded(self, commands: int) -> "list[Entry]":
        """What so many commands recorded last, and some lines before; the rest is not read."""
        from tracker.journal.model.last_lines import lately_recorded

        return self._ask(lately_recorded, self.book, commands)

    def replayed(self, *, through: date | None = None) -> Shelf:
        """The shelf from the lines themselves, of what happened through a day."""
        from tracker.core.replay.replay import replay

        return replay(self.entries(), through=through)

    def shelf_through(self, first: date, last: date) -> "Iterator[tuple[date, list[Batch]]]":
        """Every jar and blend at the end of two days, and of each between that changed some."""
        from tracker.core.replay.replay import shelves_between

        self.must_exist()
        return shelves_between(self.entries(), first, last)

    def histories(self, ids: "Sequence[str] | None" = None) -> "dict[str, list[Entry]]":
        """Every line about each jar, or each of these, by the id of its charge, in replay order."""
        from tracker.core.facts.entry import replay_order
        from tracker.core.replay.families import each_once, families

        self.must_exist()
        lines = self.entries() if ids is None else self._lines_about(ids)
        found = families(lines, lambda entry: entry)
        return {
            jar_id: sorted(each_once(own)[0], key=replay_order) for jar_id, own in found.items()
        }

    def stays(self) -> "tuple[Stay, ...]":
        """When the maker is away; almost always there is nothing to read."""
        from tracker.core.facts.ties import WHOLE_SHELF

        entries = self._lines_about([WHOLE_SHELF])
        if not entries:
            return ()
        from tracker.core.rules.away import stays_of

        return stays_of(entries)

    def size(self) -> tuple[int, int]:
        """How many lines the book has, and of how many writers."""
        marks = self._ask(read_model.read_marks).values()
        return sum(one.lines for one in marks), sum(one.lines > 0 for one in marks)

    def damages(self) -> "list[Damage]":
        """Lines of the book that are not what was written, or not yet whole."""
        return self._ask(read_model.damages)

    def missing(self) -> int:
        """How many things in the book are not as written."""
        return sum(one.counts for one in self.damages())

    def check(self) -> "list[Damage]":
        """Every line that is not what was written, read again from the files."""
        from tracker.journal.read import read_book

        return read_book(self.book)[1]

    def accept(self) -> None:
        """Take the files as they are; what is gone from their ends is no longer missed."""
        from tracker.journal.model.refresh import accept

        try:
            accept(self.model)
        except OSError as reason:
            raise BookError(
                f"The files cannot be accepted as they are: {reason.strerror or reason}.",
                where=str(reason.filename or self.model.file),
                do="make sure that you may write in its folder, and try again.",
            ) from reason

    def questions(self) -> list[Flag]:
        """What wants an answer: records that disagree, codes that are alike, recalls, lots."""
        from tracker.core.reckoning.flows.lot_balance import overdrawn
        from tracker.core.shelf.codes import wants_relabelling

        asked, lots, codes = self._ask(_asked_about)
        strange = [(one, strange_letter(code)) for one, code in codes.items()]
        flags = [flag for shelved in (asked, lots) for one in shelved for flag in one.flags]
        return [
            *(flag for flag in flags if flag.asks or wants_relabelling(flag)),
            *(Flag(jar_id, LooksAlike(why)) for jar_id, why in strange if why),
            *self.not_held(),
            *overdrawn(lots, asked),
        ]

    def not_held(self) -> list[Flag]:
        """What holds some of a lot called back and is on no hold; mostly there is no such lot."""
        if not self._ask(read_model.has_recall):
            return []
        from tracker.core.reckoning.flows.not_on_hold import not_held

        return not_held(*self._ask(read_model.may_hold_recalled))

    def taken_out(self) -> list[str]:
        """The ids of jars and lots that lines name and nothing in force opens."""
        return self._ask(read_model.taken_out)

    def unplaced(self) -> list[Flag]:
        """Events that have no jar to stand on, each with its reason."""
        return self._ask(read_model.unplaced)


def _asked_about(connection: SealedModel) -> tuple[list[Batch], list[Lot], dict[str, str]]:
    """What may have a question, all lots, and every code, as they stood at one moment."""
    lots, codes = read_model.lots(connection), read_model.codes_by_id(connection)
    return read_model.asked_about(connection), lots, codes
