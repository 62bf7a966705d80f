"""One book, held open to record in it: locked, caught up once, read once, folded once."""

import sqlite3
from collections.abc import Iterable, Sequence
from datetime import UTC, date
from itertools import count
from pathlib import Path

from tracker.bench.bench import Bench
from tracker.bench.beside import beside
from tracker.core.facts.amendments import Amendment, Away, Corrected, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.facts.kinds import Unknown, jars_of, lots_used, things_of
from tracker.core.reckoning.flow_graph import graph_of
from tracker.core.reckoning.lot_balance import left
from tracker.core.reckoning.recall import flowing_out
from tracker.core.replay.families import each_once, joined_jars
from tracker.core.replay.in_force import settle
from tracker.core.replay.life import Life, new_flags
from tracker.core.replay.replay import Lives, replay
from tracker.core.rules.amendment_gate import Amended, admit_amendment, amended_by, root_of
from tracker.core.rules.before import Before
from tracker.core.rules.consequences import is_remark, reach
from tracker.core.rules.gate import admit
from tracker.core.rules.recorded import Draft, Recorded
from tracker.core.rules.verdict import AskedError, Finding, Verdict, refusal
from tracker.core.shelf.find_by_code import picked, picked_lot
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.part import ShelfPart
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.errors import RefusedError, UnknownCodeError
from tracker.journal import read_model
from tracker.journal.append import Written
from tracker.journal.file_marks import Place
from tracker.journal.find_entry import places_called
from tracker.journal.line import validated
from tracker.journal.past_pressings import pressed_alike
from tracker.journal.read import read_book, read_entries, unreadable
from tracker.journal.refresh import bring_on, refresh
from tracker.outputs.words.flags import flag_text


class OpenBook:
    """The book at hand, and the drafts admitted so far, each as if those before were recorded."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._connection: sqlite3.Connection = refresh(bench.model)
        for damage in read_model.damages(self._connection):
            if damage.is_unreadable:  # what stands there may change what can be recorded
                raise unreadable(damage.file, damage.why.partition(": ")[2])
        self._life = Life()
        self._loaded: set[str] = set()
        self._numbers = count(read_model.last_number(self._connection, bench.writer) + 1)
        self.now = bench.now()
        self.entries: list[Entry] = []

    def go_on(self, written: Written) -> None:
        """Bring the read model on from what was just appended."""
        bring_on(self._connection, self._bench.book, written, self._read)

    def _read(self, book: Path, places: Sequence[Place]) -> list[Entry]:
        """The entries at these places: those that were folded are not read again."""
        known = self._life.entries
        new = [one for one in places if one.event not in known]
        read = dict(zip(new, read_entries(book, new), strict=True))
        return [known[one.event] if one not in read else read[one] for one in places]

    def close(self) -> None:
        """Let go of the read model."""
        self._connection.close()

    # Finding

    def find(self, code: str) -> Thing:
        """The jar, extract or bottle a code names.

        Raises:
            UnknownCodeError, AmbiguousCodeError: none fits, or several do.
        """
        near = {one.id: one for one in read_model.batches_like(self._connection, code.strip())}
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
        if code.strip().upper().startswith("LOT-"):
            return self.find_lot(code)
        try:
            return self.find(code)
        except UnknownCodeError:
            wanted = code.strip().upper()
            lot = next((one for one in self.lots() if one.code.upper() == wanted), None)
            if lot is None:
                raise
            return lot

    def jars(self, *, live_only: bool = False) -> list[Jar]:
        """Every jar, or those with anything still on the shelf."""
        found = self.batches(live_only=live_only)
        return [one for one in found if isinstance(one, Jar)]

    def batches(self, *, live_only: bool = False) -> list[Batch]:
        """Every jar and blend, or those with anything still on the shelf."""
        stored = read_model.batches(self._connection, live_only=live_only)
        found = {one.id: one for one in stored} | self._life.lives.batches
        return [one for one in found.values() if one.is_live or not live_only]

    def jars_on(self, day: date) -> list[Jar]:
        """The jars with herb in them on a day, as they stood at its end."""
        last = read_model.last_day(self._connection)
        days = [one.when.latest for one in self.entries]
        if all(day >= one for one in (last, *days) if one is not None):
            found = self.jars(live_only=True)
        else:
            placed, _ = read_book(self._bench.book)
            every = [*(one.entry for one in placed), *self.entries]
            found = list(replay(every, through=day).jars.values())
        return [one for one in found if one.is_macerating and one.charged.earliest <= day]

    def lots(self) -> list[Lot]:
        """Every lot of herb and liquid."""
        found = {one.id: one for one in read_model.lots(self._connection)}
        return list((found | self._life.lives.lots).values())

    def left_of(self, lot: Lot) -> float:
        """How much is left of a lot, g or ml; never below nothing."""
        return max(left(lot, self.batches()), 0.0)

    def codes(self) -> list[str]:
        """Every code of a jar or blend ever given."""
        mine = [one.code for one in self._life.lives.batches.values()]
        return list(dict.fromkeys([*read_model.codes(self._connection), *mine]))

    def entries_of(self, jar_id: str) -> list[Entry]:
        """Every line about one jar or lot, those just admitted included."""
        self._load([jar_id])
        return [one for one in self._life.entries.values() if jar_id in one.jars]

    def entry(self, number: str) -> Entry:
        """The one event of that number.

        Raises:
            UnknownCodeError, AmbiguousCodeError: none is, or several are.
        """
        found = places_called(self._connection, number)
        return each_once(read_entries(self._bench.book, found))[0][0]

    def names_of(self, entries: Iterable[Entry]) -> dict[str, str]:
        """What each entry, recorded or only admitted, is called once all is recorded, by its id."""
        writers = {*read_model.writers(self._connection), self._bench.writer}
        return entry_names(entries, writers)

    def name_of(self, entry: Entry) -> str:
        """What an entry is called: `214`, or `h214` where there are several writers."""
        return self.names_of([entry])[entry.id]

    def standing(self, entry: Entry) -> Entry:
        """The event at the root of an amendment, or the event itself, with the values in force.

        Raises:
            RefusedError: it was struck.
        """
        self._load(entry.jars)
        root = root_of(self._life, entry)
        self._load(root.jars)
        settled = settle(list(self._life.entries.values())).entries
        found = next((one for one in settled if one.id == root.id), None)
        if found is None:
            raise RefusedError(
                root.subject,
                "that event was struck, so it has no values to correct",
                do="strike the strike to bring it back.",
            )
        return found

    def pressed_alike(self, herb: str) -> list[Jar]:
        """The newest jars of a herb written the same way that were pressed before."""
        return pressed_alike(self._connection, herb, self.now.date())

    # Recording

    def add(self, drafts: Sequence[Draft], *, sure: bool = False) -> Recorded:
        """Admit drafts, all or none, each as if those before it were recorded.

        Raises:
            RefusedError, MisusedError: the gate said no.
            AskedError: the gate asks, and the answer is not known.
        """
        recorded = self.now.astimezone(UTC)
        kept = [
            Entry(
                one.id,
                self._bench.writer,
                next(self._numbers),
                one.subject,
                one.when,
                recorded,
                validated(one.fact),
            )
            for one in drafts
        ]
        ids = {jar for entry in kept for jar in entry.jars}
        self._load(ids)
        before = self._part(ids)
        findings: list[Finding] = []
        misfits: list[Flag] = []
        roots: dict[str, tuple[Entry | None, Entry | None]] = {}
        meanwhile: list[Entry] = []
        for entry in kept:
            if isinstance(entry.fact, Amendment):
                amended = self._amend(entry, findings, misfits, sure=sure)
                roots[entry.id] = (amended.was, amended.now)
                meanwhile += self._meanwhile(entry, amended)
            else:
                self._admit(entry, findings, misfits, sure=sure)
        self.entries += kept
        after = self._part(ids)
        targets = amended_by(self._life, kept)
        called = [one for one in kept if isinstance(one.fact, Away | Amendment)]
        return Recorded(
            entries=tuple(kept),
            before=before,
            after=after,
            findings=tuple(dict.fromkeys(findings)),
            misfits=tuple(misfits),
            roots=roots,
            meanwhile=tuple({one.id: one for one in meanwhile}.values()),
            amended=targets,
            names=self.names_of([*called, *targets.values(), *meanwhile]) if called else {},
            more={
                entry.id: more
                for entry in kept
                if (more := beside(self, entry, before, after, self._bench.practice))
            },
        )

    def _part(self, ids: Iterable[str]) -> ShelfPart:
        lives = self._life.lives
        return ShelfPart(
            {one: lives.batches[one] for one in ids if one in lives.batches},
            {one: lives.lots[one] for one in ids if one in lives.lots},
        )

    def _admit(
        self, entry: Entry, findings: list[Finding], misfits: list[Flag], *, sure: bool
    ) -> None:
        assert not isinstance(entry.fact, Unknown)
        before = self._surroundings(self._life.before(entry), entry)
        verdict = admit(before, entry.fact, entry.when, self._bench.practice)
        _judge(verdict, sure=False, questions=False)
        lives = self._life.tried(entry)
        new = new_flags(self._life.lives, lives, entry.jars)
        own = [flag for flag in new if flag.event == entry.id]
        later = [flag for flag in new if flag.event != entry.id]
        fits = [
            Finding("ended", entry.subject, flag_text(flag), "look at its history") for flag in own
        ]
        fits += [_no_longer_fits(entry, flag) for flag in later]
        verdict = Verdict((*verdict.findings, *fits))
        findings += _judge(verdict, sure=sure)
        misfits += later
        if self._life.is_last(entry):
            self._life.add(entry, lives)
        else:
            self._life.replace(entry, lives)

    def _amend(
        self, entry: Entry, findings: list[Finding], misfits: list[Flag], *, sure: bool
    ) -> Amended:
        amended = admit_amendment(
            self._life, entry, self._bench.practice, self._surroundings, flag_text
        )
        if amended.now is not None and not isinstance(amended.now.fact, Unknown):
            validated(amended.now.fact)
        findings += _judge(amended.verdict, sure=sure)
        misfits += new_flags(self._life.lives, amended.lives, self._loaded)
        self._life.replace(entry, amended.lives)
        return amended

    def _surroundings(self, lives: Lives, entry: Entry) -> Before:
        """What a fact is held against, besides the things it names."""
        fact = entry.fact
        lots = dict(lives.lots)
        used = set(lots_used(fact))
        used |= {about.jar for about in things_of(fact) if about.jar in lots}
        if used:
            lots = {one.id: one for one in self.lots() if one.id in used} | lots
        batches = self.batches() if used else []
        mine = set(jars_of(entry.id, fact))
        return Before(
            ShelfPart(lives.batches, lots),
            left={lot: left(lots[lot], batches) for lot in used if lot in lots},
            is_taken=lambda code: self._is_taken(code, mine),
            now=self.now,
        )

    def _is_taken(self, code: str, mine: set[str]) -> bool:
        """Whether something else goes by a code, or could come to: an extract of it has letters."""
        wanted = code.strip().upper()
        shelved = {one.id: one.code for one in self._life.lives.batches.values()}
        given = dict(read_model.codes_by_id(self._connection)) | shelved
        taken = {text.upper() for one, text in given.items() if one not in mine}
        taken |= {lot.code.upper() for lot in self.lots() if lot.id not in mine}
        return any(
            wanted == one or _is_lettered(wanted, one) or _is_lettered(one, wanted) for one in taken
        )

    def _meanwhile(self, entry: Entry, amended: Amended) -> list[Entry]:
        """What was printed, given out or decided on a value before it was corrected."""
        if not isinstance(entry.fact, Corrected | Struck) or is_remark(entry.fact):
            return []
        target = self._life.entries[entry.fact.event]
        out = flowing_out(graph_of(self.batches(), self.lots()), amended.root.jars)
        self._load([*out])
        own = [one for one in self._life.entries.values() if one.id != entry.id]
        return reach(amended.root, own, self.now, target.recorded)

    # Loading

    def _load(self, ids: Iterable[str]) -> None:
        """Read and fold what is not here yet, with whatever flows into or out of it."""
        missing = set(ids) - self._loaded
        if not missing:
            return
        found: dict[str, Entry] = {}
        while missing:
            self._loaded |= missing
            places = [
                place
                for jar in sorted(missing)
                for place in read_model.places_of(self._connection, jar)
                if place.event not in found
            ]
            read = read_entries(self._bench.book, list(dict.fromkeys(places)))
            found |= {one.id: one for one in each_once(read)[0]}
            missing = joined_jars(found.values(), lambda one: one) - self._loaded
        _must_be_known(found.values())
        shown = read_model.shown_codes(self._connection, self._loaded)
        self._life.load(found.values(), shown)


def _must_be_known(entries: Iterable[Entry]) -> None:
    """A history that holds what this program does not know is not gone on with."""
    for entry in entries:
        if isinstance(entry.fact, Unknown):
            kind = entry.kind.replace("_", " ")
            what = f"its history holds {kind}, a kind or version not known here"
            raise RefusedError(entry.subject, what, do="open it with a newer stillroom.")


def _is_lettered(code: str, of: str) -> bool:
    """Whether a code is another one and up to three letters: that of an extract of it."""
    rest = code[len(of) :]
    return code.startswith(of) and 0 < len(rest) <= 3 and rest.isalpha()


def _no_longer_fits(entry: Entry, flag: Flag) -> Finding:
    return Finding(
        "fit",
        entry.subject,
        f"with that, something recorded of a later time no longer fits: {flag_text(flag)}",
        "correct that one as well, or give another day with --when",
        "question",
    )


def _judge(verdict: Verdict, *, sure: bool, questions: bool = True) -> list[Finding]:
    """What is left to say of a verdict that lets a fact pass."""
    if verdict.refusals:
        raise refusal(verdict.refusals)
    if questions and verdict.questions and not sure:
        raise AskedError(verdict.questions)
    return [one for one in verdict.findings if one.weight != "refusal"]
