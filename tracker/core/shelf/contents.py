"""What a vessel holds: shares of everything that ever went in.

Whatever is taken takes the same share of every part, so herb, ethanol, glycerin and volume
travel in proportion through drawing off, splitting, joining, blending and making up. Cost
travels too, but over the volume that is there to be used: what marc and filter keep costs
nothing, and the rest so much the more.
"""

from collections.abc import Iterable
from typing import TypeVar

import msgspec

from tracker.core.herbs.water import water_ml
from tracker.core.values.times import When

# Volumes are measured by people: a drop more or less is none.
DROP_ML = 0.05


class Herb(msgspec.Struct, frozen=True):
    """So much of one herb as the liquid stands for; its weight may not be known."""

    event: str
    herb: str
    form: str
    g: float | None = None
    part: str | None = None
    known: str = "weighed"
    water_pct_mass: float | None = None


class Poured(msgspec.Struct, frozen=True):
    """A pour as it stands in a vessel: what, how much, how strong, and when it went in.

    A strength of None is not known; without `glycerin_pct_mass` a glycerin is pure.
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


class Use(msgspec.Struct, frozen=True):
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


class Contents(msgspec.Struct, frozen=True):
    """Herbs and pours in `ml` of liquid, and the uses whose cost `costs_ml` of it carry.

    Without `ml` it is the sum of the pours and the herbs' water; without `costs_ml` the same
    volume as `ml`.
    """

    herbs: tuple[Herb, ...] = ()
    pours: tuple[Poured, ...] = ()
    ml: float | None = None
    costs: tuple[Use, ...] = ()
    costs_ml: float | None = None

    @property
    def volume_ml(self) -> float:
        """The liquid, volumes simply added where it was not measured."""
        if self.ml is not None:
            return self.ml
        return sum(pour.volume_ml for pour in self.pours) + sum(map(water_ml, self.herbs))


def portion(whole: Contents, taken_ml: float) -> Contents:
    """So much taken out of a liquid."""
    volume_ml = whole.volume_ml
    costs_ml = volume_ml if whole.costs_ml is None else whole.costs_ml
    return Contents(
        scaled_herbs(whole.herbs, taken_ml / volume_ml if volume_ml else 0.0),
        scaled_pours(whole.pours, taken_ml / volume_ml if volume_ml else 0.0),
        None if whole.ml is None else taken_ml,
        scaled_costs(whole.costs, taken_ml / costs_ml if costs_ml else 0.0),
    )


def share(whole: Contents, part: float) -> Contents:
    """A share of a liquid with all it carries: 0.5 is half of it."""
    return Contents(
        scaled_herbs(whole.herbs, part),
        scaled_pours(whole.pours, part),
        None if whole.ml is None else whole.ml * part,
        scaled_costs(whole.costs, part),
    )


def together(parts: Iterable[Contents], ml: float | None = None) -> Contents:
    """Liquids put together; `ml` is what was measured then.

    Parts of one origin become one again. The order of what went in is kept.
    """
    given = list(parts)
    if ml is None and any(one.ml is not None for one in given):
        ml = sum(one.volume_ml for one in given)
    return Contents(
        added_herbs(herb for one in given for herb in one.herbs),
        _added_pours(pour for one in given for pour in one.pours),
        ml,
        _added_costs(use for one in given for use in one.costs),
    )


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
    found: dict[tuple[str, int], Poured] = {}
    for one in pours:
        key = (one.event, one.place)
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


def _with(one: Part, **changes: object) -> Part:
    return msgspec.structs.replace(one, **changes)
