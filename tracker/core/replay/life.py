"""The life of some jars and lots: folded once, and brought on fact by fact."""

from collections.abc import Collection, Iterable, Mapping

import msgspec

from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry, replay_order
from tracker.core.facts.extracts import Bottled, Restored
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Shaken
from tracker.core.facts.kinds import starts, things_of
from tracker.core.facts.ties import WHOLE_SHELF, opener_of
from tracker.core.replay.families import each_once
from tracker.core.replay.halfway import Halfway, copy_of, filled
from tracker.core.replay.in_force import settle
from tracker.core.replay.replay import Lives, OfMany, apply_entry, lives_of
from tracker.core.shelf.codes import relabel
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch


class Life(msgspec.Struct):
    """Jars and lots that have to do with each other, and every line about them.

    Args:
        entries: by id, amendments included; one whose id another writer gave as well stands under
            both names.
        relabelled: of what is shown under another code than it was given, both codes, by its id.
    """

    entries: dict[str, Entry] = {}
    relabelled: dict[str, tuple[str, str]] = {}
    lives: Lives = msgspec.field(default_factory=Lives)
    _latest: dict[str, tuple[object, ...]] = {}
    _bottles: set[About] = set()  # those that any line names
    _halfway: Halfway | None = None  # made when a line of a day past comes

    def load(self, entries: Iterable[Entry], relabelled: Mapping[str, tuple[str, str]]) -> None:
        """Take in families that are not here yet; closed under what flows and amends."""
        own = each_once(list(entries))[0]
        for one in own:
            _keep(self.entries, one)
        self.relabelled.update(relabelled)
        self._join(self.folded(own))
        self._note(own)
        self._halfway = None

    def _join(self, lives: Lives) -> None:
        self.lives.batches |= lives.batches
        self.lives.lots |= lives.lots
        self.lives.strays += lives.strays

    def _note(self, entries: Collection[Entry]) -> None:
        for entry in settle(list(entries)).entries:
            order = replay_order(entry)
            for jar in entry.jars:
                self._latest[jar] = max(self._latest.get(jar, order), order)
        for entry in entries:
            if not isinstance(entry.fact, Shaken):
                named = things_of(entry.fact)
                self._bottles.update(one for one in named if one.bottle is not None)

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
        """Whether nothing about the same things happened later, or waits for what it opens."""
        order = replay_order(entry)
        if any(order < self._latest.get(jar, order) for jar in entry.jars):
            return False
        if self.lives.strays and starts(entry.fact):  # one of them may be about what it opens
            return False
        if isinstance(entry.fact, OfMany) and not all(map(self._is_here, entry.jars)):
            return False
        return not isinstance(entry.fact, Bottled) or self._bottles.isdisjoint(filled(entry.fact))

    def _is_here(self, one: str) -> bool:
        return one in self.lives.batches or one in self.lives.lots

    def before(self, entry: Entry) -> Lives:
        """The things an entry is about, as they stood when it happened."""
        if self.is_last(entry):
            return self.lives
        found = self._up_to_now().before(entry)
        if found is None:
            return self.before_among(settle(list(self.entries.values())).entries, entry)
        if any(one in self.relabelled for one in (*found.batches, *found.lots)):
            found = copy_of(found)
            self._relabel(found)
        return found

    def _up_to_now(self) -> Halfway:
        """The history so far, to be told up to any of its days."""
        if self._halfway is None:
            self._halfway = Halfway(self.entries.values())
        return self._halfway

    def before_among(self, entries: list[Entry], entry: Entry) -> Lives:
        """The same, where these are the entries that stand."""
        return self.folded(_up_to(entries, entry))

    def tried(self, entry: Entry) -> Lives:
        """What an entry is about, as it would be with it; nothing here is changed."""
        if not self.is_last(entry):
            return self._tried_between(entry)
        if WHOLE_SHELF in entry.jars:
            return Lives()
        part = copy_of(self.lives, entry.jars)
        apply_entry(part, entry)
        return part

    def _tried_between(self, entry: Entry) -> Lives:
        """The same where something of the same things happened later."""
        halfway = self._up_to_now()
        if halfway.before(entry) is None:
            return self.folded([*self.entries.values(), entry])
        if halfway.changes_nothing(entry):
            return self.lives
        lives = halfway.with_entry(entry)
        self._relabel(lives)
        return lives

    def add(self, entry: Entry, lives: Lives) -> None:
        """Go on with an entry whose lives were tried."""
        _keep(self.entries, entry)
        self._join(lives)
        self._go_on(entry)

    def replace(self, entry: Entry, lives: Lives) -> None:
        """Go on with an amendment, or an entry with others after it: everything is as given."""
        _keep(self.entries, entry)
        self.lives = lives
        if not isinstance(entry.fact, Amendment):
            self._go_on(entry)
            return
        self._halfway = None
        self._latest.clear()
        self._note(self.entries.values())

    def _go_on(self, entry: Entry) -> None:
        self._note([entry])
        if self._halfway is None:
            return
        if self._halfway.has_place_for(entry):
            self._halfway.add(entry)
        else:
            self._halfway = None


def _keep(entries: dict[str, Entry], entry: Entry) -> None:
    first = entries.setdefault(entry.id, entry)
    if first.source != entry.source:
        entries[f"{entry.source} {entry.id}"] = entry
    elif first is not entry:
        entries[entry.id] = entry


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
    new = [flag for one in _shelved(after, ids) for flag in _unless(before, one)]
    if not new and after.strays == before.strays[: len(after.strays)]:
        return []
    was = {(flag.event, flag.misfit) for one in _shelved(before, ids) for flag in one.flags}
    was |= {(flag.event, flag.misfit) for flag in before.strays}
    found = (flag for flag in (*new, *after.strays) if (flag.event, flag.misfit) not in was)
    return list(dict.fromkeys(found))


def _shelved(lives: Lives, ids: set[str]) -> list[Batch | Lot]:
    shelved: list[Batch | Lot] = [*lives.batches.values(), *lives.lots.values()]
    return [one for one in shelved if one.id in ids]


def _unless(before: Lives, thing: Batch | Lot) -> list[Flag]:
    """The flags of a thing, unless it had the same before."""
    was = before.batches.get(thing.id) or before.lots.get(thing.id)
    return [] if was is not None and was.flags == thing.flags else thing.flags
