"""A history told line by line, as it comes: right for whatever comes in its order.

Most lines of a book are written down in the order they happened in, correct nothing, and are about
things that are there. Each of those changes the state as it stood, and no other line is needed
for it. Whatever else comes sets what it is about apart, to be folded from all its lines by
`lives_of`, which knows every case; so this says nothing of its own about any of them.
"""

from collections.abc import Callable, Mapping

from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry, replay_order
from tracker.core.facts.jars import Shaken
from tracker.core.facts.kinds import Unknown, things_of
from tracker.core.facts.ties import WHOLE_SHELF, opener_of
from tracker.core.replay.apply import misdated, step
from tracker.core.replay.jar_changes import shaken
from tracker.core.replay.replay import Lives
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.core.values.errors import TrackerError
from tracker.core.values.times import Order


class Told:
    """A jar, blend or lot as far as it is told: its state, and the place of its last line.

    `state` is None where nothing is known that opens it. Of what is set apart it means nothing.
    """

    __slots__ = ("is_apart", "is_new", "order", "state")

    def __init__(self, state: Batch | Lot | None = None, order: Order | None = None) -> None:
        self.state, self.order = state, order
        self.is_new = False
        self.is_apart = False


class InOrder:
    """Jars, blends and lots told from lines as they come.

    Args:
        fetch: what was told before of an id; None where no line named it.
        awaited: for ids of lines that have not come, the jars of what amends them.
    """

    def __init__(
        self, fetch: Callable[[str], Told | None], awaited: Mapping[str, tuple[str, ...]]
    ) -> None:
        self._fetch = fetch
        self.awaited = dict(awaited)
        self.told: dict[str, Told] = {}
        self.apart: set[str] = set()
        self._lives = Lives()

    def tell(self, entry: Entry, jars: tuple[str, ...]) -> None:
        """Go on with one more line.

        Args:
            entry: what it says.
            jars: the ids of all it is about, as the entry has them.
        """
        fact, awaited = entry.fact, self.awaited.get(entry.id)
        if type(fact) is Shaken and awaited is None:
            self._shake(entry, jars)
            return
        order = replay_order(entry)
        every = [self.told.get(one) or self._bring(one) for one in jars]
        if (
            awaited is None
            and not isinstance(fact, Amendment | Unknown)
            and self._is_in_order(entry, jars, order, every)
        ):
            self._apply(entry, jars, order, every)
            return
        for one in awaited or ():
            self.told.get(one) or self._bring(one)
        self._set_apart((*jars, *(awaited or ())))
        if isinstance(fact, Amendment):
            known = self.awaited.get(fact.event, ())
            self.awaited[fact.event] = tuple(sorted({*jars, *known}))

    def drop(self, one: str) -> Told:
        """Forget what was told of a thing, which is kept elsewhere."""
        self._lives.batches.pop(one, None)
        self._lives.lots.pop(one, None)
        return self.told.pop(one)

    def fold(self, one: str) -> None:
        """Forget what was told of a thing that was folded whole, and whose state is kept so."""
        self.apart.discard(one)
        if one in self.told:
            self.drop(one)

    def _bring(self, one: str) -> Told:
        told = self._fetch(one)
        if told is None:
            told = Told()
            told.is_new = True
        elif told.state is None and one != WHOLE_SHELF:
            told.is_apart = True
        if told.is_apart or one in self.apart:
            told.is_apart = True
            self.apart.add(one)
        elif isinstance(told.state, Lot):
            self._lives.lots[one] = told.state
        elif told.state is not None:
            self._lives.batches[one] = told.state
        self.told[one] = told
        return told

    def _set_apart(self, jars: tuple[str, ...]) -> None:
        for one in jars:
            self.told[one].is_apart = True
        self.apart.update(jars)

    def _shake(self, entry: Entry, jars: tuple[str, ...]) -> None:
        """Most lines of any history: of each jar by itself."""
        if len(jars) > 1 and len(set(jars)) < len(jars):
            for one in jars:
                self._bring(one)
            self._set_apart(jars)
            return
        order = replay_order(entry)
        for one in jars:
            told = self.told.get(one) or self._bring(one)
            jar = told.state
            if told.is_apart:
                continue
            if (
                not isinstance(jar, Jar)
                or (told.order is not None and order < told.order)
                or shaken(jar, entry.when)
                or misdated(jar, entry)
            ):
                told.is_apart = True
                self.apart.add(one)
            told.order = order

    def _is_in_order(
        self, entry: Entry, jars: tuple[str, ...], order: Order, every: list[Told]
    ) -> bool:
        """Whether a line may change things as they stand."""
        if jars == (WHOLE_SHELF,):
            return not every[0].is_apart
        for one, told in zip(jars, every, strict=True):
            if told.is_apart or (told.order is not None and order < told.order):
                return False
            if told.state is None:
                if not told.is_new or opener_of(one) != entry.id:
                    return False
            elif told.state.flags:  # it may have waited for this
                return False
        return self._names_what_is_there(entry)

    def _names_what_is_there(self, entry: Entry) -> bool:
        """Whether each extract and bottle that it is about has been opened."""
        lives = self._lives
        for about in things_of(entry.fact):
            batch = lives.batches.get(about.jar)
            if batch is None:
                if about.jar not in lives.lots and opener_of(about.jar) != entry.id:
                    return False
            elif about.extract is not None and about.extract != entry.id:
                extract = batch.extract(about.extract)
                if extract is None:
                    return False
                if about.bottle is not None and extract.bottle(about.bottle) is None:
                    return False
        return True

    def _apply(self, entry: Entry, jars: tuple[str, ...], order: Order, every: list[Told]) -> None:
        lives = self._lives
        if jars == (WHOLE_SHELF,):
            return
        try:
            fits = step(lives.batches, lives.lots, entry, entry.fact) is None
        except TrackerError:
            fits = False
        for one, told in zip(jars, every, strict=True):
            if told.is_new:
                told.state = lives.batches.get(one) or lives.lots.get(one)
                told.is_new = False
            told.order = order
            state = told.state
            fits = fits and state is not None and not state.flags and not misdated(state, entry)
        if not fits:
            self._set_apart(jars)
