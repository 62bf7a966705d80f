"""What is known of a jar, liquor or bottle, as fields: the same facts every screen shows."""

from datetime import date

from tracker.core import reckon
from tracker.core.shelf import DROP_ML, Jar, Liquor, Thing
from tracker.core.strength import allowance_pct_vol, dry_ratio, mixture_in, strength_pct_vol
from tracker.core.times import When

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
    jar, liquor = thing.jar, thing.liquor
    if liquor is None:
        if jar.discarded is not None:
            return "discarded"
        if jar.liquors:
            return "pressed"
        return "ready" if reckon.is_ready(jar, today) else "macerating"
    if thing.bottle is not None and thing.bottle.discarded:
        return "discarded"
    left_ml = thing.bottle.volume_ml if thing.bottle else liquor.left_ml
    if left_ml < DROP_ML:
        return "empty"
    return "expired" if today > liquor.good_through else "in stock"


def about(thing: Thing, today: date) -> Answer:
    """Everything reckoned about one thing; what cannot be known is None."""
    from tracker.core.herbs.cautions import lines

    mixed = mixture_in(thing.jar)
    return summary(thing, today) | {
        "dry_herb_g": rounded(reckon.dry_herb_g(thing.jar)),
        "ratio_dry": rounded(dry_ratio(thing.jar), 2),
        "glycerin_pct_vol": rounded(mixed.glycerin_pct_vol, 2) if mixed else None,
        "strength_allowance_pct_vol": rounded(allowance_pct_vol(thing.jar), 2),
        "cautions": lines(thing.jar),
    }


def summary(thing: Thing, today: date) -> Answer:
    """What a row of the shelf or the stock knows of a thing: all but what to be careful of."""
    jar = thing.jar
    liquor = thing.liquor or (jar.liquors[0] if jar.liquors else None)
    return {
        "code": thing.code,
        "kind": thing.kind,
        "state": state(thing, today),
        **_made_up(jar),
        **_dates(jar, today),
        "place": jar.place if thing.liquor is None else thing.liquor.place,
        **_given(jar, liquor, today),
        "volume_ml": rounded(_volume_ml(thing)),
        "on_hold": jar.on_hold or _on_hold(liquor),
        "flags": [flag.why for flag in jar.flags],
    }


def _made_up(jar: Jar) -> Answer:
    """What went into a jar, and what that comes to."""
    water = reckon.herb_water(jar)
    return {
        "herb": jar.herb,
        "common": jar.common,
        "part": jar.part,
        "form": jar.form,
        "preparation": jar.preparation,
        "herb_g": rounded(jar.herb_g),
        "herb_known": jar.herb_known,
        "herb_water_ml": rounded(water.ml) if water else None,
        "herb_water_basis": water.basis if water else None,
        "poured_ml": rounded(reckon.poured_ml(jar)),
        "ratio": rounded(reckon.ratio(jar)),
        "ratio_basis": "poured",
        "ratio_meant": jar.ratio_meant,
        "strength_pct_vol": rounded(strength_pct_vol(jar), 2),
        "strength_simple_pct_vol": rounded(reckon.simple_strength_pct_vol(jar), 2),
    }


def _dates(jar: Jar, today: date) -> Answer:
    """Since when, and until when."""
    return {
        "charged": day(jar.charged),
        "days_on_herb": _days_on_herb(jar, today),
        "earliest_press": iso(reckon.earliest_press(jar)),
        "longest": iso(reckon.longest_day(jar)),
        "ready": reckon.is_ready(jar, today),
        "shakes": jar.shakes,
        "last_shaken": day(jar.last_shaken),
    }


def _given(jar: Jar, liquor: Liquor | None, today: date) -> Answer:
    """What pressing may give, or gave, and how long that keeps."""
    possible = reckon.possible_ml(jar, liquor.how if liquor else None)
    dated = liquor if liquor and liquor.pressed.precision != "unknown" else None
    return {
        "pressed": day(liquor.pressed) if liquor else None,
        "pressed_ml": rounded(liquor.pressed_ml) if liquor else None,
        "possible_ml": {
            "from": rounded(possible.low_ml, 1),
            "to": rounded(possible.high_ml, 1),
        },
        "hard_bound_ml": rounded(reckon.hard_bound_ml(jar), 1),
        "held_ml_per_g": rounded(reckon.held_ml_per_g(jar)),
        "filter_loss_ml": rounded(liquor.filter_loss_ml) if liquor else None,
        "unaccounted_ml": rounded(liquor.unaccounted_ml) if liquor else None,
        "bottled_ml": rounded(liquor.bottled_ml) if liquor else None,
        "good_through": iso(dated.good_through) if dated else None,
        "days_left": reckon.days_left(dated, today) if dated else None,
    }


def days_text(jar: Jar, today: date) -> str:
    """`33`, `10 to 39` or a dash."""
    days = reckon.days_on_herb(jar, today)
    if days is None:
        return "–"
    least, most = days
    return str(most) if least == most else f"{least} to {most}"


def _days_on_herb(jar: Jar, today: date) -> object:
    days = reckon.days_on_herb(jar, today)
    if days is None:
        return None
    least, most = days
    return most if least == most else {"from": least, "to": most}


def _on_hold(liquor: Liquor | None) -> bool:
    return liquor is not None and liquor.look is not None and liquor.look.verdict == "hold"


def _volume_ml(thing: Thing) -> float:
    if thing.bottle is not None:
        return thing.bottle.volume_ml
    if thing.liquor is not None:
        return thing.liquor.volume_ml
    if thing.jar.liquors:
        return sum(liquor.left_ml for liquor in thing.jar.liquors)
    return 0.0 if thing.jar.discarded else reckon.poured_ml(thing.jar)


def herb_name(jar: Jar) -> str:
    """The herb as a line says it: `Calendula officinalis flower, dried`."""
    part = f" {jar.part}" if jar.part else ""
    return f"{jar.herb}{part}, {jar.form}"


def short_herb_name(jar: Jar) -> str:
    """The same for a narrow column, the genus by its letter: `C. officinalis flower, dried`."""
    name = herb_name(jar)
    genus, blank, rest = name.partition(" ")
    binomial = blank and rest[0].islower() and genus.isalpha() and len(name) > 24
    return f"{genus[0]}. {rest}" if binomial else name


def ratio_text(jar: Jar) -> str:
    """`1:5.0`, or a dash where the herb was not weighed."""
    ratio = reckon.ratio(jar)
    return "–" if ratio is None else f"1:{ratio:.1f}" if ratio < 100 else f"1:{ratio:.0f}"


def strength_text(jar: Jar) -> str:
    """`45.0`, or a dash; `~45` by a default for the herb's water, or by the simple sum."""
    known = strength_pct_vol(jar)
    if known is not None:
        water = reckon.herb_water(jar)
        is_guess = water is not None and water.is_default
        return "–" if not known else f"~{known:.0f}" if is_guess else f"{known:.1f}"
    simple = reckon.simple_strength_pct_vol(jar)
    return f"~{simple:.0f}" if simple else "–"
