"""A jar's life through time: the days that matter, in order."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Literal

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Diluted, MadeUp, Refilled
from tracker.core.facts.fields import About
from tracker.core.facts.jars import HerbAdded, Recharged, Shaken, SteepedAgain, ToppedUp
from tracker.core.replay.in_force import settle
from tracker.core.shelf.end import DiscardedEnd, GivenEnd
from tracker.core.values.day_words import short_day
from tracker.core.values.times import When
from tracker.outputs.answer_fields import Answer
from tracker.outputs.view.liquid import BottleView, ExtractView
from tracker.outputs.view.thing_view import RowView, ThingView
from tracker.outputs.words.amount_words import ml
from tracker.outputs.words.caution_words import caution_lines
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.flows import NO_NAMES
from tracker.outputs.words.holds import held_since
from tracker.outputs.words.plant_names import herbs_named
from tracker.outputs.words.ways_of_making import pressed_word

MomentKind = Literal[
    "charged",
    "blended",
    "shaken",
    "ready",
    "longest",
    "pressed",
    "added",
    "discarded",
    "given out",
    "today",
    "good through",
]
_ADDING = (ToppedUp, HerbAdded, Recharged, SteepedAgain, MadeUp, Diluted, Refilled)
# One letter for each kind, so that a picture needs no colour. A shake is a tick.
LETTERS: dict[MomentKind, str] = {
    "charged": "C",
    "blended": "B",
    "ready": "R",
    "longest": "L",
    "pressed": "P",
    "added": "A",
    "discarded": "X",
    "given out": "O",
    "today": "T",
    "good through": "G",
}


def days_of(first: date, last: date) -> str:
    """`3 Mar 2026`, or `1 Mar 2026 to 31 Mar 2026`."""
    return short_day(first) if first == last else f"{short_day(first)} to {short_day(last)}"


class Moment(msgspec.Struct, frozen=True):
    """Something on a day, or within a range of days where the day is not known."""

    kind: MomentKind
    first: date
    last: date
    said: str

    @property
    def days(self) -> str:
        """The day, or the range, in words."""
        return days_of(self.first, self.last)


class Life(msgspec.Struct, frozen=True):
    """A jar and the moments of its life, the earliest first.

    Attributes:
        herb: every herb in it, in words.
        holds: what keeps it, an extract or a bottle of it from being given out, and what of it
            is too weak to keep, in words.
        cautions: what to be careful of, in words.
    """

    code: str
    herb: str
    today: date
    moments: tuple[Moment, ...]
    holds: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def first(self) -> date:
        """The first day of the picture."""
        return min(one.first for one in self.moments)

    @property
    def last(self) -> date:
        """The last day of the picture."""
        return max(one.last for one in self.moments)

    def of(self, *kinds: MomentKind) -> list[Moment]:
        """The moments of these kinds."""
        return [one for one in self.moments if one.kind in kinds]

    @property
    def begun(self) -> Moment:
        """When there was first anything of it."""
        return self.of("charged", "blended")[0]

    @property
    def herb_out(self) -> date:
        """The day the herb came out, or today while it is in; a blend never had any in it."""
        ended = [one.first for one in self.of("pressed", "discarded", "given out", "blended")]
        return min([*ended, self.today])

    def share(self, day: date) -> float:
        """Where a day lies in the picture, 0 to 1."""
        return (day - self.first).days / max((self.last - self.first).days, 1)

    @property
    def in_words(self) -> str:
        """The picture in words, for people who cannot see it."""
        shakes = len(self.of("shaken"))
        said = [
            f"{one.said} {one.days}" if one.kind != "today" else f"today is {short_day(one.first)}"
            for one in self.moments
            if one.kind != "shaken"
        ]
        if shakes:
            said.append(f"shaken {shakes} time{'' if shakes == 1 else 's'}")
        return " ".join(["; ".join(said) + ".", *self.heeds])

    @property
    def heeds(self) -> list[str]:
        """What not to give out, and what to be careful of, as sentences."""
        return [f"{text.removesuffix('.')}." for text in (*self.holds, *self.cautions)]


def life(
    view: ThingView, entries: Sequence[Entry], today: date, names: Mapping[str, str] = NO_NAMES
) -> Life:
    """The life of a jar or a blend, or of what is of one, as known on a day.

    Args:
        view: the thing as it stood on that day.
        entries: every line about its jar or blend; corrections and strikes are applied here.
        today: the maker's day.
        names: the codes of what was added, by `code_key`.
    """
    row, settled = view.row, settle(entries).entries
    found = [*_of_the_row(row), *_of_the_extracts(view)]
    found += [*_shakes(row.id, settled, today), *_added(view, settled, today, names)]
    found.append(Moment("today", today, today, "today"))
    order = list(LETTERS)
    return Life(
        row.code,
        herbs_named(row.herbs),
        today,
        tuple(
            sorted(
                found,
                key=lambda one: (one.first, one.kind != "shaken" and order.index(one.kind)),
            )
        ),
        tuple(_holds(view)),
        tuple(caution_lines(view.cautions)),
    )


def _holds(view: ThingView) -> list[str]:
    """Each hold once, with the code of what it was put on."""
    found = [hold for one in view.extracts for hold in one.holds]
    if view.row.hold is not None:
        found = [view.row.hold, *found]
    held = dict.fromkeys(f"{one.code} {held_since(one)}" for one in found)
    return [*held, *_weak(view)]


def _weak(view: ThingView) -> Iterator[str]:
    """What is too weak to keep: the jar with its herb in, else each extract that has any left."""
    if view.row.is_macerating or view.bottle is not None:
        weak = [(view.row.code, view.row.weak)]
    else:
        weak = [(one.code, one.weak) for one in view.extracts if one.is_some_weak]
    for code, one in weak:
        if one is not None:
            through = (
                f"good through {short_day(one.through)}"
                if one.through
                else "for how long is not known"
            )
            yield f"{code} WEAK: keep it cold; {through}"


def _of_the_row(row: RowView) -> Iterator[Moment]:
    charged = row.charged
    if charged is None:
        return  # a blend begins with its liquid
    # An unknown day has no place on a line: it is drawn where it was written down.
    first = charged.latest if charged.precision == "unknown" else charged.earliest
    unknown = ", on a day not known, by" if charged.precision == "unknown" else ""
    yield Moment("charged", first, charged.latest, f"charged{unknown}")
    if row.press_from is not None:
        yield Moment(
            "ready", row.press_from, row.press_from, f"may be {pressed_word(row.steep_way)} from"
        )
    if row.longest is not None:
        yield Moment("longest", row.longest, row.longest, "longest time on the herb ends")
    if isinstance(row.end, DiscardedEnd):
        yield Moment("discarded", row.end.on.earliest, row.end.on.latest, "discarded")
    if isinstance(row.end, GivenEnd):
        yield Moment("given out", row.end.on.earliest, row.end.on.latest, "given out")


def _of_the_extracts(view: ThingView) -> Iterator[Moment]:
    for one in view.extracts:
        pressed = one.pressed
        known = pressed.precision != "unknown"
        first = pressed.earliest if known else pressed.latest
        said = f"{one.opened} {ml(one.pressed_ml)}, {one.code}"
        kind: MomentKind = "blended" if one.opened == "blended" else "pressed"
        said = said if known else f"{said}, day not known, by"
        yield Moment(kind, first, pressed.latest, said)
        for code, last in _last_days(view, one):
            if last is not None:
                yield Moment("good through", last, last, f"{code} good through")


def _added(
    view: ThingView, settled: Iterable[Entry], today: date, names: Mapping[str, str]
) -> Iterator[Moment]:
    """What came into it later, by what it was and into which of its extracts and bottles."""
    row = view.row
    extracts = {one.id for one in view.extracts}
    for entry in settled:
        fact, when = entry.fact, entry.when
        if not isinstance(fact, _ADDING) or fact.about.jar != row.id or when.earliest > today:
            continue
        about = fact.about
        if about.extract is not None and about.extract not in extracts:
            continue
        if view.bottle is not None and not _went_into(view.bottle, about, when):
            continue
        known = when.precision != "unknown"
        first = when.earliest if known else when.latest
        code = "" if entry.subject == row.code else f"{entry.subject} "
        text = f"{code}{said(fact, names)}"
        yield Moment("added", first, when.latest, text if known else f"{text}, day not known, by")


def _last_days(view: ThingView, one: ExtractView) -> list[tuple[str, date | None]]:
    """The last good days of an extract and of its bottles that differ; of a bottle its own."""
    if view.bottle is not None:
        return [(view.bottle.code, view.bottle.good_through)]
    apart = [(bottle.code, bottle.good_through) for bottle in one.dated_apart]
    return [(one.code, one.good_through), *apart]


def _went_into(bottle: BottleView, about: About, when: When) -> bool:
    """Whether what came into a bottle, or into its extract, came into this one too."""
    if about.bottle is not None:
        return about.bottle == bottle.number
    return when.earliest <= bottle.filled.latest


def _shakes(batch_id: str, settled: Iterable[Entry], today: date) -> Iterator[Moment]:
    days = {
        entry.when
        for entry in settled
        if isinstance(entry.fact, Shaken)
        and batch_id in entry.jars
        and entry.when.precision != "unknown"
        and entry.when.earliest <= today
    }
    for when in sorted(days):
        yield Moment("shaken", when.earliest, when.latest, "shaken")


def life_answer(one: Life) -> Answer:
    """The life as fields."""
    return {
        "code": one.code,
        "herb": one.herb,
        "today": one.today.isoformat(),
        "moments": [
            {
                "what": moment.kind,
                "from": moment.first.isoformat(),
                "to": moment.last.isoformat(),
                "said": moment.said,
            }
            for moment in one.moments
        ],
        "holds": list(one.holds),
        "cautions": list(one.cautions),
    }


def stacked(places: Iterable[float], least_gap: float) -> list[int]:
    """A row for each place, from 0 up: no two in one row are nearer than the gap."""
    ends: list[float] = []
    rows = []
    for place in places:
        row = next((row for row, end in enumerate(ends) if place - end >= least_gap), len(ends))
        ends[row : row + 1] = [place]
        rows.append(row)
    return rows
