"""What a batch gave, and where every millilitre of it went."""

from collections.abc import Iterable
from datetime import date

from tracker.core.shelf import Jar, Liquor, Thing
from tracker.outputs.answers import iso, rounded, state
from tracker.outputs.records.shapes import BottleLeft, Yield


def yields_of(jar: Jar, today: date) -> Iterable[Yield]:
    """Each liquor of a jar: what it gave, lost, and where it went."""
    for liquor in jar.liquors:
        code = jar.liquor_code(liquor)
        possible = _possible_ml(liquor)
        dated = liquor.pressed.precision != "unknown"
        yield Yield(
            code=code,
            how=" ".join(filter(None, (liquor.opened, liquor.how))),
            on=str(liquor.pressed),
            ml=liquor.pressed_ml,
            known=liquor.known,
            possible_ml=rounded(possible),
            pct_of_possible=rounded(liquor.pressed_ml / possible * 100, 1)
            if possible
            else None,
            marc=liquor.marc,
            added_ml=round(liquor.added_ml, 3),
            filter_loss_ml=round(liquor.filter_loss_ml, 3),
            lees_ml=round(liquor.lees_ml, 3),
            passed_on_ml=round(liquor.passed_on_ml, 3),
            dispensed_ml=round(liquor.dispensed_ml, 3),
            discarded_ml=round(liquor.discarded_ml, 3),
            unaccounted_ml=round(liquor.unaccounted_ml, 3),
            bulk_ml=round(liquor.volume_ml, 3),
            bottled_ml=round(liquor.bottled_ml, 3),
            good_through=iso(liquor.good_through) if dated else None,
            bottles=tuple(
                BottleLeft(
                    f"{code}/{one.number}",
                    one.size_ml,
                    round(one.volume_ml, 3),
                    str(one.filled),
                    state(Thing(code, jar, liquor, one), today),
                )
                for one in liquor.bottles
            ),
        )


def _possible_ml(liquor: Liquor) -> float | None:
    """All the liquid there was before the pressing or blending; None where nobody can know.

    What was poured in later changed what it is made of.
    """
    if liquor.opened == "blended":
        return sum(flow.ml or 0.0 for flow in liquor.sources if flow.event == liquor.id)
    if liquor.opened != "pressed" or liquor.added_ml:
        return None
    return liquor.made.volume_ml or None
