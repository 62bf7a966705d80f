"""What is known of a jar, extract or bottle, as fields: the same facts every screen shows."""

from datetime import date

from tracker.core.reckoning import amounts
from tracker.core.reckoning.strength import (
    allowance_pct_vol,
    dry_ratio,
    mixture_in,
    strength_pct_vol,
)
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import When

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
    if extract is None:
        if jar.discarded is not None:
            return "discarded"
        if jar.ended is not None:
            return jar.ended if jar.ended in ("split", "joined") else "pressed"
        return "ready" if amounts.is_ready(jar, today) else "macerating"
    if thing.bottle is not None and thing.bottle.discarded:
        return "discarded"
    left_ml = thing.bottle.volume_ml if thing.bottle else extract.left_ml
    if left_ml < DROP_ML:
        return "empty"
    last = thing.good_through
    return "expired" if last is not None and today > last else "in stock"


def about(thing: Thing, today: date) -> Answer:
    """Everything reckoned about one thing; what cannot be known is None."""
    from tracker.core.reckoning.cautions import lines

    made = thing.made
    mixed = mixture_in(made)
    return summary(thing, today) | {
        "dry_herb_g": rounded(amounts.dry_herb_g(made)),
        "ratio_dry": rounded(dry_ratio(made), 2),
        "glycerin_pct_vol": rounded(mixed.glycerin_pct_vol, 2) if mixed else None,
        "strength_allowance_pct_vol": rounded(allowance_pct_vol(made), 2),
        "cautions": lines(thing.jar),
    }


def summary(thing: Thing, today: date) -> Answer:
    """What a row of the shelf or the stock knows of a thing: all but what to be careful of."""
    jar = thing.jar
    extract = thing.extract or jar.pressing
    return {
        "code": thing.code,
        "kind": thing.kind,
        "state": state(thing, today),
        **_made_up(thing),
        **_dates(jar, today),
        "place": jar.place if thing.extract is None else thing.extract.place,
        **_given(thing, extract, today),
        "volume_ml": rounded(_volume_ml(thing)),
        "on_hold": jar.on_hold or (extract is not None and extract.on_hold),
        "flags": [flag.why for flag in jar.flags],
    }


def _made_up(thing: Thing) -> Answer:
    """What a thing is made of, and what that comes to."""
    jar, made = thing.jar, thing.made
    water = amounts.herb_water(made)
    return {
        "herb": jar.herb,
        "common": jar.common,
        "part": jar.part,
        "form": jar.form,
        "preparation": jar.preparation,
        "herb_g": rounded(amounts.herb_g(made)),
        "herb_known": jar.herb_known,
        "herb_water_ml": rounded(water.ml) if water else None,
        "herb_water_basis": water.basis if water else None,
        "poured_ml": rounded(amounts.poured_ml(made)),
        "ratio": rounded(None if jar.again else amounts.ratio(made)),
        "ratio_basis": "poured",
        "ratio_meant": jar.ratio_meant,
        "strength_pct_vol": rounded(strength_pct_vol(made), 2),
        "strength_simple_pct_vol": rounded(amounts.simple_strength_pct_vol(made), 2),
    }


def _dates(jar: Jar, today: date) -> Answer:
    """Since when, and until when."""
    return {
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
    jar = thing.jar
    possible = amounts.possible_ml(jar, extract.how if extract else None)
    dated = extract is not None and extract.pressed.precision != "unknown"
    last = thing.good_through or (extract.good_through if extract else None)
    return {
        "pressed": day(extract.pressed) if extract else None,
        "pressed_ml": rounded(extract.pressed_ml) if extract else None,
        "possible_ml": {
            "from": rounded(possible.low_ml, 1),
            "to": rounded(possible.high_ml, 1),
        },
        "hard_bound_ml": rounded(amounts.hard_bound_ml(jar), 1),
        "held_ml_per_g": rounded(amounts.held_ml_per_g(jar)),
        "filter_loss_ml": rounded(extract.filter_loss_ml) if extract else None,
        "unaccounted_ml": rounded(extract.unaccounted_ml) if extract else None,
        "bottled_ml": rounded(extract.bottled_ml) if extract else None,
        "good_through": iso(last) if dated else None,
        "days_left": (last - today).days if dated and last else None,
    }


def days_text(jar: Jar, today: date) -> str:
    """`33`, `10 to 39` or a dash."""
    days = amounts.days_on_herb(jar, today)
    if days is None:
        return "–"
    least, most = days
    return str(most) if least == most else f"{least} to {most}"


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
    if not thing.jar.is_macerating:
        return sum(extract.left_ml for extract in thing.jar.extracts)
    return amounts.poured_ml(thing.jar)


def ending(jar: Jar) -> str:
    """What became of a jar whose herb is out, and when."""
    if jar.discarded is not None:
        return f"discarded {jar.discarded}"
    how = jar.ended if jar.ended in ("split", "joined", "blended") else "pressed"
    return f"{how} {jar.ended_on}"


def ratio_text(jar: Jar, made: amounts.Made | None = None) -> str:
    """`1:5.0`, or a dash where the herb was not weighed, or its marc steeped again."""
    ratio = None if jar.again else amounts.ratio(made or jar)
    return "–" if ratio is None else f"1:{ratio:.1f}" if ratio < 100 else f"1:{ratio:.0f}"


def strength_text(made: amounts.Made) -> str:
    """`45.0`, or a dash; `~45` by a default for the herb's water, or by the simple sum."""
    known = strength_pct_vol(made)
    if known is not None:
        water = amounts.herb_water(made)
        is_guess = water is not None and water.is_default
        return "–" if not known else f"~{known:.0f}" if is_guess else f"{known:.1f}"
    simple = amounts.simple_strength_pct_vol(made)
    return f"~{simple:.0f}" if simple else "–"
