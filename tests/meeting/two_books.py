"""Three writers, two of one book and one of a copy apart, and what must hold of all they record."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from itertools import count
from pathlib import Path

from hypothesis import note
from msgspec.structs import replace

from tests.journal.on_disk import put
from tests.meeting.any_draft import MAKERS, Hand, Picks
from tests.meeting.exact_account import Account, Key
from tests.meeting.recalls_asked import same_recalls
from tests.meeting.same_in_account import NEAR, same_in_account, volumes
from tests.meeting.standing_entries import standing
from tracker.bench.bench import Bench
from tracker.bench.open_book import OpenBook
from tracker.bench.record import commit, opened, record
from tracker.core.facts.amendments import Amendment, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import AnyFact, codes_of, things_of
from tracker.core.facts.ties import WHOLE_SHELF
from tracker.core.reckoning.flows import lot_balance
from tracker.core.reckoning.flows.flow_graph import Node, forwards, graph_of
from tracker.core.reckoning.flows.named_lots import NamedLots
from tracker.core.reckoning.flows.recall import holders
from tracker.core.rules.recorded import Draft, Recorded
from tracker.core.rules.undoing import left_to_undo, why_undone
from tracker.core.rules.verdict import AskedError
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.part import ShelfPart
from tracker.core.shelf.thing import Batch, things
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.core.values.times import moment

BEGUN = datetime(2025, 3, 3, 9, 0, tzinfo=timezone(timedelta(hours=1)))
STOCKTAKING = {"counted", "discarded", "restored"}


@dataclass
class Tally:
    """What was done over many lives."""

    steps: int = 0
    kinds: Counter[str] = field(default_factory=Counter)
    refusals: Counter[str] = field(default_factory=Counter)


@dataclass
class Known:
    """All that stands in one book, and the flags that somebody was sure of or that a merge made."""

    entries: dict[str, Entry] = field(default_factory=dict)
    accepted: set[Flag] = field(default_factory=set)

    def accept_all(self, bench: Bench) -> None:
        """Take every flag of the book as it stands for one that somebody knows of."""
        shelf = bench.replayed()
        self.accepted |= {*_flags(ShelfPart(_by_id(shelf.batches), shelf.lots)), *shelf.unplaced}

    @property
    def account(self) -> Account:
        return Account(self.entries.values())


class Desk:
    """One writer at one book, and what has to hold after everything they record."""

    def __init__(
        self, home: Path, book: Path, writer: str, known: Known, clock: Callable[[], datetime]
    ) -> None:
        numbers = count(1)
        state = home / writer
        state.mkdir()
        (state / "writer").write_text(writer)
        self.bench = Bench(
            book,
            cache=state / "cache",
            state=state,
            read_clock=clock,
            new_id=lambda: f"{writer}-{next(numbers):05d}",
        )
        self.known, self.writer = known, writer

    @property
    def file(self) -> Path:
        return self.bench.book / "events" / f"{self.bench.writer}.jsonl"

    # Recording

    def say(self, kind: str, numbers: list[int], sure: bool, tally: Tally) -> None:
        """One fact of a kind, about whatever the numbers choose."""
        found = self._draft(kind, numbers, self.known.entries)
        if found is None:
            return
        note(f"{self.writer} at {self.bench.now():%Y-%m-%d %H:%M}: {found}")
        self._held_to(lambda: record(self.bench, [found]), [found], sure, tally)

    def page(self, lines: list[tuple[str, list[int]]], sure: bool, tally: Tally) -> None:
        """Several facts of one command, each as if those before it were recorded."""
        self._held_to(lambda: self._page(lines, sure), [], sure, tally)

    def undo(self, sure: bool, tally: Tally) -> None:
        """The last command of this writer is taken back, as `undo` does it."""
        drafts = [*self._strikes()]
        note(f"{self.writer} takes back {[one.fact.event for one in drafts]}")
        if drafts:
            self._held_to(lambda: record(self.bench, drafts), drafts, sure, tally)

    def _strikes(self) -> Iterator[Draft]:
        if not self.bench.book.exists():
            return
        with opened(self.bench) as book:
            commands = reversed(book.own_commands(1 << 30))
            left = (left_to_undo(one, book.standing_among(one)) for one in commands)
            lines = next(filter(None, left), [])
        when = moment(self.bench.now())
        for one in lines:
            fact = Struck(event=one.id, jars=one.jars, why=why_undone(None))
            yield Draft(self.bench.new_id(), one.subject, when, fact)

    def take_back(self, act: Callable[[], None], tally: Tally) -> None:
        """Record something and undo it: what is on the shelf is as it was."""
        was, written = self._stands(), self.file.read_bytes() if self.file.exists() else b""
        act()
        if self._unchanged(written):
            return
        self.undo(True, tally)
        assert self._stands() == was, "undone, and yet it is not as before"

    def _stands(self) -> tuple[dict[str, Batch], dict[str, Lot]]:
        if not self.bench.book.exists():
            return {}, {}
        return _by_id(self.bench.batches()), _by_id(self.bench.lots())

    def _page(self, lines: list[tuple[str, list[int]]], sure: bool) -> Recorded | None:
        with opened(self.bench) as book:
            last = None
            for kind, numbers in lines:
                told = self.known.entries | {one.id: one for one in book.entries}
                if (draft := self._draft(kind, numbers, told, book)) is None:
                    continue
                note(f"{self.writer} on a page: {draft}")
                last = book.add([draft], sure=sure)
                self._check_change(last, is_sure=sure)
                same_recalls(book.not_held(), book.batches(), book.lots())
            written = commit(self.bench, book)
        return None if last is None else replace(last, entries=tuple(written.values()))

    def _draft(
        self, kind: str, numbers: list[int], told: dict[str, Entry], book: OpenBook | None = None
    ) -> Draft | None:
        shelf = self.bench if book is None and self.bench.book.exists() else book
        batches, lots = (shelf.batches(), shelf.lots()) if shelf else ([], [])
        hand = self._hand(Picks(numbers), told, batches, lots)
        when = hand.when()
        if (fact := MAKERS[kind](hand)) is None:
            return None
        subject = _subject(fact, told, ShelfPart(_by_id(batches), _by_id(lots)))
        return Draft(self.bench.new_id(), subject, when, fact)

    def _hand(
        self, picks: Picks, told: dict[str, Entry], batches: list[Batch], lots: list[Lot]
    ) -> Hand:
        of_batch, of_lot = _by_id(batches), _by_id(lots)
        return Hand(
            picks,
            Account(told.values()),
            told,
            {key for key, _ in _held(ShelfPart(of_batch, of_lot))},
            lambda: [*(one.code for one in batches), *(one.code for one in lots)],
            lambda jar: [one.letter for one in of_batch[jar].extracts] if jar in of_batch else [],
            lambda lot: holders(forwards(graph_of(batches, lots), Node("lot", lot))),
            lambda: list(NamedLots(batches, lots).names),
            self.bench.now(),
        )

    def _held_to(
        self, act: Callable[[], Recorded | None], drafts: list[Draft], sure: bool, tally: Tally
    ) -> None:
        """Recorded or refused, and in both cases as it has to be."""
        tally.steps += 1
        was = self.file.read_bytes() if self.file.exists() else b""
        asked = False
        try:
            recorded = act()
        except AskedError as asking:
            tally.refusals[f"asked: {asking.questions[0].rule}"] += 1
            assert self._unchanged(was)
            if not sure or not drafts:
                return
            asked, recorded = True, record(self.bench, drafts, sure=True)
        except (RefusedError, MisusedError) as refused:
            tally.refusals[_why(str(refused))] += 1
            assert self._unchanged(was)
            return
        if recorded is None:
            return
        tally.kinds.update(one.kind for one in recorded.entries)
        self.known.entries |= {one.id: one for one in recorded.entries}
        if asked or (sure and not drafts):
            self.known.accept_all(self.bench)
        assert self.file.read_bytes().startswith(was)
        if drafts:
            self._check_change(recorded, is_sure=asked)
        same_in_account(self.known.account, recorded.after)
        self._check_codes(recorded)

    def _unchanged(self, was: bytes) -> bool:
        return (self.file.read_bytes() if self.file.exists() else b"") == was

    # What has to hold

    def _check_change(self, recorded: Recorded, *, is_sure: bool) -> None:
        flags = set(_flags(recorded.after)) - set(_flags(recorded.before))
        if is_sure or any(isinstance(one.fact, Amendment) for one in recorded.entries):
            self.known.accepted |= set(recorded.misfits)  # of an amendment they are named
        if is_sure:
            self.known.accepted |= flags
        assert flags <= self.known.accepted, "admitted, and yet it does not fit"
        if any(one.kind in STOCKTAKING for one in recorded.entries):
            return
        if any(isinstance(one.fact, Amendment) for one in recorded.entries):
            return
        order = [one.id for one in standing([*self.known.entries.values(), *recorded.entries])]
        first = min(order.index(one.id) for one in recorded.entries)
        held = {key for key, event in _held(recorded.before) if event in order[:first]}
        after = dict(volumes(recorded.after))
        for key, ml in volumes(recorded.before):
            if any(key[:wide] in held for wide in range(1, len(key) + 1)):
                assert after[key] == ml, f"on hold, and yet touched: {key}"

    def _check_codes(self, recorded: Recorded) -> None:
        for batch in recorded.after.batches.values():
            for one in list(things(batch))[-6:]:
                found = self.bench.find(one.code)
                assert _identity(found) == _identity(one), one.code
        for lot in recorded.after.lots.values():
            assert self.bench.find_lot(lot.code).id == lot.id
        if len(recorded.entries) > 1:  # a later line may have given a thing another code
            return
        for entry in recorded.entries:
            named = () if codes_of(entry.fact) else things_of(entry.fact)
            if named and not isinstance(entry.fact, Amendment):
                meant = recorded.after.thing(named[0])
                assert meant is None or meant.code == entry.subject

    def check_all(self) -> None:
        """The read model, the whole book told from the start, and the account say the same."""
        if not self.bench.book.exists():
            return
        shelf = self.bench.replayed()
        batches, lots = _by_id(self.bench.batches()), _by_id(self.bench.lots())
        assert batches == _by_id(shelf.batches)
        assert lots == shelf.lots
        assert set(self.bench.unplaced()) == set(shelf.unplaced)
        assert self.bench.damages() == []
        same_recalls(self.bench.not_held(), [*batches.values()], [*lots.values()])
        part = ShelfPart(batches, lots)
        odd = {*_flags(part), *shelf.unplaced} - self.known.accepted
        assert not odd
        account = self.known.account
        same_in_account(account, part, is_whole=True)
        uses = [*batches.values()]
        for lot in lots.values():
            mine = float(account.left_of(lot.id))
            assert abs(lot_balance.left(lot, uses) - mine) < NEAR, lot.code
        for batch in list(batches.values())[-30:]:
            for one in things(batch):
                assert _identity(self.bench.find(one.code)) == _identity(one), one.code


def _subject(fact: AnyFact, told: dict[str, Entry], part: ShelfPart) -> str:
    if isinstance(fact, Amendment):
        return told[fact.event].subject
    named = [part.thing(about) for about in things_of(fact)]
    codes = list(codes_of(fact)) or [one.code for one in named if one is not None]
    return " ".join(codes[:1]) or WHOLE_SHELF


def _by_id(found: Iterable[Batch] | Iterable[Lot]):
    return {one.id: one for one in found}


def _identity(thing) -> tuple[object, ...]:
    extract, bottle = thing.extract, thing.bottle
    return thing.batch.id, extract and extract.id, bottle and bottle.number


def _why(text: str) -> str:
    """A refusal without its codes, days and amounts."""
    text = text.splitlines()[0]
    text = re.sub(r"^[^ ]+: |'[^']*'", "", text.split(". ")[0])
    return re.sub(r"\b[A-Z]{3,5}-[\w/-]+|\d[\d.,-]*", "…", text)[:70]


def _flags(part: ShelfPart) -> Iterator[Flag]:
    for one in (*part.batches.values(), *part.lots.values()):
        yield from one.flags


def _held(part: ShelfPart) -> Iterator[tuple[Key, str]]:
    """What is on hold itself, and by which event."""
    for lot in part.lots.values():
        if lot.hold is not None:
            yield (lot.id,), lot.hold.event
    for batch in part.batches.values():
        if isinstance(batch, Jar) and batch.hold is not None:
            yield (batch.id,), batch.hold.event
        for extract in batch.extracts:
            key = (batch.id, extract.id)
            if extract.hold is not None:
                yield key, extract.hold.event
            for bottle in extract.bottles:
                if bottle.hold is not None:
                    yield (*key, str(bottle.number)), bottle.hold.event


class House:
    """Two who share one book, and one whose copy of it is only sometimes brought together."""

    def __init__(self, home: Path) -> None:
        self.now = BEGUN
        together, apart = Known(), Known()
        at_home, away = home / "book", home / "copy"
        self.desks = [
            Desk(home, at_home, "kitchen", together, self.clock),
            Desk(home, at_home, "attic", together, self.clock),
            Desk(home, away, "loft", apart, self.clock),
        ]

    def clock(self) -> datetime:
        """No two lines are written down in one instant."""
        self.now += timedelta(milliseconds=1)
        return self.now

    def wait(self, hours: int) -> None:
        self.now += timedelta(hours=hours)

    def meet(self, *, there: bool, back: bool) -> None:
        """The copy gets what the book has, or gives what it has, or both."""
        kitchen, attic, loft = self.desks
        if there:
            for desk in (kitchen, attic):
                _copy(desk, loft)
        if back:
            _copy(loft, kitchen)
        for desk in (kitchen, loft):
            if desk.bench.book.exists():
                desk.known.accept_all(desk.bench)

    def check_all(self) -> None:
        for desk in self.desks:
            desk.check_all()


def _copy(source: Desk, target: Desk) -> None:
    if not source.file.exists():
        return
    path = target.bench.book / "events" / source.file.name
    path.parent.mkdir(parents=True, exist_ok=True)
    put(path, source.file.read_bytes())
    own = {key: one for key, one in source.known.entries.items() if one.source == source.writer}
    target.known.entries |= own
