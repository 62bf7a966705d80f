"""What is known of a jar, extract or bottle, as fields: the same facts every screen shows."""

from datetime import date

from tracker.core.reckoning import amounts
from tracker.core.reckoning.strength import (
    allowance_pct_vol,
    dry_ratio,
    mixture_in,
    strength_pct_vol,
)
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.end import ended_how
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.times import When
from tracker.outputs.words.amounts import days_text as days_text
from tracker.outputs.words.amounts import ratio_text as ratio_text
from tracker.outputs.words.amounts import strength_text as strength_text
from tracker.outputs.words.flags import flag_text

Answer = dict[str, object]


def rounded(value: float | None, digits: int = 3) -> float | None:
    """A number without the false digits of a float; None stays None."""
    return None if value is None else round(value, digits)


def day(when: When | None) -> object:
    """An ISO day, or a range where the day is not known; None stays None."""
    if when is None:
        return None
    if when.is_exact:
        return when.earliest.isoformat()
    earliest = None if when.precision == "unknown" else when.earliest.isoformat()
    return {"from": earliest, "to": when.latest.isoformat()}


def iso(when: date | None) -> str | None:
    """An ISO day; None stays None."""
    return None if when is None else when.isoformat()


def state(thing: Thing, today: date) -> str:
    """Where a thing stands, in one word or two."""
    jar, extract = thing.jar, thing.extract
    if jar is not None and extract is None:
        if jar.end is not None:
            return ended_how(jar.end)
        return "ready" if amounts.is_ready(jar, today) else "macerating"
    if thing.bottle is not None and thing.bottle.discarded:
        return "discarded"
    if (_left_ml(thing) or 0.0) < DROP_ML:
        return "empty"
    last = thing.good_through
    return "expired" if last is not None and today > last else "in stock"


def _left_ml(thing: Thing) -> float | None:
    """All that is left of an extract, blend or bottle; None of a jar."""
    if thing.bottle is not None:
        return thing.bottle.volume_ml
    return None if thing.extract is None else thing.extract.left_ml


def about(thing: Thing, today: date) -> Answer:
    """Everything reckoned about one thing; what cannot be known is None."""
    from tracker.core.reckoning.cautions import cautions
    from tracker.outputs.words.cautions import caution_lines

    made = thing.made
    mixed = mixture_in(made)
    return summary(thing, today) | {
        "dry_herb_g": rounded(amounts.dry_herb_g(made)),
        "ratio_dry": rounded(dry_ratio(made), 2),
        "glycerin_pct_vol": rounded(mixed.glycerin_pct_vol, 2) if mixed else None,
        "strength_allowance_pct_vol": rounded(allowance_pct_vol(made), 2),
        "cautions": caution_lines(cautions(thing.batch)),
    }


def summary(thing: Thing, today: date) -> Answer:
    """What a row of the shelf or the stock knows of a thing: all but what to be careful of."""
    batch = thing.batch
    extract = _extract(thing)
    return {
        "code": thing.code,
        "kind": thing.kind,
        "state": state(thing, today),
        **_made_up(thing),
        **_dates(thing, today),
        "place": _place(thing),
        **_given(thing, extract, today),
        "volume_ml": rounded(_volume_ml(thing)),
        "on_hold": thing.on_hold or (extract is not None and extract.on_hold),
        "flags": [flag_text(flag) for flag in batch.flags],
    }


def _extract(thing: Thing) -> Extract | None:
    """The extract a thing is or is of; of a pressed jar the one it gave."""
    return thing.extract or (thing.jar.pressing if thing.jar is not None else None)


def _place(thing: Thing) -> str | None:
    if thing.extract is not None:
        return thing.extract.place
    return thing.jar.place if thing.jar is not None else None


def _made_up(thing: Thing) -> Answer:
    """What a thing is made of, and what that comes to."""
    batch, jar, made = thing.batch, thing.jar, thing.made
    water = amounts.herb_water(made)
    return {
        "herb": batch.herb,
        "common": batch.common,
        "part": batch.part,
        "form": batch.form,
        "preparation": batch.preparation,
        "herb_g": rounded(amounts.herb_g(made)),
        "herb_known": made.herbs[0].known if made.herbs else "unknown",
        "herb_water_ml": rounded(water.ml) if water else None,
        "herb_water_basis": water.basis if water else None,
        "poured_ml": rounded(amounts.poured_ml(made)),
        "ratio": rounded(None if jar is not None and jar.again else amounts.ratio(made)),
        "ratio_basis": "poured",
        "ratio_meant": jar.ratio_meant if jar is not None else None,
        "strength_pct_vol": rounded(strength_pct_vol(made), 2),
        "strength_simple_pct_vol": rounded(amounts.simple_strength_pct_vol(made), 2),
    }


def _dates(thing: Thing, today: date) -> Answer:
    """Since when, and until when; a blend was never charged."""
    jar = thing.jar
    if jar is None:
        names = ("charged", "days_on_herb", "earliest_press", "longest", "shakes", "last_shaken")
        return {"blended": day(thing.batch.begun), **dict.fromkeys(names), "ready": False}
    return {
        "blended": None,
        "charged": day(jar.charged),
        "days_on_herb": _days_on_herb(jar, today),
        "earliest_press": iso(amounts.earliest_press(jar)),
        "longest": iso(amounts.longest_day(jar)),
        "ready": amounts.is_ready(jar, today),
        "shakes": jar.shakes,
        "last_shaken": day(jar.last_shaken),
    }


def _given(thing: Thing, extract: Extract | None, today: date) -> Answer:
    """What pressing may give, or gave, and how long that keeps."""
    dated = extract is not None and extract.pressed.precision != "unknown"
    last = thing.good_through or (extract.good_through if extract else None)
    return {
        "pressed": day(extract.pressed) if extract else None,
        "pressed_ml": rounded(extract.pressed_ml) if extract else None,
        **_possible(thing.jar, extract),
        "filter_loss_ml": rounded(extract.filter_loss_ml) if extract else None,
        "unaccounted_ml": rounded(extract.unaccounted_ml) if extract else None,
        "bottled_ml": rounded(extract.bottled_ml) if extract else None,
        "good_through": iso(last) if dated else None,
        "days_left": (last - today).days if dated and last else None,
    }


def _possible(jar: Jar | None, extract: Extract | None) -> Answer:
    """What pressing may give, and what the marc held; nothing is pressed from a blend."""
    if jar is None:
        return {"possible_ml": None, "hard_bound_ml": None, "held_ml_per_g": None}
    possible = amounts.possible_ml(jar, extract.how if extract else None)
    return {
        "possible_ml": {
            "from": rounded(possible.low_ml, 1),
            "to": rounded(possible.high_ml, 1),
        },
        "hard_bound_ml": rounded(amounts.hard_bound_ml(jar), 1),
        "held_ml_per_g": rounded(amounts.held_ml_per_g(jar)),
    }


def _days_on_herb(jar: Jar, today: date) -> object:
    days = amounts.days_on_herb(jar, today)
    if days is None:
        return None
    least, most = days
    return most if least == most else {"from": least, "to": most}


def _volume_ml(thing: Thing) -> float:
    if thing.bottle is not None:
        return thing.bottle.volume_ml
    if thing.extract is not None:
        return thing.extract.volume_ml
    if thing.jar is None or not thing.jar.is_macerating:
        return sum(extract.left_ml for extract in thing.batch.extracts)
    return amounts.poured_ml(thing.jar)


def ending(batch: Batch) -> str:
    """What became of a jar whose herb is out, and when; nothing of one whose herb is in."""
    if isinstance(batch, Blend):
        return f"blended {batch.blended}"
    return "" if batch.end is None else f"{ended_how(batch.end)} {batch.end.on}"
