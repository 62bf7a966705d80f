"""What a batch gave, and where every millilitre of it went."""

from collections.abc import Iterable
from datetime import date

from tracker.core.shelf.extract import Extract
from tracker.core.shelf.thing import Batch, bottle_of
from tracker.outputs.answer_fields import iso, rounded
from tracker.outputs.records.batch_parts import BottleLeft, ExtractYield
from tracker.outputs.view.answers import state
from tracker.outputs.words.pressing_methods import method_said


def yields_of(batch: Batch, today: date) -> Iterable[ExtractYield]:
    """Each extract of a jar, or a blend: what it gave, lost, and where it went."""
    for extract in batch.extracts:
        code = batch.extract_code(extract)
        possible = _possible_ml(extract)
        dated = extract.pressed.precision != "unknown"
        yield ExtractYield(
            code=code,
            how=_opened(extract),
            on=str(extract.pressed),
            ml=extract.pressed_ml,
            known=extract.known,
            possible_ml=rounded(possible),
            pct_of_possible=rounded(extract.pressed_ml / possible * 100, 1) if possible else None,
            marc=extract.marc,
            added_ml=round(extract.added_ml, 3),
            filter_loss_ml=round(extract.filter_loss_ml, 3),
            lees_ml=round(extract.lees_ml, 3),
            passed_on_ml=round(extract.passed_on_ml, 3),
            dispensed_ml=round(extract.dispensed_ml, 3),
            discarded_ml=round(extract.discarded_ml, 3),
            unaccounted_ml=round(extract.unaccounted_ml, 3),
            bulk_ml=round(extract.volume_ml, 3),
            bottled_ml=round(extract.bottled_ml, 3),
            good_through=iso(extract.good_through) if dated else None,
            bottles=tuple(
                BottleLeft(
                    f"{code}/{one.number}",
                    one.size_ml,
                    round(one.volume_ml, 3),
                    str(one.filled),
                    state(bottle_of(batch, extract, one), today),
                )
                for one in extract.bottles
            ),
        )


def _possible_ml(extract: Extract) -> float | None:
    """All the liquid there was before the pressing or blending; None if it cannot be known.

    What was poured in later changed what it is made of.
    """
    if extract.opened == "blended":
        return sum(flow.ml or 0.0 for flow in extract.sources if flow.event == extract.id)
    if extract.opened != "pressed" or extract.added_ml:
        return None
    return extract.made.volume_ml or None


def _opened(extract: Extract) -> str:
    return f"{extract.opened} {method_said(extract.how)}" if extract.how else extract.opened
