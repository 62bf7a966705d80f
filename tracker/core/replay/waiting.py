"""What is still to be told of a history: found by what it opens, whatever its order."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled, Restored
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Joined
from tracker.core.facts.kinds import Recorded, things_of
from tracker.core.facts.lots import Recalled
from tracker.core.facts.ties import opener_of
from tracker.core.shelf.thing import Batch


class Waiting(msgspec.Struct):
    """Entries that are not told yet, by id, and those that fill bottles by their extract."""

    entries: dict[str, Entry] = {}
    _fills: dict[str, list[Entry]] = msgspec.field(default_factory=lambda: defaultdict(list))

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> "Waiting":
        """These, in the order they will be told in."""
        waiting = cls()
        for entry in entries:
            waiting.add(entry)
        return waiting

    def add(self, entry: Entry) -> None:
        """One more, told after those that are here."""
        self.entries[entry.id] = entry
        if isinstance(entry.fact, Bottled) and entry.fact.about.extract is not None:
            self._fills[entry.fact.about.extract].append(entry)

    def take(self, event: str) -> Entry:
        """The entry of that id, which waits no longer."""
        return self.entries.pop(event)

    def opener(self, batches: dict[str, Batch], fact: Recorded) -> Entry | None:
        """What has to be told before a fact can be, if it is among what waits."""
        return next(self.openers(batches, fact), None)

    def openers(self, batches: dict[str, Batch], fact: Recorded) -> Iterator[Entry]:
        """The same, one after another: each has to be told before the next is asked for."""
        if isinstance(fact, Restored) and (discard := self.entries.get(fact.discard)):
            yield discard
        if isinstance(fact, Recalled | Joined):  # of very many whole things, perhaps
            yield from self._wholes(batches, fact)
            return
        for about in things_of(fact):
            while (found := self._opens(batches, about)) is not None:
                yield found

    def _wholes(self, batches: dict[str, Batch], fact: Recalled | Joined) -> Iterator[Entry]:
        if isinstance(fact, Recalled):
            while (found := self._opens(batches, fact.about)) is not None:
                yield found
        for jar in fact.jars if isinstance(fact, Recalled) else fact.parts:
            if jar not in batches and (opener := self.entries.get(opener_of(jar))) is not None:
                yield opener

    def _opens(self, batches: dict[str, Batch], about: About) -> Entry | None:
        batch = batches.get(about.jar)
        if batch is None:
            return self.entries.get(opener_of(about.jar))
        if about.extract is None:
            return None
        extract = batch.extract(about.extract)
        if extract is None:
            return self.entries.get(about.extract)
        number = about.bottle
        if number is None or extract.bottle(number):
            return None
        return self._fill(extract.id, number)

    def _fill(self, extract_id: str, number: int) -> Entry | None:
        if extract_id not in self._fills:
            return None
        # What was told meanwhile need not be passed over a second time.
        left = [one for one in self._fills[extract_id] if one.id in self.entries]
        self._fills[extract_id] = left
        return next((one for one in left if _fills(one.fact, number)), None)


def _fills(fact: Recorded, number: int) -> bool:
    return isinstance(fact, Bottled) and any(
        run.first <= number < run.first + run.count for run in fact.bottles
    )
