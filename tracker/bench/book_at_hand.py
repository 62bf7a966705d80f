"""One book while it is open: read once, folded once, with what was admitted since."""

from collections.abc import Callable, Collection, Iterable, Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar

from tracker.bench.bench import Bench
from tracker.bench.stored_shelf import StoredShelf
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import Unknown
from tracker.core.replay.families import each_once, joined_jars
from tracker.core.replay.life import Life
from tracker.core.shelf.find_by_code import picked, picked_any, picked_lot
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.errors import BookError, RefusedError
from tracker.journal.append import Written
from tracker.journal.file_marks import Place
from tracker.journal.model import read_model
from tracker.journal.model.read_model import AskedModel
from tracker.journal.model.refresh import bring_on, refresh
from tracker.journal.model.sealed_model import FAULTS, SealedModel
from tracker.journal.read_places import read_entries, unreadable

if TYPE_CHECKING:
    from tracker.core.reckoning.flows.lot_balance import Account

P = ParamSpec("P")
T = TypeVar("T")


class BookAtHand:
    """The shelf as it is with the drafts admitted so far: what a verb looks things up in."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self.now = bench.now()
        self._model = AskedModel(bench.model, refresh(bench.model))
        try:
            self._begin()
        except BaseException:
            self.close()
            raise

    def _begin(self) -> None:
        self.damages = self._ask(read_model.damages)
        for damage in self.damages:
            if damage.is_unreadable:  # what stands there may change what can be recorded
                raise unreadable(damage.file, damage.why)
        self._stored = StoredShelf(self._model)
        self._life = Life()
        self._loaded: set[str] = set()
        self._read_at: dict[Place, Entry] = {}
        self.entries: list[Entry] = []

    def _ask(
        self, question: Callable[Concatenate[SealedModel, P], T], *given: P.args, **named: P.kwargs
    ) -> T:
        return self._model.ask(question, *given, **named)

    def go_on(self, written: Written) -> None:
        """Bring the read model on from what was just appended; whatever fails, it is recorded."""
        self._stored = StoredShelf(self._model)
        self._read_at |= {one.place: one.entry for one in written.entries}
        with suppress(BookError, *FAULTS):
            bring_on(self._model.connection, self._bench.book, written, self._read)
            lives = self._life.lives
            ids = {*lives.batches, *lives.lots}
            self._life.relabel(self._ask(read_model.relabelled, ids))

    def _read(self, book: Path, places: Sequence[Place]) -> list[Entry]:
        """The entries at these places: those that were read are not read again."""
        new = [one for one in places if one not in self._read_at]
        self._read_at |= zip(new, read_entries(book, new), strict=True)
        return [self._read_at[one] for one in places]

    def close(self) -> None:
        """Let go of the read model."""
        self._model.close()

    # Finding

    def find(self, code: str) -> Thing:
        """The jar, extract or bottle a code names.

        Raises:
            UnknownCodeError, AmbiguousCodeError: none fits, or several do.
        """
        near = {one.id: one for one in self._ask(read_model.batches_like, code.strip())}
        near |= self._life.lives.batches
        return picked(code, list(near.values()), self.codes)

    def find_lot(self, code: str) -> Lot:
        """The lot a code names.

        Raises:
            UnknownCodeError, AmbiguousCodeError: none fits, or several do.
        """
        return picked_lot(code, self.lots())

    def find_any(self, code: str) -> Thing | Lot:
        """The jar, extract, bottle or lot a code names.

        Raises:
            UnknownCodeError, AmbiguousCodeError: none fits, or several do.
        """
        return picked_any(code, self.find, self.lots)

    def jars(self, *, live_only: bool = False) -> list[Jar]:
        """Every jar, or those with anything still on the shelf."""
        found = self.batches(live_only=live_only)
        return [one for one in found if isinstance(one, Jar)]

    def batches(self, *, live_only: bool = False) -> list[Batch]:
        """Every jar and blend, or those with anything still on the shelf."""
        stored = self._stored.live if live_only else self._stored.batches
        found = stored | self._life.lives.batches
        return [one for one in found.values() if one.is_live or not live_only]

    def jars_on(self, day: date) -> list[Jar]:
        """The jars with herb in them on a day, as they stood at its end."""
        last = self._ask(read_model.last_day)
        days = [one.when.latest for one in self.entries]
        if all(day >= one for one in (last, *days) if one is not None):
            found = self.jars(live_only=True)
        else:
            from tracker.bench.entries_read import entries_read
            from tracker.core.replay.replay import replay

            every = [*entries_read(self._bench.book, self._ask), *self.entries]
            found = list(replay(every, through=day).jars.values())
        return [one for one in found if one.is_macerating and one.charged.earliest <= day]

    def lots(self) -> list[Lot]:
        """Every lot of herb and liquid."""
        return list((self._stored.lots | self._life.lives.lots).values())

    def reached(self, starts: Collection[str]) -> list[Batch]:
        """The jars and blends that any of some things may have gone into, and those themselves.

        Args:
            starts: ids, or the keys of lots that only jars name.
        """
        from tracker.core.reckoning.flows.may_hold import reached_from

        mine = self._life.lives
        known = self._stored.takers | mine.batches | mine.lots
        ids = reached_from(starts, known.values())[0].union(starts)
        found = self._stored.batches_of(ids) | mine.batches
        return [one for one in found.values() if one.id in ids]

    def left_of(self, lot: Lot) -> float:
        """How much is left of a lot, g or ml; never below nothing."""
        return max(self.account_of(lot).left, 0.0)

    def account_of(self, lot: Lot, *, but: str = "") -> "Account":
        """What became of a lot, what one event used of it left out."""
        from tracker.core.reckoning.flows.lot_balance import account

        mine = self._life.lives.batches
        stored = self._stored.uses_of(lot.id)
        uses = [use for batch, own in stored.items() if batch not in mine for use in own]
        uses += [use for batch in mine.values() for use in batch.uses if use.lot == lot.id]
        return account(lot, (use for use in uses if use.event != but))

    def codes(self) -> list[str]:
        """Every code of a jar or blend ever given."""
        mine = [one.code for one in self._life.lives.batches.values()]
        return list(dict.fromkeys([*self._stored.codes, *mine]))

    def entries_of(self, jar_id: str) -> list[Entry]:
        """Every line about one jar or lot, those just admitted included."""
        return self.entries_about([jar_id])

    def entries_about(self, ids: Iterable[str]) -> list[Entry]:
        """The same about any of these, each line once."""
        wanted = set(ids)
        self._load(wanted)
        every = self._life.entries.values()
        return [one for one in every if not wanted.isdisjoint(one.jars)]

    def entry(self, text: str) -> Entry:
        """The one entry of that number, `214` or `h214`, or of that id or part of one.

        Raises:
            UnknownEntryError, AmbiguousEntryError: there is none, or several are called so.
        """
        from tracker.journal.model.find_entry import entries_called

        def question(connection: SealedModel) -> list[Entry]:
            return entries_called(connection, self._bench.book, text)

        return each_once(self._ask(question))[0][0]

    def names_of(self, entries: Iterable[Entry]) -> dict[str, str]:
        """What each entry, recorded or only admitted, is called once all is recorded, by its id."""
        from tracker.core.facts.entry_numbers import entry_names

        writers = {*self._ask(read_model.writers), self._bench.writer}
        return entry_names(entries, writers)

    def name_of(self, entry: Entry) -> str:
        """What an entry is called: `214`, or `h214` where there are several writers."""
        return self.names_of([entry])[entry.id]

    def standing(self, entry: Entry) -> Entry:
        """The event at the root of an amendment, or the event itself, with the values in force.

        Raises:
            RefusedError: it was struck.
        """
        from tracker.core.replay.in_force import settle
        from tracker.core.rules.amendment_gate import root_of
        from tracker.core.values.command_words import command

        self._load(entry.jars)
        root = root_of(self._life, entry)
        self._load(root.jars)
        settled = settle(list(self._life.entries.values())).entries
        found = next((one for one in settled if one.id == root.id), None)
        if found is None:
            raise RefusedError(
                root.subject,
                "that entry was taken back, so there is nothing in it to correct",
                do="strike the entry that took it back, and it counts again; "
                f"`{command('history', root.subject, options='--all')}` has its number.",
            )
        return found

    def standing_among(self, entries: Iterable[Entry]) -> frozenset[str]:
        """The ids of the events and amendments that count, of the same things as these."""
        from tracker.core.replay.in_force import in_force, settle

        lines = self.entries_about(jar for entry in entries for jar in entry.jars)
        return frozenset({one.id for one in settle(lines).entries} | in_force(lines))

    def pressed_alike(self, herb: str) -> list[Jar]:
        """The newest jars of a herb written the same way that were pressed before."""
        from tracker.journal.model.past_pressings import pressed_alike

        return self._ask(pressed_alike, herb, self.now.date())

    # Loading

    def _load(self, ids: Iterable[str]) -> None:
        """Read and fold what is not here yet, with whatever flows into or out of it."""
        missing = set(ids) - self._loaded
        if not missing:
            return
        found: dict[Place, Entry] = {}
        while missing:
            self._loaded |= missing
            found |= self._ask(self._lines_of, missing, found)
            missing = joined_jars(found.values(), lambda one: one) - self._loaded
        _must_be_known(found.values())
        relabelled = self._ask(read_model.relabelled, self._loaded)
        self._life.load(found.values(), relabelled)

    def _lines_of(
        self, connection: SealedModel, ids: Iterable[str], known: Collection[Place]
    ) -> dict[Place, Entry]:
        """The entries about these that are not known yet, as they stand in the book now."""
        every = [one for each in sorted(ids) for one in read_model.places_of(connection, each)]
        places = [one for one in dict.fromkeys(every) if one not in known]
        return dict(zip(places, self._read(self._bench.book, places), strict=True))


def _must_be_known(entries: Iterable[Entry]) -> None:
    """A history that holds what this program does not know is not gone on with."""
    for entry in entries:
        if isinstance(entry.fact, Unknown):
            from tracker.core.values.kind_words import kind_said

            kind = kind_said(entry.kind)
            what = f"its history holds {kind}, in a way this stillroom does not know"
            raise RefusedError(entry.subject, what, do="use a newer stillroom.")
