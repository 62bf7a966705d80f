"""How much of a lot is in a liquid, and where all of a lot is: nothing of it disappears."""

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from tracker.core.reckoning.flows.flow_graph import Node
from tracker.core.reckoning.flows.lot_balance import Account
from tracker.core.reckoning.flows.named_lots import NamedLots
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch

Origin = tuple[str, int]


class Balance(msgspec.Struct, frozen=True):
    """Where all of a lot is, g or ml of it as it came in; what was dried counts as it was fresh.

    What came in is what is left, what stands in jars and bottles, what was given out, what was
    thrown out, what counts did not find, and what stayed behind in marc, filters and lees.

    Attributes:
        left: not used yet, of the lot and of what was dried of it.
        inside: in jars, extracts and bottles on the shelf.
        stayed: None where some weight is not known.
        unknown: so many things hold or held an amount of it that is not known.
    """

    unit: str
    came_in: float
    left: float
    inside: float
    given: float
    discarded: float
    missing: float
    stayed: float | None
    unknown: int


class LotShares:
    """One lot with what was dried of it, and how much of it is in what came of it."""

    def __init__(self, start: Node, batches: Iterable[Batch], lots: Sequence[Lot]) -> None:
        self.start = start
        self.family = _family(start.id, lots)
        every = list(batches)
        self._each: dict[Origin, float] = {
            (use.event, use.place): self.family[use.lot]
            for batch in every
            for use in batch.uses
            if use.lot in self.family
        }
        named = NamedLots(every, lots)
        jars = [one for one in every if isinstance(one, Jar) and one.opened == "charged"]
        naming = [jar for jar in jars if named.is_named(jar, start.id)]
        self._unsure = {(jar.id, 0) for jar in naming if jar.named_g is None}
        self._each |= {(jar.id, 0): 1.0 for jar in naming if jar.named_g is not None}

    def part(self, made: Contents) -> float | None:
        """How much of the lot a liquid stands for; None where that is not known.

        Nothing where it may hold some by its days, and does not in the order of the book.
        """
        found = [
            (one.g, self._each.get((one.event, 0)), (one.event, 0) in self._unsure)
            for one in made.herbs
        ]
        found += [
            (one.volume_ml, self._each.get((one.event, one.place)), False) for one in made.pours
        ]
        mine = [(much, each) for much, each, unsure in found if each is not None or unsure]
        total = 0.0
        for much, each in mine:
            if much is None or each is None:
                return None
            total += much * each
        return total

    def balance(
        self,
        lots: Sequence[tuple[Lot, Account]],
        inside: Sequence[float | None],
        gone: Mapping[str, Sequence[float | None]],
    ) -> Balance | None:
        """Where all of it is; None of a lot that only jars name, since nobody knows how much.

        Args:
            lots: every lot with what became of it.
            inside: how much of it is in each thing on the shelf.
            gone: the same of what was `given`, `discarded` or is `missing`.
        """
        own = [(self.family[lot.id], lot, one) for lot, one in lots if lot.id in self.family]
        start = next((pair for pair in own if pair[1].id == self.start.id), None)
        if start is None:
            return None
        sums = {how: _known(gone.get(how, ())) for how in ("given", "discarded", "missing")}
        used = sum(each * one.used for each, _, one in own)
        unknown = sum(one.unweighed for _, _, one in own)
        unknown += sum(much is None for many in (inside, *gone.values()) for much in many)
        stayed = used - _known(inside) - sum(sums.values())
        return Balance(
            unit=start[1].unit,
            came_in=start[1].amount,
            left=sum(each * one.left for each, _, one in own),
            inside=_known(inside),
            given=sums["given"],
            discarded=sums["discarded"] + sum(each * one.discarded for each, _, one in own),
            missing=sums["missing"] + sum(each * one.unaccounted for each, _, one in own),
            stayed=None if unknown else stayed,
            unknown=unknown,
        )


def _known(amounts: Iterable[float | None]) -> float:
    return sum((one for one in amounts if one is not None), 0.0)


def _family(start: str, lots: Iterable[Lot]) -> dict[str, float]:
    """The lot and all that was dried of it: so much of the lot each unit of those is."""
    family, todo = {start: 1.0}, [lot for lot in lots if lot.parent is not None]
    while True:
        found = [lot for lot in todo if lot.parent is not None and lot.parent.jar in family]
        if not found:
            return family
        for lot in found:
            assert lot.parent is not None
            family[lot.id] = family[lot.parent.jar] * (lot.parent.g or 0.0) / lot.amount
        todo = [lot for lot in todo if lot.id not in family]
