"""The days of a label: only those that stay true for as long as it stays on."""

from datetime import date

from tracker.core.shelf.end import ended_word
from tracker.core.values.day_words import short_day
from tracker.outputs.paper.labels.label_lines import LabelLine, line, unbroken
from tracker.outputs.view.thing_view import RowView, ThingView
from tracker.outputs.words.short_days import when_in_full
from tracker.outputs.words.ways_of_making import press_verb

# So many letters go on one line of the narrowest label.
_LONG = 24
_LATEST = " at the latest"
_KEEP_COLD = "Weak, keep cold"


def days(view: ThingView) -> str:
    """`charged 3 Mar 2025 · pressed 3 Jun 2025`; with herb in it, the day to press from."""
    row, extract = view.row, view.extract
    if row.charged is None:
        return f"blended {when_in_full(row.begun)}"
    guess = " (a guess)" if row.charge_guessed else ""
    said = [f"charged {when_in_full(row.charged)}{guess}"]
    if row.pressed is not None:
        how = "pressed" if extract is None else extract.opened
        said.append(f"{how} {when_in_full(row.pressed)}")
    elif row.end is not None:
        said.append(f"{ended_word(row.end)} {when_in_full(row.end.on)}")
    elif row.hold is None:
        said.append(press_from(row))
    return " · ".join(unbroken(one) if len(one) < _LONG else one for one in said)


def year(view: ThingView) -> str:
    """`pressed 2025`; of a jar with herb in it the day to press from as well."""
    row, extract = view.row, view.extract
    if row.pressed is None:
        return days(view)
    how = "pressed" if extract is None else extract.opened
    is_known = row.pressed.precision != "unknown"
    return f"{how} {row.pressed.start.year:04d}" if is_known else f"{how} on a day not known"


def next_day(view: ThingView) -> LabelLine:
    """`press from 3 Jun 2025`; of what is not pressed any more, how it ended."""
    if view.row.is_macerating and view.row.hold is None:
        said = press_from(view.row)
        return line(said, "good", shorter=said.replace(", ", " to ").removesuffix(_LATEST))
    return line(days(view), "good")


def press_from(row: RowView) -> str:
    """`press from 3 Jun 2025`, and by when at the latest where there is such a day."""
    is_strained = row.preparation in ("oil", "honey or oxymel")
    verb = "strain" if is_strained else press_verb(row.steep_way or "maceration")
    latest = f", {short_day(row.longest)}{_LATEST}" if row.longest else ""
    if row.press_from is None:
        return f"{verb}: the day is not known{latest}"
    return f"{verb} from {short_day(row.press_from)}{latest}"


def good_through(view: ThingView) -> LabelLine | None:
    """`Good through 12 Jul 2027`, that nobody knows, or that it is weak; None with herb in it."""
    row = view.row
    if row.weak is not None:
        last = _last(row.weak.through)
        fewer = f"Weak: {last.removeprefix('good ')}"
        return line(f"{_KEEP_COLD}: {last}", "good", style="B", shorter=fewer)
    if row.pressed is None:
        return None
    text = _last(row.good_through)
    return line(_capital(text), "good", style="B", shorter=text.removeprefix("good "))


def _last(day: date | None) -> str:
    return "good through: not known" if day is None else f"good through {unbroken(short_day(day))}"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
