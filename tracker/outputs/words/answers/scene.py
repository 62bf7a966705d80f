"""One recorded fact and what its answer is read from."""

from collections.abc import Iterable
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import About
from tracker.core.practice.practice import PlantNames, Practice
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.day_words import Present
from tracker.core.values.times import When


class Told(msgspec.Struct, frozen=True):
    """What is answered about one thing; a line may begin with its plant and code, or its code."""

    plant: str
    code: str
    lines: tuple[str, ...]
    is_everyday: bool = False  # of very many the codes need not be said


class Scene(msgspec.Struct, frozen=True):
    """An entry, with the things before and after it, the practice and the day of the answer."""

    recorded: Recorded
    entry: Entry
    practice: Practice
    today: date

    @property
    def present(self) -> Present:
        """What days are said from."""
        return Present(self.today.year, self.practice.hemisphere)

    def day(self, day: date | When) -> str:
        """A day in words, or what is known of one."""
        return self.present.said(day)

    def after(self, about: About) -> Thing | Lot | None:
        """What a fact is about, as it stands now."""
        return self.recorded.after.thing(about)

    def code(self, about: About) -> str:
        """The code people see on a thing; that of the entry where the thing is not there."""
        thing = self.after(about)
        return self.entry.subject if thing is None else thing.code

    def named(self, about: About) -> str:
        """A thing by its plant and its code, `marigold flower CAOF-26-01A`."""
        thing = self.after(about)
        return self.entry.subject if thing is None else self.called(thing)

    def called(self, thing: Thing | Lot | Jar | Blend) -> str:
        """The same of a thing at hand, or of a whole jar or blend."""
        return f"{self._plant_of(thing)} {thing.code}"

    def told(self, about: About, lines: Iterable[str], *, is_everyday: bool = False) -> Told:
        """The lines of the answer, with what they may begin with."""
        thing = self.after(about)
        if thing is None:
            return Told("", "", tuple(lines))
        return Told(self._plant_of(thing), thing.code, tuple(lines), is_everyday)

    def _plant_of(self, thing: Thing | Lot | Jar | Blend) -> str:
        if isinstance(thing, Lot):
            from tracker.outputs.terminal.lot_names import lot_in_a_list

            return lot_in_a_list(thing, self.practice.names)
        batch = thing.batch if isinstance(thing, Thing) else thing
        made = thing.made if isinstance(thing, Thing) else thing.contents
        return _herbs_said(batch, made, self.practice.names)

    def plant(self, entry: Entry) -> str | None:
        """What the one jar of an earlier entry is called; None where it is not at hand."""
        batch = self.recorded.before.batches.get(entry.jars[0]) if len(entry.jars) == 1 else None
        if batch is None:
            return None
        from tracker.outputs.words.plant_names import batch_called

        return batch_called(batch, self.practice.names)

    def batch(self, batch_id: str) -> Batch | None:
        """The jar or blend as it stands now."""
        return self.recorded.after.batches.get(batch_id)

    def jar(self, jar_id: str) -> Jar | None:
        """The jar as it stands now."""
        found = self.batch(jar_id)
        return found if isinstance(found, Jar) else None

    def until(self, thing: Thing | Lot | None) -> str:
        """How long it is good, in words: `good through 5 Apr`."""
        from tracker.core.reckoning import keeps

        last = keeps.good_through(thing, self.practice) if isinstance(thing, Thing) else None
        if last is None:
            return "how long it keeps is not known"
        is_past = last < self.entry.when.earliest
        return (
            f"its last good day was {self.day(last)}"
            if is_past
            else f"good through {self.day(last)}"
        )

    def extract(self, about: About) -> Extract | None:
        """The extract, or that of the bottle, as it stands now."""
        thing = self.after(about)
        return thing.extract if isinstance(thing, Thing) else None


def _herbs_said(batch: Batch, made: Contents, names: PlantNames) -> str:
    from tracker.outputs.view.made import herbs_of
    from tracker.outputs.words.plant_names import called_in_a_list

    return called_in_a_list(herbs_of(batch, made), names)
