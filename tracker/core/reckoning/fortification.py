"""Will it keep, and what to add if not, the herb's water included."""

import msgspec

from tracker.core.menstruum.addition import ml_to_strength
from tracker.core.menstruum.mixture import Mixture, Part, mixture, scaled
from tracker.core.menstruum.preservation import Level, Preservation, preservation
from tracker.core.practice.practice import Practice
from tracker.core.reckoning import amounts
from tracker.core.reckoning.strength import mixture_in, parts_with
from tracker.core.reckoning.weakness import KEPT_PCT_VOL, keeping_pct_vol, other_means_share
from tracker.core.shelf.contents import DROP_ML, Contents
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.thing import Batch

# What is suggested beside the spirit that was poured: strong spirit as it is commonly sold.
STRONG_PCT_VOL = 95.0


class Addition(msgspec.Struct, frozen=True):
    """How much spirit of a strength to pour in, ml."""

    ethanol_pct_vol: float
    ml: float


class Keeping(msgspec.Struct, frozen=True):
    """How a strength is judged, and what would bring it to where it is fine.

    Attributes:
        level: as `menstruum.preservation` gives it.
        reason: a sentence for the maker.
        target_pct_vol: the strength below which the maker is cautious.
        additions: each enough by itself; empty where it is fine or cannot be reckoned.
    """

    level: Level
    reason: str
    target_pct_vol: float
    additions: tuple[Addition, ...] = ()


def parts_to_fortify(made: amounts.Made, *, wettest: bool = False) -> list[Part] | None:
    """Every pour and the herb's water; None where the water cannot be known.

    Where the water was not stated, `wettest` takes as much of it as such a herb may bring.
    """
    water = amounts.herb_water(made)
    if water is None:
        return None
    if not water.ml:
        return parts_with(made, 0.0)
    most = min(water.pct_mass + water.off_pct, 100.0) if wettest else water.pct_mass
    return parts_with(made, water.ml * most / water.pct_mass)


def keeping_of(
    batch: Batch,
    practice: Practice,
    extract: Extract | None = None,
    bottle: Bottle | None = None,
) -> Keeping | None:
    """Whether a jar of herb, or an extract pressed from it, is likely to keep.

    Args:
        batch: the jar or blend.
        practice: the maker's thresholds.
        extract: one of its extracts; additions are then for what is left of it in bulk.
        bottle: one of its bottles; additions are then for what is left in that.

    Returns:
        None for what keeps by other means: vinegar, honey, syrup, glycerin and oil, as long as
        there is enough of them. Where the herb's water was not stated, what is to be added is
        enough for the wettest such herb, and what is only fine for a drier one is a caution.
    """
    made = _contents(batch, extract, bottle)
    target = practice.caution_below_pct_vol
    kept = keeping_pct_vol(made)
    poured = {pour.liquid for pour in made.pours}
    if kept is None or "ethanol" not in poured:
        return _by_other_means(made, kept, poured, extract, practice)
    if kept >= KEPT_PCT_VOL and not poured <= {"ethanol", "water"}:
        return None
    parts = parts_to_fortify(made, wettest=True)
    mixed, at_worst = mixture_in(made), mixture(parts) if parts is not None else None
    if mixed is None or at_worst is None or mixed.ethanol_pct_vol is None:
        return Keeping("unknown", _not_known(made), target)
    judged = _judged(mixed.ethanol_pct_vol, at_worst.ethanol_pct_vol or 0.0, mixed, practice)
    additions: tuple[Addition, ...] = ()
    if parts is not None and judged.level != "fine":
        additions = _additions(made, parts, _left_ml(extract, bottle), target)
    return Keeping(judged.level, judged.reason, target, additions)


def _not_known(made: Contents) -> str:
    """What is not known: how strong a pour is, how one of unknown make keeps, or the strength."""
    names = " and ".join(amounts.of_unknown_strength(made))
    if names:
        return f"the strength of the {names} is not known"
    others = (one for one in made.pours if one.liquid == "other" and one.known != "unknown")
    names = " and ".join(dict.fromkeys(one.name or "what was poured" for one in others))
    return f"nothing is known of how {names} keeps" if names else "the strength is not known"


def _contents(batch: Batch, extract: Extract | None, bottle: Bottle | None) -> Contents:
    if extract is None:
        return batch.contents
    return extract.made if bottle is None else bottle.made or extract.made


def _left_ml(extract: Extract | None, bottle: Bottle | None) -> float | None:
    """What is left to be made stronger; None of a jar, which is all of it."""
    if bottle is not None:
        return bottle.volume_ml
    return None if extract is None else extract.volume_ml


def _by_other_means(
    made: Contents,
    kept: float | None,
    poured: set[str],
    extract: Extract | None,
    practice: Practice,
) -> Keeping | None:
    """Of what holds no spirit: None where it keeps; weak, or not known, and why."""
    target = practice.caution_below_pct_vol
    if kept is None:
        watered = other_means_share(made) is not None and not poured & {"ethanol", "other"}
        why = "there is too little of it for the water in it" if watered else _not_known(made)
        means = " and ".join(sorted(poured - {"water"}))
        reason = f"{means}: {why}, so whether it keeps is not known" if watered else why
        return Keeping("unknown", reason, target)
    if kept >= KEPT_PCT_VOL:
        return None
    judged = preservation(kept, practice.warn_below_pct_vol, target)
    additions: tuple[Addition, ...] = ()
    parts = parts_to_fortify(made, wettest=True)
    if parts is not None and poured == {"water"} and judged.level != "fine":
        additions = _additions(made, parts, _left_ml(extract, None), target)
    return Keeping(judged.level, judged.reason, target, additions)


def _judged(
    strength_pct_vol: float, wettest_pct_vol: float, mixed: Mixture, practice: Practice
) -> Preservation:
    below = practice.warn_below_pct_vol, practice.caution_below_pct_vol
    glycerin_pct_vol = mixed.glycerin_pct_vol or 0.0
    judged = preservation(strength_pct_vol, *below, glycerin_pct_vol)
    if judged.level == "fine" and wettest_pct_vol < practice.caution_below_pct_vol:
        at_worst = preservation(wettest_pct_vol, *below, glycerin_pct_vol).reason
        return Preservation(
            "caution",
            f"the herb's water was not stated, and if it was wet {at_worst}",
        )
    return judged


def _additions(
    made: amounts.Made, parts: list[Part], left_ml: float | None, target: float
) -> tuple[Addition, ...]:
    if left_ml is not None:
        whole_ml = mixture(parts).volume_ml
        if left_ml < DROP_ML or not whole_ml:
            return ()
        parts = scaled(parts, left_ml / whole_ml)
    spirits = (pour.ethanol_pct_vol for pour in made.pours if pour.liquid == "ethanol")
    poured = max((pct_vol for pct_vol in spirits if pct_vol is not None), default=0.0)
    strengths = dict.fromkeys((poured, STRONG_PCT_VOL)) if poured > target else (STRONG_PCT_VOL,)
    found = ((pct, ml_to_strength(parts, Part("ethanol", 1.0, pct), target)) for pct in strengths)
    return tuple(Addition(pct, ml) for pct, ml in found if ml)
