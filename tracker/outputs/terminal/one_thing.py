"""Everything reckoned about one thing, in full: `show`."""

from collections.abc import Sequence
from datetime import date

from tracker.core.practice.practice import Practice
from tracker.core.practice.shake_plan import plan_text
from tracker.core.reckoning import amounts, likely_yield
from tracker.core.reckoning.cautions import CLOSING, cautions
from tracker.core.reckoning.fortification import keeping_of
from tracker.core.reckoning.strength import allowance_pct_vol, dry_ratio, mixture_in
from tracker.core.shelf.contents import Contents, Poured
from tracker.core.shelf.end import PressedEnd
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.hold import Hold
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.text import shown
from tracker.outputs.terminal.shelf_lists import bottles
from tracker.outputs.terminal.table import styled
from tracker.outputs.view.answers import days_text, ending, state
from tracker.outputs.words import outlook
from tracker.outputs.words.amounts import ml
from tracker.outputs.words.cautions import caution_text
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.plant_names import herb_name
from tracker.outputs.words.pressing_methods import method_said

Row = tuple[str, str]


def show(
    thing: Thing,
    today: date,
    *,
    colour: bool,
    practice: Practice | None = None,
    alike: Sequence[Jar] = (),
    costs: Sequence[Row] = (),
) -> list[str]:
    """Everything reckoned about one thing, with how; `alike` are earlier jars of its herb.

    `costs` are the rows about what it cost.
    """
    title = styled(f"{thing.code}  {shown(herb_name(thing.batch))}", "bold", colour=colour)
    rows = account(thing, today, practice=practice, alike=alike, costs=costs)
    return [title, *(f"  {name:<18}{shown(value)}" for name, value in rows)]


def account(
    thing: Thing,
    today: date,
    *,
    practice: Practice | None = None,
    alike: Sequence[Jar] = (),
    costs: Sequence[Row] = (),
) -> list[Row]:
    """The same as names and values; a row without a name goes on with the one above it."""
    batch, jar = thing.batch, thing.jar
    careful = cautions(batch)
    rows: list[Row] = [("state", state(thing, today))]
    rows += _held(thing.hold)
    rows += [("caution", caution_text(one)) for one in careful if one.kind != "care"]
    rows += [("", CLOSING)] if any(one.kind == "plant" for one in careful) else []
    rows += made_up(thing)
    extract_now = thing.extract or (jar.pressing if jar is not None else None)
    keeping = keeping_of(batch, practice or Practice(), extract_now)
    if keeping is not None:
        rows.append(("keeping", outlook.keeping(keeping)))
    rows += [("blended", str(batch.begun))] if jar is None else _dates(jar, today, alike)
    for extract in [thing.extract] if thing.extract else batch.extracts:
        rows += _extract(batch, extract, today, is_of_jar=thing.extract is None)
    if thing.bottle is not None:
        left = f"{ml(thing.bottle.volume_ml)} left of {ml(thing.bottle.size_ml)}"
        rows.append(("bottle", f"{left}, filled {thing.bottle.filled}"))
    rows += costs
    rows += [("does not fit", flag_text(flag)) for flag in batch.flags]
    rows += [("care", caution_text(one)) for one in careful if one.kind == "care"]
    return rows


def _held(hold: Hold | None) -> list[Row]:
    if hold is None:
        return []
    return [("on hold", f"since {hold.on}" + (f": {hold.why}" if hold.why else ""))]


def made_up(thing: Thing) -> list[Row]:
    """What a thing is made of, and how strong that is."""
    jar, made = thing.jar, thing.made
    rows = _herbs(jar, made)
    water = amounts.herb_water(made)
    if water is not None and water.ml:
        off = f", give or take {water.off_pct:g} points" if water.off_pct else ""
        how = f"{water.pct_mass:g} % of the herb, {water.basis}{off}"
        rows.append(("herb water", f"{ml(water.ml)} = {how}"))
    rows += [(f"poured {pour.on}", _pour(pour)) for pour in made.pours]
    ratio = None if jar is not None and jar.again else amounts.ratio(made)
    if ratio is not None:
        meant = _meant(jar)
        how = f"{amounts.poured_ml(made):.1f} ml / {amounts.herb_g(made):.1f} g"
        rows.append(("ratio", f"1:{ratio:.2f} by menstruum poured{meant} = {how}"))
    rows.append(("strength", _strength(made)))
    rows += _stands_for(made)
    if jar is None:
        return rows
    if jar.lots:
        rows.append(("lots", ", ".join(jar.lots)))
    where = _stands(jar)
    return [*rows, ("stands", where)] if where else rows


def _meant(jar: Jar | None) -> str:
    if jar is None or not jar.ratio_meant:
        return ""
    return f" (meant {jar.ratio_meant}, {jar.ratio_basis})"


def _stands(jar: Jar) -> str:
    """Where a jar stands, and in what."""
    texts = (
        jar.place,
        f"{jar.jar_ml:g} ml jar" if jar.jar_ml else None,
        f"{jar.lid} lid" if jar.lid else None,
        f"{jar.barrier} under the lid" if jar.barrier else None,
    )
    return ", ".join(text for text in texts if text)


def _herbs(jar: Jar | None, made: Contents) -> list[Row]:
    """Each herb the liquid stands for, and what lies in the jar where that is not the same."""
    rows = []
    for one in made.herbs:
        grams = "not known" if one.g is None else f"{one.g:.1f} g, {one.known}"
        rows.append(("herb", grams if len(made.herbs) == 1 else f"{grams}, {one.herb}"))
    if jar is None:
        return rows
    if jar.again:
        rows.append(("steeped again", "new menstruum on the old marc: no ratio is said"))
    elif jar.is_macerating and abs((jar.marc_g or 0.0) - (jar.herb_g or 0.0)) >= 0.05:
        rows.append(("herb in the jar", f"{jar.marc_g or 0.0:.1f} g"))
    return rows


def _stands_for(made: Contents) -> list[Row]:
    """The glycerin in the liquid, and a wet herb as the dry herb it would be."""
    mixed, dry_g, ratio = mixture_in(made), amounts.dry_herb_g(made), dry_ratio(made)
    share = mixed.glycerin_pct_vol if mixed is not None else None
    rows = [("glycerin", f"{share:.1f} % vol")] if share else []
    if ratio is not None and dry_g is not None and any(one.form == "fresh" for one in made.herbs):
        rows.append(("as dry herb", f"{dry_g:.1f} g, 1:{ratio:.1f} by volume of the extract"))
    return rows


def _pour(pour: Poured) -> str:
    strong = f" {pour.ethanol_pct_vol:g} % vol" if pour.liquid == "ethanol" else ""
    what = pour.name or ("spirit" if strong else pour.liquid)
    return f"{ml(pour.volume_ml)}{strong} {what}"


def _strength(made: Contents) -> str:
    known = amounts.simple_strength_pct_vol(made)
    simple = "–" if known is None else f"{known:.1f}"
    mixed = mixture_in(made)
    if mixed is None and known is None:
        return "not known"
    if mixed is None:
        return f"about {simple} % vol before the water of the fresh herb, which is not known"
    is_plain = mixed.reckoned or all(pour.liquid != "other" for pour in made.pours)
    if not mixed.ethanol_ml and is_plain:
        return "no alcohol"
    if not mixed.reckoned or mixed.ethanol_pct_vol is None:
        return f"not reckoned: {mixed.why}"
    off = allowance_pct_vol(made)
    allowance = "" if not off else f" ± {off:.1f}" if off < 0.95 else f" ± {off:.0f}"
    return f"{mixed.ethanol_pct_vol:.1f}{allowance} % vol at 20 °C (volumes simply added: {simple})"


def _dates(jar: Jar, today: date, alike: Sequence[Jar]) -> list[Row]:
    rows = [("charged", f"{jar.charged}; {days_text(jar, today)} days on the herb")]
    if jar.since is not None:
        how = "steeped again" if jar.again else jar.opened if jar.steeps == 1 else "recharged"
        rows = [("charged", str(jar.charged))]
        rows.append((how, f"{jar.since}; {days_text(jar, today)} days on the herb"))
    ready, least = amounts.earliest_press(jar), f"{_from_when(jar)} + {jar.least}"
    rows.append(("earliest press", f"{ready} = {least}"))
    if (longest := amounts.longest_day(jar)) is not None:
        rows.append(("longest", f"{longest} = {_steep(jar)} + {jar.longest}"))
    last = f", last {jar.last_shaken}" if jar.last_shaken else ""
    times = "once" if jar.shakes == 1 else f"{jar.shakes} times"
    rows.append(("shaken", f"{times}{last}; plan: {plan_text(jar.shake)}"))
    return rows + _seen(jar, alike)


def _from_when(jar: Jar) -> str:
    return "herb added" if jar.herb_added is not None else _steep(jar)


def _steep(jar: Jar) -> str:
    return "charged" if jar.since is None else str(jar.since)


def _seen(jar: Jar, alike: Sequence[Jar]) -> list[Row]:
    """Holds and looks, and what may come or came of it."""
    rows = []
    if jar.look is not None:
        signs = f": {', '.join(jar.look.signs)}" if jar.look.signs else ""
        rows.append(("looked at", f"{jar.look.on}, {jar.look.verdict}{signs}"))
    if jar.is_macerating:
        rows.append(("may give", _possible(jar, alike)))
    elif not isinstance(jar.end, PressedEnd):
        rows.append(("ended", ending(jar)))
    return rows


def _possible(jar: Jar, alike: Sequence[Jar]) -> str:
    likely, bound = likely_yield.likely_by_method(jar, alike), amounts.hard_bound_ml(jar)
    most = "" if bound is None else f"; never more than {bound:.0f} ml"
    return f"{outlook.likely(likely) or 'not known'}{most}"


def _extract(batch: Batch, extract: Extract, today: date, *, is_of_jar: bool) -> list[Row]:
    held = None
    if isinstance(batch, Jar) and extract is batch.pressing:
        held = amounts.held_ml_per_g(batch)
    kept = "" if held is None else f"; marc held {held:.2f} ml per g"
    how = f" {method_said(extract.how)}" if extract.how else ""
    left = amounts.days_left(extract, today)
    rows = [
        ("extract", batch.extract_code(extract)),
        (extract.opened, f"{extract.pressed}, {ml(extract.pressed_ml)}{how}{kept}"),
    ]
    if extract.filtered_ml is not None:
        share = extract.filter_loss_ml / extract.pressed_ml * 100
        loss = f"{ml(extract.filter_loss_ml)} lost, {share:.1f} %"
        rows.append(("filtered", f"{ml(extract.filtered_ml)}; {loss}"))
    rows += _held(extract.hold) if is_of_jar else []
    rows.append(("left in bulk", ml(extract.volume_ml)))
    if extract.bottles:
        rows.append(("bottles", f"{bottles(extract)} ml, {ml(extract.bottled_ml)} in all"))
    gone = [
        f"{name} {ml(volume)}"
        for name, volume in (
            ("lees", extract.lees_ml),
            ("into others", extract.passed_on_ml),
            ("dispensed", extract.dispensed_ml),
            ("discarded", extract.discarded_ml),
            ("unaccounted", extract.unaccounted_ml),
        )
        if abs(volume) >= 0.05
    ]
    if gone:
        rows.append(("gone", ", ".join(gone)))
    when = f"{left} days left" if left >= 0 else f"past by {-left} days"
    how = "the earliest of its parts" if extract.best_by else f"{extract.opened} + {extract.keeps}"
    rows.append(("good through", f"{extract.good_through} = {how}; {when}"))
    return rows
