"""What a label says about a jar, an extract or a bottle, as data without a layout."""

from collections.abc import Sequence
from datetime import date

from tracker.core.practice.practice import Practice
from tracker.core.reckoning.sizing import FLUID_OUNCE_ML
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import Thing
from tracker.core.values.few_digits import trimmed
from tracker.core.values.text import shown
from tracker.outputs.paper.labels.label_cautions import bar, foot, own_heeds
from tracker.outputs.paper.labels.label_days import days, good_through, next_day, year
from tracker.outputs.paper.labels.label_lines import (
    BELONGS_RANK,
    COMMON_RANK,
    DAYS_RANK,
    LOTS_RANK,
    OWN_RANK,
    UNDER_RANK,
    Label,
    LabelLine,
    line,
)
from tracker.outputs.paper.labels.label_names import names
from tracker.outputs.paper.labels.label_recipe import recipe_of, way_of
from tracker.outputs.view.thing_view import ThingView, view_of
from tracker.outputs.words.amount_words import ml

# A size that is so near a quarter of an ounce was measured in ounces.
_NEAR_ML = 0.01


def label(
    thing: Thing,
    practice: Practice,
    today: date,
    not_held: Sequence[Flag] = (),
    *,
    recipe: bool | None = None,
) -> Label:
    """What the label of a jar or bottle says, as things stand today.

    Args:
        thing: what it is for.
        practice: the rules in force.
        today: the maker's day.
        not_held: what holds some of a lot called back and is on no hold.
        recipe: whether ratio, strength and what was poured are said; None: as the practice has it.
    """
    view = view_of(thing, practice, today, flags=not_held)
    heeds = own_heeds(view)
    says_recipe = practice.label.recipe if recipe is None else recipe
    made = recipe_of(view) if says_recipe else [line(way_of(view) or "")]
    good = good_through(view)
    lines = [*names(view.row.herbs, under_rank=UNDER_RANK), *made]
    lines += [line(days(view), rank=DAYS_RANK), *([] if good is None else [good])]
    if view.past_date_why:
        lines.append(
            line(f"Used past its date, or with none: {view.past_date_why}", rank=BELONGS_RANK)
        )
    lines += _small(view, practice.label.lines)
    found = Label(
        thing.code,
        tuple(one for one in lines if one.text),
        foot(heeds),
        _mark(view, practice),
        bar(heeds),
        qr_text(thing.code, practice),
    )
    return _plain(found, practice)


def lid(thing: Thing, practice: Practice, today: date, not_held: Sequence[Flag] = ()) -> Label:
    """What the label of a lid says: the plant, the code, the year, the last day, the cautions."""
    view = view_of(thing, practice, today, flags=not_held)
    heeds = own_heeds(view)
    good = good_through(view)
    found = Label(
        thing.code,
        (
            *names(view.row.herbs, under_rank=COMMON_RANK),
            line(year(view)),
            *([] if good is None else [good]),
        ),
        foot(heeds, "lid"),
        _mark(view, practice)[:1],
        bar(heeds),
        kind="lid",
    )
    return _plain(found, practice)


def short(thing: Thing, practice: Practice, today: date, not_held: Sequence[Flag] = ()) -> Label:
    """What fits a label of a thumb's width: the plant, the code, the last day, what is grave."""
    view = view_of(thing, practice, today, flags=not_held)
    heeds = own_heeds(view)
    last = good_through(view) or next_day(view)
    found = Label(
        thing.code,
        (*names(view.row.herbs, under_rank=COMMON_RANK, cut=True), last),
        foot(heeds, "short"),
        _mark(view, practice)[:1],
        bar(heeds),
        qr_text(thing.code, practice),
        "short",
    )
    return _plain(found, practice)


def qr_text(code: str, practice: Practice) -> str:
    """What the QR code of a label holds: the code, behind the page address if one is set."""
    if not practice.page_address:
        return shown(code)
    from urllib.parse import quote

    return practice.page_address + quote(code, safe="/")


def _small(view: ThingView, own: Sequence[str]) -> list[LabelLine]:
    """The maker's own lines, whose it is, and from which lots."""
    # Of the maker's own lines the last goes first.
    lines = [line(text, "own", rank=OWN_RANK + place) for place, text in enumerate(own)]
    if view.row.belongs_to:
        lines.append(line(f"Belongs to {view.row.belongs_to}", "own", rank=BELONGS_RANK))
    if view.steep is not None and view.steep.lots:
        lines.append(line(f"From: {', '.join(view.steep.lots)}", "own", rank=LOTS_RANK))
    return lines


def _mark(view: ThingView, practice: Practice) -> tuple[LabelLine, ...]:
    """The code, and how much a bottle holds."""
    code = line(view.row.code, "code", style="B")
    if view.bottle is None:
        return (code,)
    return code, line(bottle_size(view.bottle.size_ml, practice), "code")


def bottle_size(size_ml: float, practice: Practice) -> str:
    """`100 ml`; `4 fl oz (118 ml)` of a maker who measures in ounces, or measured this one so."""
    ounces = size_ml / FLUID_OUNCE_ML[practice.units]
    quarter_ml = FLUID_OUNCE_ML[practice.units] / 4
    is_measured = abs(size_ml - round(ounces * 4) * quarter_ml) < _NEAR_ML and size_ml % 1 > 0
    if practice.measures == "ounces" or is_measured:
        return ml(size_ml, f"{trimmed(ounces, 2)} fl oz")
    return ml(size_ml)


def _plain(made: Label, practice: Practice) -> Label:
    """The label in its language, without control codes, which an old line of the book may hold."""
    in_bar = None if made.bar is None else _shown(made.bar)
    lines, at_foot, mark = (
        tuple(_shown(one) for one in some) for some in (made.lines, made.foot, made.mark)
    )
    language = practice.label.language or None
    return made._replace(lines=lines, foot=at_foot, mark=mark, bar=in_bar, language=language)


def _shown(one: LabelLine) -> LabelLine:
    runs, beside, behind, shorter = (
        tuple(run._replace(text=shown(run.text)) for run in some)
        for some in (*one.parts, one.shorter)
    )
    return one._replace(runs=runs, beside=beside, behind=behind, shorter=shorter)
