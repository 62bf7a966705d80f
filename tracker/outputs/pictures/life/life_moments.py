"""What happened to a jar and what is to come, gathered from its view and its lines."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from tracker.core.facts.amendments import Labelled, Noted
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Diluted, Dispensed, MadeUp, Refilled
from tracker.core.facts.fields import About
from tracker.core.facts.jars import (
    HerbAdded,
    LookedAt,
    Moved,
    Recharged,
    Shaken,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.kinds import Unknown, bears_on, things_of
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.end import DiscardedEnd, GivenEnd, JoinedEnd, PressedEnd, SplitEnd
from tracker.core.values.times import When
from tracker.outputs.pictures.life.moments import Liquid, Moment, MomentKind
from tracker.outputs.view.liquid import BottleView, ExtractView, HoldView
from tracker.outputs.view.thing_view import RowView, ThingView
from tracker.outputs.words.amount_words import ml
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.holds import hold_name
from tracker.outputs.words.things_said import codes_said
from tracker.outputs.words.ways_of_making import pressed_word

_ADDING = (ToppedUp, HerbAdded, MadeUp, Diluted, Refilled)
_AGAIN = (Recharged, SteepedAgain)
# What is said of a liquid and takes nothing of it.
_ABOUT = (Noted, Labelled, Moved, LookedAt)


def moments_of(
    view: ThingView,
    settled: Sequence[Entry],
    today: date,
    names: Mapping[str, str],
    liquids: Iterable[Liquid],
) -> Iterator[Moment]:
    """Every moment of a thing, in no order."""
    yield from _of_the_row(view.row)
    yield from _of_the_extracts(view)
    yield from _often(view, settled, today)
    yield from _added(view, settled, today, names)
    yield from _held(view, today)
    for one in liquids:
        if one.gone is not None:
            yield Moment("gone", one.gone, one.gone, f"none of {one.code} was left")
    yield Moment("today", today, today, "today")


def _of_the_row(row: RowView) -> Iterator[Moment]:
    charged = row.charged
    if charged is None:
        return  # a blend begins with its liquid
    yield _moment("charged", charged, "charged")
    is_over = row.end is not None
    if row.press_from is not None:
        yield Moment("ready", row.press_from, row.press_from, _ready(row))
    if row.longest is not None and not is_over:
        yield Moment("longest", row.longest, row.longest, "longest time on the herb ends")
    match row.end:
        case DiscardedEnd(on=on):
            yield _moment("discarded", on, "discarded")
        case GivenEnd(on=on):
            yield _moment("given out", on, "given out")
        case SplitEnd(on=on):
            yield _moment("split", on, "split into other jars")
        case JoinedEnd(on=on):
            yield _moment("joined", on, "joined with others in another jar")
        case PressedEnd() | None:
            return


def _ready(row: RowView) -> str:
    """When its least time is over; what is on hold may not be pressed for all that."""
    if row.hold is not None and row.end is None:
        return f"{hold_name(row.hold)}; least time ends"
    return f"may be {pressed_word(row.steep_way)} from"


def _moment(kind: MomentKind, when: When, text: str) -> Moment:
    """Within the range that is known; an unknown day is drawn where it was written down."""
    if when.precision == "unknown":
        return Moment(kind, when.latest, when.latest, f"{text}, on a day not known", is_known=False)
    return Moment(kind, when.earliest, when.latest, text)


def _of_the_extracts(view: ThingView) -> Iterator[Moment]:
    kinds: dict[str, MomentKind] = {"blended": "blended", "drawn off": "drawn"}
    for one in view.extracts:
        text = f"{one.opened} {ml(one.pressed_ml)}, {one.code}"
        yield _moment(kinds.get(one.opened, "pressed"), one.pressed, text)
        last_days = defaultdict[date, list[str]](list)
        for code, last in _last_days(view, one):
            if last is not None:
                last_days[last].append(code)
        for last, codes in last_days.items():
            yield Moment("good through", last, last, f"{codes_said(codes)} good through")


def _last_days(view: ThingView, one: ExtractView) -> list[tuple[str, date | None]]:
    """The last good days of what is left of it: of a bottle its own, and of those that differ."""
    if view.bottle is not None:
        found = [view.bottle] if view.bottle.volume_ml >= DROP_ML else []
        return [(bottle.code, bottle.good_through) for bottle in found]
    own = [(one.code, one.good_through)] if one.left_ml >= DROP_ML else []
    return [*own, *((bottle.code, bottle.good_through) for bottle in one.dated_apart)]


def _held(view: ThingView, today: date) -> Iterator[Moment]:
    """When each hold was put on that is still there."""
    holds = [hold for one in view.extracts for hold in one.holds]
    if view.row.hold is not None:
        holds = [view.row.hold, *holds]
    for (code, name), since in {(one.code, hold_name(one)): one.since for one in holds}.items():
        if since.earliest <= today:
            yield _moment("held", since, f"{code} {name}")


def _added(
    view: ThingView, settled: Iterable[Entry], today: date, names: Mapping[str, str]
) -> Iterator[Moment]:
    """What came into it later, by what it was and into which of its extracts and bottles."""
    row = view.row
    extracts = {one.id for one in view.extracts}
    for entry in settled:
        fact, when = entry.fact, entry.when
        if not isinstance(fact, (*_ADDING, *_AGAIN)):
            continue
        if fact.about.jar != row.id or when.earliest > today:
            continue
        is_again = isinstance(fact, _AGAIN)
        about = fact.about
        if about.extract is not None and about.extract not in extracts and not is_again:
            continue
        if view.bottle is not None and not _went_into(view.bottle, about, when):
            continue
        code = "" if entry.subject == row.code else f"{entry.subject} "
        yield _moment("again" if is_again else "added", when, f"{code}{said(fact, names)}")


def _went_into(bottle: BottleView, about: About, when: When) -> bool:
    """Whether what came into a bottle, or into its extract, came into this one too."""
    if about.bottle is not None:
        return about.bottle == bottle.number
    return when.earliest <= bottle.filled.latest


def _often(view: ThingView, settled: Iterable[Entry], today: date) -> Iterator[Moment]:
    """Shakes, and what was given out; a day that nobody knows is no tick."""
    row, shakes, given = view.row, set[When](), list[When]()
    extracts = {one.id for one in view.extracts}
    for entry in settled:
        if entry.when.precision == "unknown" or entry.when.earliest > today:
            continue
        fact = entry.fact
        if isinstance(fact, Shaken) and row.id in entry.jars:
            shakes.add(entry.when)
        elif isinstance(fact, Dispensed) and _is_of(fact.about, view, extracts):
            given.append(entry.when)
    yield from (Moment("shaken", one.earliest, one.latest, "shaken") for one in sorted(shakes))
    for one in sorted(given):
        yield Moment("dispensed", one.earliest, one.latest, "some given out")


def _is_of(about: About, view: ThingView, extracts: set[str]) -> bool:
    """Whether something is about the liquid of a thing, of a bottle about that bottle."""
    own = next(iter(extracts)) if view.row.charged is None and extracts else None
    if about.jar != view.row.id or (about.extract or own) not in extracts:
        return False
    return view.bottle is None or about.bottle == view.bottle.number


def liquids_of(view: ThingView, settled: Sequence[Entry], today: date) -> Iterator[Liquid]:
    """Each extract of a thing, or the one bottle that is asked about, while any of it is there."""
    for one in view.extracts:
        bottle = view.bottle
        if bottle is not None:
            is_left, begun, last = bottle.volume_ml >= DROP_ML, bottle.filled, bottle.good_through
            code, hold = bottle.code, bottle.hold
        else:
            is_left, begun, last = one.left_ml >= DROP_ML, one.pressed, one.good_through
            code, hold = one.code, _longest_held(one)
        gone = None if is_left else _last_taken(view, settled, one.id, today)
        first = begun.latest
        held = None if hold is None or not is_left else max(hold.since.earliest, first)
        yield Liquid(code, first, gone if gone is None else max(gone, first), last, held)


def _longest_held(one: ExtractView) -> HoldView | None:
    return min(one.holds, key=lambda hold: hold.since.earliest, default=None)


def _last_taken(view: ThingView, settled: Iterable[Entry], extract: str, today: date) -> date:
    """The day of the last that was done with a liquid of which nothing is left."""
    of_blend = extract if view.row.charged is None else None
    days = [
        entry.when.latest
        for entry in settled
        if entry.when.earliest <= today and not isinstance(entry.fact, (*_ABOUT, Unknown))
        for about in (*bears_on(entry.id, entry.fact), *things_of(entry.fact))
        if about.jar == view.row.id and (about.extract or of_blend) == extract
        if view.bottle is None or about.bottle in (None, view.bottle.number)
    ]
    return min(max(days, default=today), today)
