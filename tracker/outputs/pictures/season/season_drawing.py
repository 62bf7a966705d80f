"""The months to come: how many things fall in each, and then every one by its day."""

from collections.abc import Collection, Sequence
from datetime import date

from tracker.core.practice.practice import PlantNames
from tracker.core.values.day_words import short_day
from tracker.core.values.month_names import month_name
from tracker.outputs.pictures.drawing import LINE, MARGIN, Drawing, text_width
from tracker.outputs.pictures.heeds_drawn import draw_heeds
from tracker.outputs.pictures.legend import Shape, draw_legend
from tracker.outputs.pictures.season.season import FALLINGS, WORDS, Fall, Season
from tracker.outputs.pictures.season.season_lines import NOTHING
from tracker.outputs.pictures.svg import Picture, picture
from tracker.outputs.words.amount_words import ml
from tracker.outputs.words.plant_names import called_in_a_list

_MONTH, _MARK, _ROW = 78, 13, 20  # px: the names of the months, a mark, a row of them
_MOST_IN_MONTH = 30  # so many are named of each month; the rest is counted
_KINDS: tuple[str, ...] = (*FALLINGS, "held")
_TITLE = "What becomes ready and what expires"


def season_picture(found: Season, names: PlantNames, *, heed: str = "") -> Picture:
    """What falls in each month, as a row of marks, and each by its day below."""
    title = f"{_TITLE}, month by month"
    return picture(title, found.in_words, lambda drawing: _draw(drawing, found, names), heed=heed)


def _draw(drawing: Drawing, found: Season, names: PlantNames) -> None:
    drawing.words(_TITLE, "title")
    drawing.words(
        f"Today is {short_day(found.today)}. Each mark is one jar, extract or bottle.", "quiet"
    )
    groups = _groups(found)
    if not any(falls for _, falls in groups):
        drawing.words(NOTHING)
        return
    _legend(drawing, {_kind(one) for _, falls in groups for one in falls})
    _months(drawing, groups, found.today)
    for name, falls in groups:
        if falls:
            drawing.y += LINE - 4
            drawing.words(name, "name")
            _by_day(drawing, falls, found, names)
    draw_heeds(drawing, found.heeds.sentences)


def _legend(drawing: Drawing, kinds: Collection[str]) -> None:
    """What the marks say that are there."""
    said = {**dict[str, str](WORDS.items()), "held": "on hold: not to be pressed or given out"}
    draw_legend(drawing, [(_mark(drawing, one), said[one]) for one in _KINDS if one in kinds])


def _mark(drawing: Drawing, kind: str) -> Shape:
    return lambda x, y: drawing.mark(x + 8, y + 5, kind)


def _groups(found: Season) -> list[tuple[str, Sequence[Fall]]]:
    """What fell before, each month, and what falls later; an empty end is left out."""
    months = [(one.name, one.falls) for one in found.months]
    first, last = found.months[0].name, found.months[-1].name
    before = [(f"before {first}", found.before)] if found.before else []
    return [*before, *months, *([(f"after {last}", found.later)] if found.later else [])]


def _months(drawing: Drawing, groups: Sequence[tuple[str, Sequence[Fall]]], today: date) -> None:
    """A row of marks for each month, under a scale of how many."""
    left = MARGIN + _MONTH
    room = int((drawing.right - left) // _MARK) - 3
    most = max(len(falls) for _, falls in groups)
    drawing.y += LINE
    top = drawing.y
    step = 5 if min(most, room) > 5 else 1
    for number in range(step, min(most, room) + 1, step):
        drawing.text(left + number * _MARK - 6, top, str(number), "quiet", "middle")
    drawing.text(MARGIN, top, "how many", "quiet")
    drawing.y += 6
    for name, falls in groups:
        drawing.line(MARGIN, drawing.y, drawing.right, drawing.y, "rule")
        drawing.y += _ROW
        is_now = bool(name == f"{month_name(today)} {today.year}")
        drawing.text(MARGIN, drawing.y - 5, _short(name), "strong" if is_now else "")
        kinds = sorted(map(_kind, falls), key=_KINDS.index)
        for number, kind in enumerate(kinds[:room]):
            drawing.mark(left + number * _MARK + 7, drawing.y - 10, kind)
        if len(falls) > room:
            at = left + room * _MARK + 6
            drawing.text(at, drawing.y - 5, f"+{len(falls) - room}", "strong")
        if is_now:
            drawing.text(drawing.right, drawing.y - 5, "today", "strong", "end")


def _short(name: str) -> str:
    first, _, _ = name.partition(" ")
    return {"before": "before", "after": "later"}.get(first, name)


def _kind(one: Fall) -> str:
    return one.what if one.hold is None else "held"


def _by_day(drawing: Drawing, falls: Sequence[Fall], found: Season, names: PlantNames) -> None:
    is_month = found.months[0].first <= falls[0].day and falls is not found.later
    is_now = is_month and _month_of(falls[0].day) == _month_of(found.today)
    is_past = not is_now
    for one in falls[:_MOST_IN_MONTH]:
        if not is_past and one.day >= found.today:
            _today(drawing, found.today)
            is_past = True
        _fall(drawing, one, names, day=str(one.day.day) if is_month else short_day(one.day))
    if not is_past and len(falls) <= _MOST_IN_MONTH:
        _today(drawing, found.today)
    if len(falls) > _MOST_IN_MONTH:
        drawing.words(f"and {len(falls) - _MOST_IN_MONTH} more", "quiet", left=MARGIN + 18)


def _month_of(day: date) -> tuple[int, int]:
    return day.year, day.month


def _today(drawing: Drawing, today: date) -> None:
    said = f"today, {short_day(today)}"
    drawing.y += LINE + 2
    drawing.text(MARGIN + 18, drawing.y, said, "strong")
    line = MARGIN + 26 + text_width(said) * 1.1  # it is bold
    drawing.line(line, drawing.y - 4, drawing.right, drawing.y - 4, "today")
    drawing.y += 2


def _fall(drawing: Drawing, one: Fall, names: PlantNames, *, day: str) -> None:
    """The mark, the day and the name; what falls, its code and how much, beside it or below."""
    name = called_in_a_list(one.herbs, names)
    left = MARGIN + (46 if len(day) < 3 else 120)
    drawing.y += LINE + 2
    drawing.mark(MARGIN + 5, drawing.y - 5, _kind(one))
    drawing.text(left - 8, drawing.y, day, "strong", "end")
    kind = "heed" if one.hold is not None else "quiet"
    amount = "" if one.left_ml is None else f", {ml(one.left_ml)}"
    said = f"{one.code}, {one.said}{amount}"
    if drawing.is_wide:
        middle = drawing.width * 0.5
        below = drawing.row(middle, drawing.right, drawing.y, said, kind)
        drawing.y = max(drawing.row(left, middle - 12, drawing.y, name), below)
    else:
        drawing.y = drawing.row(left, drawing.right, drawing.y, name)
        drawing.words(said, kind, left=left)
