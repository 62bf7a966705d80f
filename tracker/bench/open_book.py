"""One book, held open to record in it: each draft is held to the gate."""

from collections.abc import Iterable, Sequence
from datetime import UTC
from itertools import count
from typing import TYPE_CHECKING

from tracker.bench.bench import Bench
from tracker.bench.beside import beside
from tracker.bench.book_at_hand import BookAtHand
from tracker.bench.own_lines import OwnLines
from tracker.bench.questions import Questions, refuse
from tracker.core.facts.amendments import (
    Amendment,
    Away,
    Corrected,
    Labelled,
    Later,
    Noted,
    Struck,
)
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import Unknown, jars_of, lots_used, things_of, traits_of
from tracker.core.facts.limits import validated
from tracker.core.facts.ties import opener_of
from tracker.core.replay.life import new_flags
from tracker.core.replay.replay import Lives
from tracker.core.rules.before import Before
from tracker.core.rules.gate import admit
from tracker.core.rules.recorded import Draft, Recorded
from tracker.core.rules.verdict import Finding, Verdict
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.part import ShelfPart
from tracker.core.shelf.thing import Batch
from tracker.journal.model import read_model

if TYPE_CHECKING:
    from tracker.core.rules.amendment_gate import Amended

# An extract is called by its jar and so many letters at most.
_LETTERS = 3


class OpenBook(BookAtHand):
    """The book at hand, and the drafts admitted so far, each as if those before were recorded."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.is_sure_of_older_copy = False

    def _begin(self) -> None:
        super()._begin()
        self._numbers = count(self._ask(read_model.last_number, self._bench.writer) + 1)
        self._own = OwnLines(self._bench, self._model)
        self._not_held: Sequence[Flag] | None = None  # until something changes what is there

    def add(
        self, drafts: Sequence[Draft], asked: Questions | None = None, *, sure: bool = False
    ) -> Recorded:
        """Admit drafts, all or none, each as if those before it were recorded.

        Every question about them is asked, not the first alone: what one is asked about counts
        as recorded for those after it.

        Raises:
            RefusedError, MisusedError: the gate said no.
            AskedError: the gate asks, and the answer is not known. A line of a page leaves what
                it is asked about in `asked`.
        """
        asked = asked or Questions(sure)
        with asked.before_any_refusal():
            recorded = self._added(drafts, asked)
        if not asked.line:
            asked.settle()
        return recorded

    def own_commands(self, most: int) -> list[list[Entry]]:
        """What was recorded here last, each command with all its lines, the last one last."""
        return self._own.commands(most)

    def _as_entries(self, drafts: Sequence[Draft]) -> list[Entry]:
        """The drafts as lines of the book, with the numbers they would have."""
        writer, recorded = self._bench.writer, self.now.astimezone(UTC)
        return [
            Entry(
                one.id,
                writer,
                next(self._numbers),
                one.subject,
                one.when,
                recorded,
                validated(one.fact),
            )
            for one in drafts
        ]

    def _added(self, drafts: Sequence[Draft], asked: Questions) -> Recorded:
        kept = self._as_entries(drafts)
        ids = {jar for entry in kept for jar in entry.jars}
        self._load(ids)
        before = self._part(ids)
        findings: list[Finding] = []
        if drafts and (gone := self._own.gone):
            self._ask_of_older_copy(gone, asked)
        misfits: list[Flag] = []
        roots: dict[str, tuple[Entry | None, Entry | None]] = {}
        meanwhile: list[Entry] = []
        for entry in kept:
            if isinstance(entry.fact, Amendment):
                amended = self._amend(entry, findings, misfits, asked)
                roots[entry.id] = (amended.was, amended.now)
                meanwhile += self._meanwhile(entry, amended)
            else:
                self._admit(entry, findings, misfits, asked)
        self.entries += kept
        after = self._part(ids)
        targets = self._amended_by(kept)
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

    def _ask_of_older_copy(self, gone: Sequence[Finding], asked: Questions) -> None:
        """Once for all that is recorded together; said beside the answer where it was a yes."""
        if self.is_sure_of_older_copy:
            return
        asked.judge(Verdict(tuple(gone)))
        if not asked.open:
            said = [f"{one.code}: {one.what}." for one in gone]
            self._bench.remarks += [one for one in said if one not in self._bench.remarks]
        self.is_sure_of_older_copy = True

    def _part(self, ids: Iterable[str]) -> ShelfPart:
        lives = self._life.lives
        return ShelfPart(
            {one: lives.batches[one] for one in ids if one in lives.batches},
            {one: lives.lots[one] for one in ids if one in lives.lots},
        )

    def _admit(
        self, entry: Entry, findings: list[Finding], misfits: list[Flag], asked: Questions
    ) -> None:
        assert not isinstance(entry.fact, Unknown)
        before = self._surroundings(self._life.before(entry), entry)
        verdict = admit(before, entry.fact, entry.when, self._bench.practice)
        refuse(verdict)
        lives = self._life.tried(entry)
        # A day back changes what flowed on from there as well.
        new = new_flags(self._life.lives, lives, self._loaded)
        own = [flag for flag in new if flag.event == entry.id]
        later = [flag for flag in new if flag.event != entry.id]
        fits = [_has_ended(entry, flag) for flag in own]
        fits += [_no_longer_fits(entry, flag) for flag in later]
        verdict = Verdict((*verdict.findings, *fits, *self._own.repeated_by(entry, self.now)))
        findings += asked.judge(verdict)
        misfits += later
        if not isinstance(entry.fact, Labelled):
            self._not_held = None
        if self._life.is_last(entry):
            self._life.add(entry, lives)
        else:
            self._life.replace(entry, lives)

    def _amend(
        self, entry: Entry, findings: list[Finding], misfits: list[Flag], asked: Questions
    ) -> "Amended":
        from tracker.core.rules.amendment_gate import admit_amendment
        from tracker.outputs.words.flags import flag_text

        self._load_what_a_lot_went_into(entry)
        amended = admit_amendment(
            self._life, entry, self._bench.practice, self._surroundings, flag_text
        )
        if amended.now is not None and not isinstance(amended.now.fact, Unknown):
            validated(amended.now.fact)
        findings += asked.judge(amended.verdict)
        misfits += new_flags(self._life.lives, amended.lives, self._loaded)
        self._not_held = None
        self._life.replace(entry, amended.lives)
        return amended

    def _load_what_a_lot_went_into(self, strike: Entry) -> None:
        """A lot that is struck is missed by the jars that were charged from it."""
        if not isinstance(strike.fact, Struck):
            return
        target = self._life.entries.get(strike.fact.event)
        if target is not None and traits_of(target.fact).opens == "lot":
            self._load(self._flowed_into(target.jars))

    def _amended_by(self, entries: Sequence[Entry]) -> dict[str, Entry]:
        """The entries that amendments among these name, by their ids."""
        if not any(isinstance(one.fact, Amendment) for one in entries):
            return {}
        from tracker.core.rules.amendment_gate import amended_by

        return amended_by(self._life, entries)

    def _surroundings(self, lives: Lives, entry: Entry) -> Before:
        """What a fact is held against, besides the things it names."""
        fact = entry.fact
        lots = dict(lives.lots)
        used = set(lots_used(fact))
        used |= {about.jar for about in things_of(fact) if about.jar in lots}
        known = self._stored.lots | self._life.lives.lots if used else {}
        lots = {lot: known[lot] for lot in used if lot in known} | lots
        # A hold of a later day counts where the lot itself is not worked on.
        lots |= {lot: known[lot] for lot in lots_used(fact) if lot in known}
        mine = {one for one in jars_of(entry.id, fact) if opener_of(one) == entry.id}
        return Before(
            ShelfPart(lives.batches, lots),
            left={
                lot: self.account_of(lots[lot], but=entry.id).left for lot in used if lot in lots
            },
            is_taken=lambda code: self._is_taken(code, mine),
            now=self.now,
            not_held=self.not_held,
        )

    def not_held(self) -> Sequence[Flag]:
        """What holds some of a lot called back and is on no hold; mostly there is no such lot."""
        if self._not_held is None:
            self._not_held = self._found_not_held()
        return self._not_held

    def _found_not_held(self) -> Sequence[Flag]:
        mine = self._life.lives
        if not (
            self._ask(read_model.has_recall)
            or any(lot.recalled for lot in mine.lots.values())
            or any(one.hold is not None and one.hold.named for one in mine.batches.values())
        ):
            return ()
        from tracker.core.reckoning.flows.not_on_hold import not_held

        return not_held(*self._may_hold_recalled())

    def _may_hold_recalled(self) -> tuple[list[Batch], list[Lot]]:
        """What may hold some of a lot called back; everything where that was only just said."""
        from tracker.core.reckoning.flows.may_hold import called_back, reached_from

        mine = self._life.lives
        every = [*mine.batches.values(), *mine.lots.values()]
        reach, (batches, lots) = self._stored.reach, self._stored.may_hold_recalled
        reached, _ = reached_from(reach.keys, every)
        joins = reached - batches.keys() - lots.keys()
        if called_back(every) - reach.starts or any(map(self._stored.holds, joins)):
            return self.batches(), self.lots()
        return list((batches | mine.batches).values()), list((lots | mine.lots).values())

    def _is_taken(self, code: str, mine: set[str]) -> bool:
        """Whether something else goes by a code, or could come to: an extract of it has letters."""
        wanted = code.strip().upper()
        lives = self._life.lives
        given = self._ask(read_model.codes_near, code.strip(), _LETTERS)
        given |= {one.id: one.code for one in (*lives.batches.values(), *lives.lots.values())}
        taken = {text.upper() for one, text in given.items() if one not in mine}
        return any(
            wanted == one or _is_lettered(wanted, one) or _is_lettered(one, wanted) for one in taken
        )

    def _meanwhile(self, entry: Entry, amended: "Amended") -> list[Entry]:
        """What was printed, given out or decided on a value before it was corrected."""
        from tracker.core.rules.consequences import is_remark, reach

        if not isinstance(entry.fact, Corrected | Struck) or is_remark(entry.fact):
            return []
        if isinstance(amended.root.fact, Noted | Later):
            return []
        target = self._life.entries[entry.fact.event]
        self._load(self._flowed_into(amended.root.jars))
        own = [one for one in self._life.entries.values() if one.id != entry.id]
        return reach(amended.root, own, self.now, target.recorded)

    def _flowed_into(self, ids: Sequence[str]) -> set[str]:
        """The jars, blends and lots that anything of these went into."""
        from tracker.core.reckoning.flows.flow_graph import graph_of
        from tracker.core.reckoning.flows.recall import flowing_out

        return flowing_out(graph_of(self.reached(ids), self.lots()), ids)


def _is_lettered(code: str, of: str) -> bool:
    """Whether a code is another one and the letters of an extract of it."""
    rest = code[len(of) :]
    return code.startswith(of) and 0 < len(rest) <= _LETTERS and rest.isalpha()


def _has_ended(entry: Entry, flag: Flag) -> Finding:
    from tracker.outputs.words.flags import flag_text

    return Finding(
        "ended", entry.subject, flag_text(flag), "`stillroom history` shows what was recorded"
    )


def _no_longer_fits(entry: Entry, flag: Flag) -> Finding:
    from tracker.outputs.words.flags import flag_text

    return Finding(
        "fit",
        entry.subject,
        f"with that, something later does not fit any more: {flag_text(flag)}",
        "correct that one as well, or give another day with --when",
        "question",
    )
