"""What a vessel holds: shares of everything that ever went in.

Whatever is taken takes the same share of every part, so herb, ethanol, glycerin and volume
travel in proportion through drawing off, splitting, joining, blending and making up. Cost
travels too, but over the volume that is there to be used: what marc and filter keep costs
nothing, and the rest so much the more.
"""

from collections.abc import Callable, Iterable
from itertools import chain
from typing import Literal, TypeVar

import msgspec

from tracker.core.herbs.water import water_ml
from tracker.core.shelf.spell import Spell
from tracker.core.values.times import When

# Volumes are measured by people: a drop more or less is none.
DROP_ML = 0.05

# Of these there are many in every book. Reading takes less time where a default is not stored,
# and where the collector passes over what can be part of no circle.


class Herb(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """So much of one herb as the liquid stands for; its weight may not be known."""

    event: str
    herb: str
    form: str
    g: float | None = None
    part: str | None = None
    known: str = "weighed"
    water_pct_mass: float | None = None


class Poured(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """A pour as it stands in a vessel: what, how much, how strong, and when it went in.

    A strength of None is not known; without `glycerin_pct_mass` a glycerin is pure.
    `simmered`: it was on the fire since, so that spirit may have gone off as steam.
    """

    on: When
    liquid: str
    volume_ml: float
    ethanol_pct_vol: float | None
    name: str | None = None
    known: str = "measured"
    event: str = ""
    place: int = 0
    glycerin_pct_mass: float | None = None
    simmered: bool = False


class Use(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """Something that was paid for, or came from a lot, and the share of its cost in here.

    `amount` is all that was used, g or ml, whatever the share. `order` sorts what was taken from
    a lot among what else became of it.
    """

    event: str
    place: int
    on: When
    amount: float | None = None
    lot: str | None = None
    paid: str | None = None
    share: float = 1.0
    order: str = ""


# What the ratio of a liquid is counted by; of several put together perhaps by nothing in common.
Basis = Literal["poured", "finished"]
BasisOfAll = Literal["poured", "finished", "mixed"]


class Contents(msgspec.Struct, frozen=True, omit_defaults=True):
    """Herbs and pours in `ml` of liquid, and the uses whose cost `costs_ml` of it carry.

    Without `ml` it is the sum of the pours and the herbs' water; without `costs_ml` the same
    volume as `ml`. `spells` are how long it stood too weak to keep, empty for what is strong.
    `basis` is what its ratio is counted by; None of a liquid without herb.

    `charged_g` is kept where that is the finished volume: the herb charged for `costs_ml` of
    it, since what marc and filter keep takes no herb along; None where it was not weighed.
    `again`: some of it stood on old marc, of which its herb says too little for a ratio.
    """

    herbs: tuple[Herb, ...] = ()
    pours: tuple[Poured, ...] = ()
    ml: float | None = None
    costs: tuple[Use, ...] = ()
    costs_ml: float | None = None
    spells: tuple[Spell, ...] = ()
    basis: BasisOfAll | None = None
    charged_g: float | None = None
    again: bool = False

    @property
    def spread_ml(self) -> float:
        """The volume that carries its costs and the herb that was charged for it."""
        return self.volume_ml if self.costs_ml is None else self.costs_ml

    @property
    def volume_ml(self) -> float:
        """The liquid, volumes simply added where it was not measured."""
        if self.ml is not None:
            return self.ml
        return sum(pour.volume_ml for pour in self.pours) + sum(map(water_ml, self.herbs))


def portion(whole: Contents, taken_ml: float) -> Contents:
    """So much taken out of a liquid."""
    volume_ml, spread_ml = whole.volume_ml, whole.spread_ml
    carried = taken_ml / spread_ml if spread_ml else 0.0
    return Contents(
        scaled_herbs(whole.herbs, taken_ml / volume_ml if volume_ml else 0.0),
        scaled_pours(whole.pours, taken_ml / volume_ml if volume_ml else 0.0),
        None if whole.ml is None else taken_ml,
        scaled_costs(whole.costs, carried),
        spells=whole.spells,
        basis=whole.basis,
        charged_g=None if whole.charged_g is None else whole.charged_g * carried,
        again=whole.again,
    )


def share(whole: Contents, part: float) -> Contents:
    """A share of a liquid with all it carries: 0.5 is half of it."""
    return Contents(
        scaled_herbs(whole.herbs, part),
        scaled_pours(whole.pours, part),
        None if whole.ml is None else whole.ml * part,
        scaled_costs(whole.costs, part),
        spells=whole.spells,
        basis=whole.basis,
        charged_g=None if whole.charged_g is None else whole.charged_g * part,
        again=whole.again,
    )


def together(parts: Iterable[Contents], ml: float | None = None) -> Contents:
    """Liquids put together; `ml` is what was measured then.

    Parts of one origin become one again. The order of what went in is kept.
    """
    given = list(parts)
    if ml is None and any(one.ml is not None for one in given):
        ml = sum(one.volume_ml for one in given)
    return Contents(
        _of_all([one.herbs for one in given], added_herbs),
        _of_all([one.pours for one in given], _added_pours),
        ml,
        _of_all([one.costs for one in given], _added_costs),
        basis=_basis_of(given),
        charged_g=_charged_g(given),
        again=any(one.again for one in given),
    )


def _basis_of(parts: Iterable[Contents]) -> BasisOfAll | None:
    """What the ratio of all of them can be counted by."""
    found = {one.basis for one in parts if one.basis is not None}
    return "mixed" if len(found) > 1 else next(iter(found), None)


def _charged_g(parts: Iterable[Contents]) -> float | None:
    """The herb charged for all of them; what never had any, such as a spirit, adds none."""
    known = [one.charged_g for one in parts if one.basis is not None]
    return None if not known or None in known else sum(one for one in known if one is not None)


def scaled_herbs(herbs: Iterable[Herb], factor: float) -> tuple[Herb, ...]:
    """The herbs, so much of each."""
    if factor == 1:
        return tuple(herbs)
    return tuple(
        one if one.g is None else _with(one, g=one.g * factor, known="reckoned") for one in herbs
    )


def scaled_pours(pours: Iterable[Poured], factor: float) -> tuple[Poured, ...]:
    """The pours, so much of each."""
    return tuple(_with(one, volume_ml=one.volume_ml * factor) for one in pours)


def simmered_pours(pours: Iterable[Poured]) -> tuple[Poured, ...]:
    """The pours after they were on the fire."""
    return tuple(_with(one, simmered=True) for one in pours)


def scaled_costs(costs: Iterable[Use], factor: float) -> tuple[Use, ...]:
    """The uses, so much of the cost of each."""
    return tuple(_with(one, share=one.share * factor) for one in costs)


def added_herbs(herbs: Iterable[Herb]) -> tuple[Herb, ...]:
    """The herbs, those of one origin as one."""
    found: dict[str, Herb] = {}
    for one in herbs:
        same = found.get(one.event)
        if same is None:
            found[one.event] = one
        else:
            g = None if same.g is None or one.g is None else same.g + one.g
            found[one.event] = _with(same, g=g)
    return tuple(found.values())


def _added_pours(pours: Iterable[Poured]) -> tuple[Poured, ...]:
    found: dict[tuple[str, int, bool], Poured] = {}
    for one in pours:
        key = (one.event, one.place, one.simmered)
        same = found.get(key)
        whole = one if same is None else _with(one, volume_ml=same.volume_ml + one.volume_ml)
        found[key] = whole
    return tuple(found.values())


def _added_costs(costs: Iterable[Use]) -> tuple[Use, ...]:
    found: dict[tuple[str, int], Use] = {}
    for one in costs:
        key = (one.event, one.place)
        same = found.get(key)
        found[key] = one if same is None else _with(one, share=same.share + one.share)
    return tuple(found.values())


Part = TypeVar("Part", bound=msgspec.Struct)


def _of_all(
    parts: Iterable[tuple[Part, ...]], added: Callable[[Iterable[Part]], tuple[Part, ...]]
) -> tuple[Part, ...]:
    """What all the parts have; mostly only one of them has any, and nothing is to be added."""
    some = [one for one in parts if one]
    return some[0] if len(some) == 1 else added(chain.from_iterable(some))


def _with(one: Part, **changes: object) -> Part:
    return msgspec.structs.replace(one, **changes)
