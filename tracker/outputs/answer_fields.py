"""The documented fields of `--json` and `--csv`: one mapping from the view of a thing."""

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from tracker.core.values.times import When
from tracker.outputs.view.liquid import BottleView, HoldView
from tracker.outputs.view.made import HerbView
from tracker.outputs.view.thing_view import Days, SteepView, ThingView
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.plant_names import plants_named, the_common, the_form, the_part

if TYPE_CHECKING:
    from tracker.core.reckoning.cautions import Caution
    from tracker.outputs.view.heeds import Heed

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


def thing_fields(view: ThingView) -> Answer:
    """Everything reckoned about one thing; what cannot be known is None."""
    # The tables of plants load slowly.
    from tracker.outputs.view.heeds import heeds_in
    from tracker.outputs.words.caution_words import caution_lines

    row = view.row
    return {
        "code": row.code,
        "kind": row.kind,
        "state": row.state,
        **_made_up(view),
        **_dates(view),
        "place": row.place,
        "belongs_to": row.belongs_to,
        **_given(view),
        "volume_ml": rounded(row.volume_ml),
        "on_hold": row.hold is not None,
        "recalled": row.is_recalled,
        "hold": hold_fields(row.hold),
        "cautions": caution_lines(view.cautions, view.cautions_apart),
        "caution_details": [caution_fields(one) for one in view.cautions],
        "heeds": [heed_fields(one) for one in heeds_in(view)],
        "flags": [flag_text(flag) for flag in view.flags],
    }


def heed_fields(one: "Heed") -> Answer:
    """One thing to heed, of all of a thing or of some; what is not of its kind is None."""
    since = day(one.since) if isinstance(one.since, When) else iso(one.since)
    return {
        "kind": one.kind,
        "codes": list(one.codes),
        "all": one.is_whole,
        "sure": one.is_sure,
        "herb": one.herb,
        "since": since,
        "through": iso(one.through),
        "why": one.why or None,
        "lot": one.lot,
        "signs": list(one.signs),
    }


def caution_fields(one: "Caution") -> Answer:
    """One caution with where it is from; `checked` is whether all of it was read there."""
    return {
        "kind": one.kind,
        "level": one.level,
        "herb": one.herb,
        "text": one.text,
        "do": one.do,
        "use": one.use,
        "groups": list(one.groups),
        "source": one.source,
        "seen": one.seen or None,
        "checked": one.checked,
    }


def hold_fields(hold: HoldView | None) -> Answer | None:
    """What keeps a thing from being given out."""
    if hold is None:
        return None
    return {"kind": hold.kind, "since": day(hold.since), "why": hold.why or None, "on": hold.code}


def herb_fields(herb: HerbView) -> Answer:
    """One herb of a thing."""
    return {
        "herb": herb.herb,
        "common": herb.common,
        "part": herb.part,
        "form": herb.form,
        "herb_g": rounded(herb.g),
        "herb_known": herb.known,
    }


def _made_up(view: ThingView) -> Answer:
    """What a thing is made of, and what that comes to."""
    row, made, herbs = view.row, view.made, view.row.herbs
    water, strength = made.herb_water, row.strength
    return {
        "herb": plants_named(herbs),
        "common": the_common(herbs),
        "part": the_part(herbs),
        "form": the_form(herbs),
        "herbs": [herb_fields(one) for one in herbs],
        "preparation": row.preparation,
        "way": row.way,
        "steep_way": row.steep_way,
        "next_of_double": view.steep.next_of_double if view.steep else None,
        "of_one_herb": view.of_one_herb,
        "herb_g": rounded(made.herb_g),
        "herb_known": made.herb_known,
        "herb_water_ml": rounded(water.ml) if water else None,
        "herb_water_basis": water.basis if water else None,
        "dry_herb_g": rounded(made.dry_herb_g),
        "ratio_dry": rounded(made.dry_ratio, 2),
        "poured_ml": rounded(made.poured_ml),
        "ratio": rounded(None if row.ratio is None else row.ratio.r),
        "ratio_basis": _basis(view),
        "lots": list(view.steep.lots) if view.steep else [],
        "ratio_meant": view.steep.ratio_meant if view.steep else None,
        "ratio_meant_basis": view.steep.ratio_meant_basis if view.steep else None,
        "glycerin_pct_vol": rounded(made.glycerin_pct_vol, 2),
        "strength_pct_vol": rounded(strength.pct_vol if strength else None, 2),
        "strength_allowance_pct_vol": rounded(made.allowance_pct_vol if strength else None, 2),
        "strength_simple_pct_vol": rounded(row.simple_strength_pct_vol, 2),
        "strength_unknown_of": list(made.of_unknown_strength),
    }


def _basis(view: ThingView) -> str | None:
    """What its ratio is counted by, or would be; None where its parts have none in common."""
    if view.row.ratio is not None:
        return view.row.ratio.basis
    return None if view.made.basis == "mixed" else view.made.basis or "poured"


def _dates(view: ThingView) -> Answer:
    """Since when, and until when; a blend was never charged."""
    row, steep = view.row, view.steep
    return {
        "blended": day(row.begun) if steep is None else None,
        "charged": day(row.charged),
        "charge_guessed": row.charge_guessed,
        "days_on_herb": days_field(row.days_on_herb),
        "earliest_press": iso(row.press_from),
        "longest": iso(row.longest),
        "ready": None if row.is_macerating and row.press_from is None else row.is_ready,
        "look_again": iso(row.look_again),
        "shakes": steep.shakes if steep else None,
        "last_shaken": day(steep.last_shaken) if steep else None,
    }


def days_field(days: Days | None) -> object:
    """A number of days, or a range."""
    if days is None:
        return None
    return days.most if days.least == days.most else {"from": days.least, "to": days.most}


def _given(view: ThingView) -> Answer:
    """What pressing may give, or gave, and how long that keeps."""
    row, extract = view.row, view.extract
    return {
        "pressed": day(row.pressed),
        "pressed_ml": rounded(extract.pressed_ml) if extract else None,
        "pressed_again_ml": rounded(extract.later_ml) if extract else None,
        **_possible(view.steep),
        "filter_loss_ml": rounded(extract.filter_loss_ml) if extract else None,
        "unaccounted_ml": rounded(extract.gone.unaccounted_ml) if extract else None,
        "bottled_ml": rounded(extract.bottled_ml) if extract else None,
        "good_through": iso(row.good_through),
        "days_left": row.days_left,
        "keeping": None if view.keeping is None else view.keeping.level,
        "weak": row.weak is not None,
        "weak_since": iso(view.weak_since),
        "weak_through": iso(row.weak.through) if row.weak else None,
        "used_late_why": view.past_date_why,
    }


def _possible(steep: SteepView | None) -> Answer:
    """What pressing may give, and what the marc held; nothing is pressed from a blend.

    By any method, by the maker's own pressings where they have moved it.
    """
    if steep is None:
        names = ("possible_ml", "hard_bound_ml", "held_ml_per_g")
        return dict.fromkeys((*names, "filled_ml", "displacement_ml_per_g"))
    low_ml, high_ml, fill = steep.possible.low_ml, steep.possible.high_ml, steep.fill
    own = sum(one.own for one in steep.likely)
    if own:
        low_ml = min(one.low_ml for one in steep.likely)
        high_ml = max(one.high_ml for one in steep.likely)
    return {
        "possible_ml": {"from": rounded(low_ml, 1), "to": rounded(high_ml, 1)},
        **_rests_on(own),
        "hard_bound_ml": rounded(steep.most_ml, 1),
        "held_ml_per_g": rounded(steep.held_ml_per_g),
        "filled_ml": rounded(fill.filled_ml) if fill else None,
        "displacement_ml_per_g": rounded(fill.displacement_ml_per_g) if fill else None,
    }


def _rests_on(own: int) -> Answer:
    """How many pressings of one's own a band rests on, and how often the next falls in it."""
    if not own:
        return {}
    from tracker.core.reckoning.likely_yield import CLAIM

    return {"possible_from_pressings": own, "possible_claim_pct": CLAIM * 100}


def bottle_fields(bottle: BottleView) -> Answer:
    """One bottle of the stock."""
    return {
        "code": bottle.code,
        "size_ml": bottle.size_ml,
        "volume_ml": bottle.volume_ml,
        "state": bottle.state,
        "good_through": iso(bottle.good_through),
        "on_hold": bottle.hold is not None,
        "hold": hold_fields(bottle.hold),
    }


def in_columns(answers: Iterable[Answer]) -> list[Answer]:
    """Answers for CSV: without what is itself a list of things, several texts in one cell."""
    return [
        {name: _cell(value) for name, value in _in_words(one).items() if name not in _OF_THINGS}
        for one in answers
    ]


_OF_THINGS = ("herbs", "bottles", "caution_details")


def _in_words(answer: Answer) -> Answer:
    """What to heed by its kinds, as `on hold, some` where not all of it is meant."""
    heeds = answer.get("heeds")
    if not isinstance(heeds, list):
        return answer
    kinds = [one["kind"] if one["all"] else f"{one['kind']}, some" for one in heeds]
    return answer | {"heeds": list(dict.fromkeys(kinds))}


def _cell(value: object) -> object:
    return "; ".join(map(str, value)) if isinstance(value, list) else value
