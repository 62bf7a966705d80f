"""The pictures as matplotlib draws them: by shape, hatching and words, not by colour."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from tracker.core.values.month_names import month_name
from tracker.outputs.pictures.jar_life import LETTERS, Life, Moment, stacked
from tracker.outputs.pictures.months import STEPS, month_starts
from tracker.outputs.pictures.pressing_shares import ByMethod, pressings_in_words
from tracker.outputs.pictures.season import FALLINGS, WORDS, Falling, Season
from tracker.outputs.pictures.supply import Supply, supplies_in_words
from tracker.outputs.pictures.svg import FAINT, INK, PAPER, Picture, picture, plain
from tracker.outputs.terminal.table import cut, cut_list, width

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_WIDE_IN = 9.0
_CELL_IN = 0.088  # about what a letter of 10 points takes
MOST_SUPPLIES = 24
_MOST_TICKS = 8
_WORDS_IN = 2.2  # for words to the right of a strip


def _figure(title: str, under: str, height_in: float) -> "Figure":
    """An empty figure with a title and a line under it."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(_WIDE_IN, height_in))
    top = 1 - 0.32 / height_in
    figure.text(0.02, top, plain(cut_list(title, 76)), fontsize=12, fontweight="bold")
    figure.text(0.02, 1 - 0.58 / height_in, plain(cut(under, 108)), fontsize=9, color=FAINT)
    return figure


def _axes(
    figure: "Figure",
    left_in: float,
    bottom_in: float,
    height_in: float,
    right_in: float = 0.45,
) -> "Axes":
    wide, high = figure.get_size_inches()
    return figure.add_axes(
        (
            left_in / wide,
            bottom_in / high,
            (wide - left_in - right_in) / wide,
            height_in / high,
        )
    )


def _number(day: date) -> int:
    return day.toordinal()


def _dates_along(axes: "Axes", first: date, last: date, most_ticks: int = _MOST_TICKS) -> None:
    """Months or years under an axis of day numbers; its first and last day if none fits."""
    days = [first, last]
    for step in STEPS:
        found = list(month_starts(first, last, step))
        if len(found) <= most_ticks:
            days = found if len(found) > 1 else days
            break
    whole = all(day.day == 1 for day in days)
    axes.set_xticks([_number(day) for day in days])
    axes.set_xticklabels([f"{day:%Y-%m}" if whole else day.isoformat() for day in days])


# A jar's life


def life_picture(life: Life) -> Picture:
    """A jar's life as a line through time."""
    title = f"{life.code}, {life.herb}"
    return picture(f"The life of {title}", life.in_words, lambda: _life(life, title))


def _life(life: Life, title: str) -> "Figure":
    marks = [one for one in life.moments if one.kind in LETTERS]
    days = max((life.last - life.first).days, 1)
    rows = stacked([_number(one.first) for one in marks], days * 0.035)
    lines_of_text = len(marks) + 1
    height = 2.1 + 0.2 * max(rows) + 0.2 * lines_of_text
    figure = _figure(title, _life_key(life), height)
    axes = _axes(figure, 0.4, 0.2 * lines_of_text + 0.5, 0.7 + 0.2 * max(rows))
    axes.set_xlim(_number(life.first) - days * 0.01, _number(life.last) + days * 0.01)
    axes.set_ylim(-0.8, 1.5 + max(rows))
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    _dates_along(axes, life.first, life.last)
    _spans(axes, life)
    for one in life.of("shaken"):
        axes.plot([_number(one.first)] * 2, [-0.55, -0.25], color=INK, linewidth=0.8)
    for one, row in zip(marks, rows, strict=True):
        _letter(axes, one, row)
    for number, one in enumerate(marks):
        at = (0.2 * (len(marks) - number) - 0.02) / height
        words = (LETTERS[one.kind], one.days, plain(cut(one.said, 70)))
        for along, text in zip((0.045, 0.075, 0.28), words, strict=True):
            figure.text(along, at, text, fontsize=9)
    return figure


def _life_key(life: Life) -> str:
    shakes = len(life.of("shaken"))
    how_many = f"{shakes} shakes as ticks" if shakes > 1 else "a shake as a tick"
    ticks = f"; {how_many} below it" if shakes else ""
    return f"Thick line: herb in the jar. Double line: extract. Dotted: to come{ticks}."


def _spans(axes: "Axes", life: Life) -> None:
    charged = life.begun
    kept = [one.last for one in life.of("good through")]
    out, today = _number(life.herb_out), _number(life.today)
    axes.plot([_number(charged.first), out], [0, 0], color=INK, linewidth=5)
    if charged.first < charged.last:
        axes.plot(
            [_number(charged.first), _number(charged.last)],
            [0, 0],
            color=PAPER,
            linewidth=2.5,
            linestyle=(0, (1, 1)),
        )
    if kept:
        until = min(today, _number(max(kept)))
        for level in (-0.08, 0.08):
            axes.plot([out, until], [level, level], color=INK, linewidth=1.2)
    if _number(life.last) > today:
        axes.plot([today, _number(life.last)], [0, 0], color=FAINT, linewidth=1.5, linestyle=":")


def _letter(axes: "Axes", one: Moment, row: int) -> None:
    at, is_today = _number(one.first), one.kind == "today"
    axes.plot(
        [at, at],
        [-0.2, 0.55 + row],
        color=FAINT,
        linewidth=0.8,
        linestyle="--" if is_today else "-",
    )
    axes.text(at, 0.65 + row, LETTERS[one.kind], ha="center", va="bottom", fontweight="bold")


# The season

_HATCH: dict[Falling, str] = {"ready": "", "longest": "xxxx", "expires": "////"}


def season_picture(found: Season) -> Picture:
    """What becomes ready, above the line, and what expires, below it, month by month."""
    title = "What becomes ready and what expires, month by month"
    return picture(title, found.in_words, lambda: _season(found, title))


def _season(found: Season, title: str) -> "Figure":
    from matplotlib.patches import Patch

    outside = f"Today is {found.today}. Before these months: {len(found.before)}"
    figure = _figure(title, f"{outside}; later: {len(found.later)}.", 4.2)
    axes = _axes(figure, 0.6, 0.9, 2.5)
    counts = {what: [one.count(what) for one in found.months] for what in FALLINGS}
    places = range(len(found.months))
    below = [
        longest + past for longest, past in zip(counts["longest"], counts["expires"], strict=True)
    ]
    _bars(axes, counts["ready"], [0] * len(counts["ready"]), "ready")
    _bars(axes, [-one for one in counts["longest"]], [0] * len(below), "longest")
    _bars(
        axes,
        [-one for one in counts["expires"]],
        [-one for one in counts["longest"]],
        "expires",
    )
    most = max([1, *counts["ready"], *below])
    axes.set_ylim(-most * 1.25, most * 1.25)
    axes.axhline(0, color=INK, linewidth=1)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.spines["bottom"].set_visible(False)
    axes.set_xticks(list(places))
    axes.tick_params(axis="x", length=0)
    axes.set_xticklabels(
        [
            month_name(one.first)
            + (f"\n{one.first.year}" if place == 0 or one.first.month == 1 else "")
            for place, one in enumerate(found.months)
        ]
    )
    keys = [
        Patch(facecolor=PAPER, edgecolor=INK, hatch=_HATCH[what], label=WORDS[what])
        for what in FALLINGS
    ]
    figure.legend(handles=keys, loc="lower left", ncols=3, frameon=False, fontsize=9)
    return figure


def _bars(axes: "Axes", heights: Sequence[int], feet: Sequence[int], what: Falling) -> None:
    there = [place for place, height in enumerate(heights) if height]
    axes.bar(
        there,
        [heights[place] for place in there],
        bottom=[feet[place] for place in there],
        width=0.6,
        facecolor=PAPER,
        edgecolor=INK,
        hatch=_HATCH[what],
    )
    for place in there:
        axes.text(
            place,
            feet[place] + heights[place] / 2,
            str(abs(heights[place])),
            ha="center",
            va="center",
            fontsize=9,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 1.2},
        )


# Stock through time


def supply_picture(found: Sequence[Supply]) -> Picture:
    """The stock of each herb through time, a strip each, and where it is going."""
    title = "Stock in date through time"
    return picture(title, supplies_in_words(found), lambda: _supplies(found, title))


def _supplies(found: Sequence[Supply], title: str) -> "Figure":
    drawn = found[:MOST_SUPPLIES]
    more = f" The first {len(drawn)} of {len(found)} herbs to end." if drawn != found else ""
    under = f"Millilitres at each month's end; dashed: if use goes on; dotted: last good day.{more}"
    strip_in = 0.62
    figure = _figure(title, under, 1.3 + strip_in * max(len(drawn), 1))
    if not drawn:
        figure.text(0.02, 0.3, "There is no stock.")
        return figure
    names = [cut_list(one.herb, 30) for one in drawn]
    left_in = 0.3 + _CELL_IN * max(width(name) for name in names)
    first = drawn[0].points[0][0]
    today = drawn[0].points[-1][0]
    last = max([today, *(one.good_through for one in drawn if one.good_through)])
    last = min(last, date(first.year + 6, 1, 1))
    for number, (one, name) in enumerate(zip(drawn, names, strict=True)):
        bottom_in = 0.5 + strip_in * (len(drawn) - 1 - number)
        axes = _axes(figure, left_in, bottom_in, strip_in * 0.72, _WORDS_IN)
        axes.set_xlim(_number(first), _number(last))
        _supply(axes, one)
        axes.set_ylabel(plain(name), rotation=0, ha="right", va="center", fontsize=9, color=INK)
        _dates_along(axes, first, last, 5)
        if number < len(drawn) - 1:
            axes.set_xticklabels([])
    return figure


def _supply(axes: "Axes", one: Supply) -> None:
    days = [_number(day) for day, _ in one.points]
    volumes = [volume for _, volume in one.points]
    most = max([*volumes, 1.0])
    axes.set_ylim(0, most * 1.3)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.plot(days, volumes, color=INK, linewidth=1.6, marker=".", markersize=4)
    if one.runs_out is not None and one.runs_out > one.points[-1][0]:
        until = min(one.runs_out, one.good_through or one.runs_out)
        left = 1 - (_number(until) - days[-1]) / (_number(one.runs_out) - days[-1])
        axes.plot(
            [days[-1], _number(until)],
            [volumes[-1], volumes[-1] * left],
            color=INK,
            linewidth=1,
            linestyle="--",
        )
    if one.good_through is not None:
        axes.axvline(_number(one.good_through), color=FAINT, linewidth=1, linestyle=":")
    words = plain(f"{one.left_ml:.0f} ml, {one.ends}")
    axes.text(1.02, 0.3, words, transform=axes.transAxes, ha="left", va="center", fontsize=8)


# ByMethod


def pressings_picture(found: Sequence[ByMethod]) -> Picture:
    """Every pressing as a ring on a line from 0 to 100 %, a line for each method."""
    title = "What pressing gave, by method"
    return picture(title, pressings_in_words(found), lambda: _pressings(found, title))


def _pressings(found: Sequence[ByMethod], title: str) -> "Figure":
    under = "% of the menstruum and herb water in the jar; a ring each, a bar at the middle."
    figure = _figure(title, under, 1.6 + 0.6 * max(len(found), 1))
    axes = _axes(figure, 2.5, 0.6, 0.6 * max(len(found), 1))
    axes.set_xlim(0, 103)
    axes.set_ylim(-0.5, len(found) - 0.5 if found else 0.5)
    axes.invert_yaxis()
    axes.spines["left"].set_visible(False)
    axes.tick_params(axis="y", length=0)
    axes.set_xticks(range(0, 101, 20))
    axes.set_xticklabels([f"{share} %" for share in range(0, 101, 20)])
    axes.set_yticks(range(len(found)))
    axes.set_yticklabels(
        [f"{one.method}, {one.form}\n{len(one.pressings)} jars" for one in found], color=INK
    )
    for row, one in enumerate(found):
        shares = [press.given_pct for press in one.pressings]
        axes.axhline(row, color=FAINT, linewidth=0.5)
        axes.scatter(shares, [row] * len(shares), facecolor="none", edgecolor=INK, s=32)
        middle = one.given_pct[1]
        axes.plot([middle, middle], [row - 0.3, row + 0.3], color=INK, linewidth=2)
        axes.text(middle, row - 0.32, f"{middle:.0f} %", ha="center", va="bottom", fontsize=8)
    return figure
