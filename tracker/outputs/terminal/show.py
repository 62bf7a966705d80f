"""Everything reckoned about one thing, in full: `show`."""

from collections.abc import Sequence
from datetime import date

from tracker.core.practice.practice import PlantNames
from tracker.core.practice.shake_plan import plan_text
from tracker.core.shelf.end import PressedEnd
from tracker.core.shelf.fill import Fill
from tracker.core.shelf.hold import Look
from tracker.core.values.day_words import UNDATED, Present
from tracker.core.values.few_digits import trimmed
from tracker.core.values.text import shown
from tracker.outputs.terminal.careful_rows import care_rows, caution_rows
from tracker.outputs.terminal.stock_table import bottles_text
from tracker.outputs.terminal.table import styled
from tracker.outputs.view.liquid import BottleView, ExtractView, HoldView, WeakView
from tracker.outputs.view.made import HerbView, Makeup
from tracker.outputs.view.thing_view import RowView, SteepView, ThingView
from tracker.outputs.words import outlook
from tracker.outputs.words.amount_words import basis_said, grams, meant_text, ml
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.holds import hold_name, hold_said
from tracker.outputs.words.ingredients import poured
from tracker.outputs.words.latin_names import is_latin, latin_runs
from tracker.outputs.words.lid_words import barrier_said, lid_said
from tracker.outputs.words.plant_names import called, herbs_named
from tracker.outputs.words.pressing_methods import method_said
from tracker.outputs.words.standing import days_said, end_text
from tracker.outputs.words.ways_of_making import OF_ONE_HERB, next_of_double_said, way_said

NamedRow = tuple[str, str]


def show(
    view: ThingView,
    *,
    colour: bool,
    names: PlantNames = "common",
    costs: Sequence[NamedRow] = (),
    sources: bool = False,
    present: Present = UNDATED,
) -> list[str]:
    """Everything reckoned about one thing, with how; what its maker calls it comes first.

    Args:
        view: the thing.
        names: what its maker goes by.
        colour: whether the screen takes colour.
        costs: the rows about its cost.
        sources: whether every caution names its source, and how much of that was read.
        present: what days are said from.
    """
    title = called(view.row.herbs, names)
    lines = [styled(shown(f"{title}  {view.row.code}"), "bold", colour=colour)]
    if latin := [one for one in _latin(view.row.herbs) if one[0] not in title]:
        lines.append(_row("latin", _in_italics(latin, colour=colour)))
    rows = account(view, costs=costs, sources=sources, present=present)
    return lines + [_row(name, shown(value)) for name, value in rows]


def _row(name: str, value: str) -> str:
    return f"  {name:<17} {value}"


def _latin(herbs: Sequence[HerbView]) -> list[tuple[str, str]]:
    """Each plant's Latin name, and its author behind it, where the table has one."""
    from tracker.core.herbs.names import known  # what is shown of a row needs no names

    latin = dict.fromkeys(one.herb for one in herbs if is_latin(one.herb))
    found = [(name, known(name)) for name in latin]
    return [
        (name, one.plant.author if one and one.plant and one.plant.latin == name else "")
        for name, one in found
    ]


def _in_italics(latin: Sequence[tuple[str, str]], *, colour: bool) -> str:
    each = [
        "".join(
            styled(run, "latin" if italic else "", colour=colour)
            for run, italic in latin_runs(shown(f"{name} {author}".strip()))
        )
        for name, author in latin
    ]
    return " + ".join(each)


def account(
    view: ThingView,
    *,
    costs: Sequence[NamedRow] = (),
    sources: bool = False,
    present: Present = UNDATED,
) -> list[NamedRow]:
    """The same as names and values; a row without a name goes on with the one above it."""
    row = view.row
    rows: list[NamedRow] = [("state", row.state), *_held(row.hold, row.code, present)]
    rows += caution_rows(view, sources=sources)
    rows += made_up(view, present)
    rows += [("keeping", outlook.keeping(view.keeping))] if view.keeping else []
    rows += [("used past date", view.past_date_why)] if view.past_date_why else []
    blended = [("blended", present.said(row.begun))]
    rows += blended if view.steep is None else _dates(row, view.steep, present)
    for extract in view.extracts:
        rows += _extract(view, extract, present)
    if view.steep is not None and view.steep.next_of_double is not None:
        rows.append(("next", next_of_double_said(view.steep.next_of_double)))
    if (bottle := view.bottle) is not None:
        left = f"{ml(bottle.volume_ml)} left of {ml(bottle.size_ml)}"
        rows.append(("bottle", f"{left}, filled {present.said(bottle.filled)}"))
        rows += [("bottle till", present.said(bottle.good_through))] if _has_own_day(view) else []
    rows += costs
    rows += [("does not fit", flag_text(flag, present)) for flag in view.flags]
    return rows + care_rows(view, sources=sources)


def _weak(weak: WeakView, present: Present) -> str:
    """`since 1 Mar: keep it cold; last good day 4 Mar`; a jar has no other such day."""
    since = f"since {present.said(weak.since)}" if weak.since else "nobody knows since when"
    return f"{since}: keep it cold; last good day {present.said(weak.through)}"


def _has_own_day(view: ThingView) -> bool:
    bottle, extract = view.bottle, view.extract
    return bottle is not None and extract is not None and (
        bottle.good_through != extract.good_through
    )  # fmt: skip


def _held(hold: HoldView | None, code: str, present: Present) -> list[NamedRow]:
    return [] if hold is None else [(hold_name(hold), hold_said(hold, code, present))]


def made_up(view: ThingView, present: Present = UNDATED) -> list[NamedRow]:
    """What a thing is made of, and how strong that is."""
    row, made, steep = view.row, view.made, view.steep
    rows = _herbs(row, made, steep)
    way = OF_ONE_HERB if view.of_one_herb else way_said(row.way, row.steep_way)
    rows += [("way", way)] if way else []
    water = made.herb_water
    if water is not None and water.ml:
        off = f", give or take {water.off_pct:g} points" if water.off_pct else ""
        how = f"{water.pct_mass:g} % of the herb, {water.basis}{off}"
        rows.append(("herb water", f"{ml(water.ml)} = {how}"))
    rows += [(f"poured {present.said(pour.on)}", poured(pour)) for pour in made.pours]
    rows += _ratio(row, made, steep)
    rows.append(("strength", _strength(row, made)))
    rows += [("weak", _weak(row.weak, present))] if row.weak is not None else []
    rows += _stands_for(row, made)
    if row.belongs_to:
        rows.append(("belongs to", row.belongs_to))
    if steep is None:
        return rows
    if steep.lots:
        rows.append(("lots", ", ".join(steep.lots)))
    if steep.fill is not None and row.kind == "jar":
        rows.append(("filled to", _filled(steep.fill)))
    where = _stands(row, steep)
    return [*rows, ("stands", where)] if where else rows


def _filled(fill: Fill) -> str:
    """What the jar stood at, and what room a gram of the herb takes up by that."""
    room = fill.displacement_ml_per_g
    each = "–" if room is None else f"{room:.2f} ml"
    off = "" if fill.is_measured else ", not all of it measured"
    poured = f"{ml(fill.menstruum_ml)} of it menstruum"
    return f"{ml(fill.filled_ml)}, {poured}; a gram of herb takes up {each}{off}"


def _ratio(row: RowView, made: Makeup, steep: SteepView | None) -> list[NamedRow]:
    """The ratio with what it is counted by, or why there is none to say."""
    meant, ratio = _meant(row, steep), row.ratio
    if ratio is None:
        if made.basis == "mixed":
            return [("ratio", "none: some is meant by menstruum poured, some by finished volume")]
        return [("ratio", f"not known{meant}")] if meant and not made.again else []
    said = f"1:{trimmed(ratio.r, 2)} by {basis_said(ratio.basis)}{meant}"
    if ratio.basis == "finished":
        return [("ratio", f"{said} = what came of all the herb charged")]
    return [("ratio", f"{said} = {ml(made.poured_ml)} / {grams(made.herb_g or 0.0)}")]


def _meant(row: RowView, steep: SteepView | None) -> str:
    """What was meant, unless no number was and it is counted by that already."""
    if steep is None:
        return ""
    counted = "poured" if row.ratio is None else row.ratio.basis
    if not steep.ratio_meant and counted == steep.ratio_meant_basis:
        return ""
    return f" (meant {meant_text(steep.ratio_meant, steep.ratio_meant_basis)})"


def _stands(row: RowView, steep: SteepView) -> str:
    """Where a thing stands, and of a jar in what."""
    is_jar = row.kind == "jar"
    texts = (
        row.place,
        f"{steep.jar_ml:g} ml jar" if steep.jar_ml and is_jar else None,
        lid_said(steep.lid) if steep.lid and is_jar else None,
        f"{barrier_said(steep.barrier)} under the lid" if steep.barrier and is_jar else None,
    )
    return ", ".join(text for text in texts if text)


def _herbs(row: RowView, made: Makeup, steep: SteepView | None) -> list[NamedRow]:
    """Each herb the liquid stands for, and what lies in the jar where that is not the same."""
    rows = []
    for one in row.herbs:
        weight = "not known" if one.g is None else f"{grams(one.g)}, {one.known}"
        rows.append(("herb", weight if len(row.herbs) == 1 else f"{weight}, {herbs_named([one])}"))
    if made.again:
        rows.append(("steeped again", "new menstruum on the old marc: no ratio is said"))
    elif (
        steep is not None
        and row.is_macerating
        and abs((steep.marc_g or 0.0) - (steep.herb_g or 0.0)) >= 0.05
    ):
        rows.append(("herb in the jar", grams(steep.marc_g or 0.0)))
    return rows


def _stands_for(row: RowView, made: Makeup) -> list[NamedRow]:
    """The glycerin in the liquid, and a wet herb as the dry herb it would be."""
    share, dry_g, ratio = made.glycerin_pct_vol, made.dry_herb_g, made.dry_ratio
    rows = [("glycerin", f"{share:.1f} % vol")] if share else []
    if ratio is not None and dry_g is not None and any(one.form == "fresh" for one in row.herbs):
        rows.append(("as dry herb", f"{grams(dry_g)}, 1:{ratio:.1f} by volume of the extract"))
    return rows


def _strength(row: RowView, made: Makeup) -> str:
    known, mixed = row.simple_strength_pct_vol, made.mixed
    simple = "–" if known is None else f"{known:.1f}"
    if unknown := made.of_unknown_strength:
        return f"– (how strong the {' and '.join(unknown)} was is not known)"
    if mixed is None and known is None:
        return "not known"
    if mixed is None:
        return f"about {simple} % vol before the water of the fresh herb, which is not known"
    is_plain = mixed.reckoned or all(pour.liquid != "other" for pour in made.pours)
    if not mixed.ethanol_ml and is_plain:
        return "no alcohol"
    if row.strength is None:
        return f"not reckoned: {mixed.why}"
    on_fire = any(one.simmered and one.ethanol_pct_vol for one in made.pours)
    steam = "; some of its spirit may have gone off as steam" if on_fire else ""
    return (
        f"{row.strength.pct_vol:.1f}{_allowance(made.allowance_pct_vol)} % vol at 20 °C "
        f"(volumes simply added: {simple}){steam}"
    )


def _allowance(off: float | None) -> str:
    return "" if not off else f" ± {off:.1f}" if off < 0.95 else f" ± {off:.0f}"


def _dates(row: RowView, steep: SteepView, present: Present) -> list[NamedRow]:
    guess = ", a guess" if row.charge_guessed else ""
    charged = f"{_charged(row, present)}{guess}"
    days = _on_the_herb(row)
    rows = [("charged", f"{charged}{days}")]
    if steep.since is not None:
        how = "steeped again" if steep.again else steep.opened if steep.steeps == 1 else "recharged"
        rows = [("charged", charged), (how, f"{present.said(steep.since)}{days}")]
    began = "charged" if steep.since is None else present.said(steep.since)
    start = "herb added" if steep.herb_added is not None else began
    rows.append(("earliest press", _press_day(row, steep, start, present)))
    if row.longest is not None:
        whose = "that of a part" if steep.longest is None else f"{began} + {steep.longest}"
        rows.append(("longest", f"{present.said(row.longest)} = {whose}"))
    elif steep.longest is not None:
        rows.append(("longest", f"not known: {steep.longest} from a day nobody knows"))
    last = f", last {present.said(steep.last_shaken)}" if steep.last_shaken else ""
    times = "once" if steep.shakes == 1 else f"{steep.shakes} times"
    rows.append(("shaken", f"{times}{last}; plan: {plan_text(steep.plan)}"))
    return rows + _seen(row, steep, present)


def _charged(row: RowView, present: Present) -> str:
    said = present.said(row.charged)
    is_unknown = row.charged is not None and row.charged.precision == "unknown"
    return f"on a day not known, {said}" if is_unknown else said


def _on_the_herb(row: RowView) -> str:
    said = "" if row.days_on_herb is None else days_said(row.days_on_herb)
    return f"; {said} {'day' if said == '1' else 'days'} on the herb" if said else ""


def _press_day(row: RowView, steep: SteepView, start: str, present: Present) -> str:
    """The earliest day to press and how it is reckoned, or why it is not known."""
    if row.press_from is not None:
        return f"{present.said(row.press_from)} = {start} + {steep.least}"
    if steep.least is None:
        return "not known: nobody knows the shortest time"
    return f"not known: {steep.least} from a day nobody knows"


def _look(look: Look | None, again: date | None, present: Present) -> list[NamedRow]:
    """The last look, and the day to look again."""
    if look is None:
        return []
    signs = f": {', '.join(look.signs)}" if look.signs else ""
    lifted = ""
    if look.lifted_on is not None:
        why = f": {look.lifted_why}" if look.lifted_why else ""
        lifted = f"; it lifted the hold since {present.said(look.lifted_on)}{why}"
    rows = [("looked at", f"{present.said(look.on)}, {look.verdict}{signs}{lifted}")]
    return [*rows, ("look again", present.said(again))] if again is not None else rows


def _seen(row: RowView, steep: SteepView, present: Present) -> list[NamedRow]:
    """The last look, and what may come or came of it."""
    rows = _look(steep.look, row.look_again if row.is_macerating else None, present)
    if row.end is None:
        rows.append(("may give", _possible(steep)))
    elif not isinstance(row.end, PressedEnd):
        rows.append(("ended", end_text(row.end, present)))
    return rows


def _possible(steep: SteepView) -> str:
    most = "" if steep.most_ml is None else f"; never more than {steep.most_ml:.0f} ml"
    if not steep.likely:
        return f"not known{most}"
    return f"{outlook.likely(steep.likely)}, in {outlook.CLAIMED}{most}"


def _extract(view: ThingView, extract: ExtractView, present: Present) -> list[NamedRow]:
    rows = [("extract", extract.code), _pressed(view, extract, present)]
    if extract.filtered_ml is not None:
        share = extract.filter_loss_ml / extract.pressed_ml * 100
        loss = f"{ml(extract.filter_loss_ml)} lost, {share:.1f} %"
        rows.append(("filtered", f"{ml(extract.filtered_ml)}; {loss}"))
    rows += _held(extract.hold, extract.code, present) if view.row.kind == "jar" else []
    rows += _look(extract.look, extract.look_again, present)
    rows.append(("left in bulk", ml(extract.volume_ml)))
    if extract.bottles:
        all_ml = f"{ml(extract.bottled_ml)} in all"
        rows.append(("bottles", f"{bottles_text(extract.bottles)}: {all_ml}"))
    rows += [
        (f"bottle {one.number}", f"{hold_name(one.hold)} {hold_said(one.hold, one.code, present)}")
        for one in extract.bottles
        if view.bottle is None and one.hold is not None and one.hold.code == one.code
    ]
    if gone := _gone(extract):
        rows.append(("gone", gone))
    rows.append(("good through", _good_through(extract, present)))
    rows += [
        (
            f"bottle {one.number}",
            f"good through {present.said(one.good_through)}, {_why_apart(one)}",
        )
        for one in extract.bottles
        if view.bottle is None and one.good_through != extract.good_through and one.volume_ml
    ]
    return rows


def _why_apart(bottle: BottleView) -> str:
    """Why a bottle has a day of its own."""
    return "refilled" if bottle.is_refilled else "filled before its extract changed"


def _pressed(view: ThingView, extract: ExtractView, present: Present) -> NamedRow:
    """How there came to be any of it; of the last pressing what the marc held back."""
    steep = view.steep
    held = steep.held_ml_per_g if steep and steep.pressing == extract.id else None
    kept = "" if held is None else f"; marc held {held:.2f} ml per g"
    how = f" {method_said(extract.how)}" if extract.how else ""
    later = f", {ml(extract.later_ml)} of it pressed again" if extract.later_ml else ""
    return (
        extract.opened,
        f"{present.said(extract.pressed)}, {ml(extract.pressed_ml)}{how}{later}{kept}",
    )


def _gone(extract: ExtractView) -> str:
    gone = (
        ("lees", extract.gone.lees_ml),
        ("into others", extract.gone.passed_on_ml),
        ("dispensed", extract.gone.dispensed_ml),
        ("discarded", extract.gone.discarded_ml),
        ("unaccounted", extract.gone.unaccounted_ml),
    )
    return ", ".join(f"{name} {ml(volume)}" for name, volume in gone if abs(volume) >= 0.05)


def _good_through(extract: ExtractView, present: Present) -> str:
    left, last = extract.days_left, extract.good_through
    if left is None or last is None:
        return "no date is known: find out when it, or what it was made of, was pressed"
    days = f"{abs(left)} {'day' if abs(left) == 1 else 'days'}"
    when = f"{days} left" if left >= 0 else f"past by {days}"
    own = f"{extract.opened} + {extract.keeps}"
    how = "the earliest of its parts" if extract.from_parts else own
    how = "too weak to keep, or not known to keep" if extract.is_weak else how
    return f"{present.said(last)} = {how}; {when}"
