"""What a batch gave, and where every millilitre of it went."""

from collections.abc import Iterable

from tracker.core.reckoning.amounts import simple_strength_pct_vol
from tracker.core.reckoning.strength import strength_pct_vol
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.thing import Batch
from tracker.outputs.answer_fields import iso, rounded
from tracker.outputs.records.batch_parts import BottleLeft, ExtractYield
from tracker.outputs.view.liquid import BottleView, HoldView
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.amount_words import strength_text
from tracker.outputs.words.holds import held_since, hold_mark
from tracker.outputs.words.pressing_methods import method_said


def yields_of(batch: Batch, view: ThingView) -> Iterable[ExtractYield]:
    """Each extract of a jar, or a blend: what it gave, lost, and where it went."""
    for extract, seen in zip(batch.extracts, view.extracts, strict=True):
        refills_ml = _refills_ml(extract)
        added_ml = round(extract.added_ml - refills_ml, 3)
        possible = _possible_ml(extract, added_ml)
        yield ExtractYield(
            code=seen.code,
            how=_opened(extract),
            on=extract.pressed.iso,
            ml=extract.pressed_ml,
            later_ml=round(extract.later_ml, 3),
            known=extract.known,
            possible_ml=rounded(possible),
            pct_of_possible=rounded(extract.pressed_ml / possible * 100, 1) if possible else None,
            marc=extract.marc,
            added_ml=added_ml,
            filter_loss_ml=round(extract.filter_loss_ml, 3),
            lees_ml=round(extract.lees_ml, 3),
            passed_on_ml=round(extract.passed_on_ml - refills_ml, 3),
            dispensed_ml=round(extract.dispensed_ml, 3),
            discarded_ml=round(extract.discarded_ml, 3),
            unaccounted_ml=round(extract.unaccounted_ml, 3),
            bulk_ml=round(extract.volume_ml, 3),
            bottled_ml=round(extract.bottled_ml, 3),
            good_through=iso(seen.good_through),
            hold=_held(seen.hold),
            strength=_strength(extract.made),
            bottles=tuple(
                _bottle(shown, one.made or extract.made)
                for shown, one in zip(seen.bottles, extract.bottles, strict=True)
            ),
        )


def _bottle(seen: BottleView, made: Contents) -> BottleLeft:
    return BottleLeft(
        seen.code,
        seen.size_ml,
        round(seen.volume_ml, 3),
        seen.filled.iso,
        seen.state,
        iso(seen.good_through),
        _held_briefly(seen),
        _strength(made),
    )


def _strength(made: Contents) -> str:
    """`about 44 % vol`, `no alcohol`, or that nobody knows."""
    said = strength_text(made)
    if said != "–":
        return f"{said.replace('~', 'about ')} % vol"
    is_known = strength_pct_vol(made) == 0 or simple_strength_pct_vol(made) == 0
    return "no alcohol" if is_known else "strength not known"


def _held(hold: HoldView | None) -> str | None:
    return None if hold is None else held_since(hold)


def _held_briefly(bottle: BottleView) -> str | None:
    """In full where the bottle itself is on hold; why its extract is stands there once."""
    hold = bottle.hold
    if hold is None:
        return None
    return held_since(hold) if hold.code == bottle.code else hold_mark(hold)


def _refills_ml(extract: Extract) -> float:
    """What went into its bottles again out of itself: nothing came in, and nothing left."""
    flows = (flow for bottle in extract.bottles for flow in bottle.sources)
    return sum(flow.ml or 0.0 for flow in flows if flow.extract == extract.id)


def _possible_ml(extract: Extract, added_ml: float) -> float | None:
    """All the liquid there was before the pressing or blending; None if it cannot be known.

    What was poured in later changed what it is made of.
    """
    if extract.opened == "blended":
        return sum(flow.ml or 0.0 for flow in extract.sources if flow.event == extract.id)
    if extract.opened not in ("pressed", "collected") or added_ml:
        return None
    return extract.before_ml or None


def _opened(extract: Extract) -> str:
    return f"{extract.opened} {method_said(extract.how)}" if extract.how else extract.opened
