"""The life of some jars and lots: folded once, and brought on fact by fact."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import msgspec

from tracker.core.facts.entry import Entry, replay_order
from tracker.core.facts.extracts import Bottled, Restored
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import starts, things_of
from tracker.core.facts.ties import WHOLE_SHELF, opener_of
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import settle
from tracker.core.replay.replay import Lives, apply_entry, lives_of
from tracker.core.shelf.codes import relabel
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch

_BATCH: msgspec.json.Decoder[Batch] = msgspec.json.Decoder(Batch)
_LOT = msgspec.json.Decoder(Lot)


@dataclass(slots=True)
class Life:
    """Jars and lots that have to do with each other, and every line about them.

    Args:
        entries: by id, amendments included.
        relabelled: of what is shown under another code than it was given, both codes, by its id.
    """

    entries: dict[str, Entry] = field(default_factory=dict)
    relabelled: dict[str, tuple[str, str]] = field(default_factory=dict)
    lives: Lives = field(default_factory=Lives)
    _latest: dict[str, tuple[object, ...]] = field(default_factory=dict)

    def load(self, entries: Iterable[Entry], relabelled: Mapping[str, tuple[str, str]]) -> None:
        """Take in families that are not here yet; closed under what flows and amends."""
        own = each_once(list(entries))[0]
        self.entries.update((one.id, one) for one in own)
        self.relabelled.update(relabelled)
        self._join(self.folded(own))
        self._note(own)

    def _join(self, lives: Lives) -> None:
        self.lives.batches |= lives.batches
        self.lives.lots |= lives.lots
        self.lives.strays += lives.strays

    def _note(self, entries: Iterable[Entry]) -> None:
        for entry in settle(list(entries)).entries:
            order = replay_order(entry)
            for jar in entry.jars:
                self._latest[jar] = max(self._latest.get(jar, order), order)

    def folded(self, entries: list[Entry]) -> Lives:
        """These entries as lives of their own, under the codes that people see."""
        kin = {jar for one in entries for jar in one.jars} - {WHOLE_SHELF}
        lives = lives_of(kin, entries)
        self._relabel(lives)
        return lives

    def relabel(self, relabelled: Mapping[str, tuple[str, str]]) -> None:
        """Show things here as they are shown now: a strike may bring back a code that is taken."""
        self.relabelled.update(relabelled)
        self._relabel(self.lives)

    def _relabel(self, lives: Lives) -> None:
        shelved: list[Batch | Lot] = [*lives.batches.values(), *lives.lots.values()]
        for one in shelved:
            given, shown = self.relabelled.get(one.id, ("", ""))
            if one.code == given:  # a correction may have given it another
                relabel(one, shown)

    def is_last(self, entry: Entry) -> bool:
        """Whether nothing about the same things happened later, or waits for what it fills."""
        order = replay_order(entry)
        if any(order < self._latest.get(jar, order) for jar in entry.jars):
            return False
        if not isinstance(entry.fact, Bottled):
            return True
        filled = set(_filled(entry.fact))
        return not any(
            about in filled for one in self.entries.values() for about in things_of(one.fact)
        )

    def before(self, entry: Entry) -> Lives:
        """The things an entry is about, as they stood when it happened."""
        if self.is_last(entry):
            return self.lives
        return self.before_among(settle(list(self.entries.values())).entries, entry)

    def before_among(self, entries: list[Entry], entry: Entry) -> Lives:
        """The same, where these are the entries that stand."""
        return self.folded(_up_to(entries, entry))

    def tried(self, entry: Entry) -> Lives:
        """What an entry is about, as it would be with it; nothing here is changed."""
        if not self.is_last(entry):
            return self.folded([*self.entries.values(), entry])
        if WHOLE_SHELF in entry.jars:
            return Lives()
        part = Lives(
            {jar: _BATCH.decode(msgspec.json.encode(one)) for jar, one in self._own(entry)},
            {
                lot: _LOT.decode(msgspec.json.encode(one))
                for lot in entry.jars
                if (one := self.lives.lots.get(lot)) is not None
            },
        )
        apply_entry(part, entry)
        return part

    def _own(self, entry: Entry) -> Iterable[tuple[str, Batch]]:
        batches = self.lives.batches
        return ((jar, one) for jar in entry.jars if (one := batches.get(jar)) is not None)

    def add(self, entry: Entry, lives: Lives) -> None:
        """Go on with an entry whose lives were tried."""
        self.entries[entry.id] = entry
        self._join(lives)
        self._note([entry])

    def replace(self, entry: Entry, lives: Lives) -> None:
        """Go on with an amendment: everything is replayed with it."""
        self.entries[entry.id] = entry
        self.lives = lives
        self._latest.clear()
        self._note(self.entries.values())


def _filled(fact: Bottled) -> Iterable[About]:
    """The bottles it fills."""
    numbers = (run.first + place for run in fact.bottles for place in range(run.count))
    return (replace(fact.about, bottle=number) for number in numbers)


def _up_to(entries: list[Entry], entry: Entry) -> list[Entry]:
    """What happened before an entry, and whatever opens the things it is about."""
    order = replay_order(entry)
    opening = {opener_of(about.jar) for about in things_of(entry.fact)}
    opening |= {about.extract for about in things_of(entry.fact) if about.extract}
    if isinstance(entry.fact, Restored):
        opening.add(entry.fact.discard)
    bottles = {about.extract for about in things_of(entry.fact) if about.bottle}
    return [
        one
        for one in entries
        if one.id != entry.id
        and (
            replay_order(one) < order
            or one.id in opening
            or starts(one.fact)
            or (isinstance(one.fact, Bottled) and one.fact.about.extract in bottles)
        )
    ]


def new_flags(before: Lives, after: Lives, among: Iterable[str]) -> list[Flag]:
    """What newly fails to fit in these jars and lots, whichever event it hangs on."""
    ids = set(among)
    was = {(flag.event, flag.misfit) for flag in _flags(before, ids)}
    found = (flag for flag in _flags(after, ids) if (flag.event, flag.misfit) not in was)
    return list(dict.fromkeys(found))


def _flags(lives: Lives, ids: set[str]) -> list[Flag]:
    shelved: list[Batch | Lot] = [*lives.batches.values(), *lives.lots.values()]
    return [flag for one in shelved if one.id in ids for flag in one.flags] + lives.strays
