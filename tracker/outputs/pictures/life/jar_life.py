"""A jar's life through time: the days that matter, when herb was in it, and what it gave."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.practice.practice import PlantNames
from tracker.core.replay.in_force import settle
from tracker.core.values.day_words import short_day
from tracker.outputs.answer_fields import Answer, iso
from tracker.outputs.pictures.life.life_moments import liquids_of, moments_of
from tracker.outputs.pictures.life.moments import LETTERS, Liquid, Moment, MomentKind, Steep, times
from tracker.outputs.view.heeds import heeds_in
from tracker.outputs.view.made import HerbView
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.caution_words import caution_lines
from tracker.outputs.words.flows import NO_NAMES
from tracker.outputs.words.heed_words import heed_sentence
from tracker.outputs.words.plant_names import called, herbs_named


class Life(msgspec.Struct, frozen=True):
    """A jar and the moments of its life, the earliest first.

    Attributes:
        herb: every herb in it, in words.
        name: what its maker calls it.
        steeps: when herb was in it; none of a blend.
        liquids: what it gave.
        held: since when the herb in it is on hold, where it is.
        holds: what must not be given out, is weak or past its date, in sentences.
        cautions: what to be careful of, in words.
    """

    code: str
    herb: str
    name: str
    herbs: tuple[HerbView, ...]
    today: date
    moments: tuple[Moment, ...]
    steeps: tuple[Steep, ...] = ()
    liquids: tuple[Liquid, ...] = ()
    held: date | None = None
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

    def share(self, day: date) -> float:
        """Where a day lies in the picture, 0 to 1."""
        return (day - self.first).days / max((self.last - self.first).days, 1)

    @property
    def in_words(self) -> str:
        """The picture in words, for people who cannot see it, with what is to be heeded."""
        return " ".join([self.days_in_words, *self.heeds])

    @property
    def days_in_words(self) -> str:
        """The days of it in words."""
        said = [
            f"{one.said}{' ' if one.is_known else ', '}{one.days}"
            if one.kind != "today"
            else f"today is {short_day(one.first)}"
            for one in self.moments
            if one.kind in LETTERS
        ]
        return "; ".join([*said, *self.often]) + "."

    @property
    def often(self) -> list[str]:
        """What was done often, counted: `shaken 4 times`."""
        counts = [(len(self.of("shaken")), "shaken"), (len(self.of("dispensed")), "some given out")]
        return [f"{what} {times(number)}" for number, what in counts if number]

    @property
    def heeds(self) -> list[str]:
        """What not to give out, and what to be careful of, as sentences."""
        return [f"{text.removesuffix('.')}." for text in (*self.holds, *self.cautions)]


def life(
    view: ThingView,
    entries: Sequence[Entry],
    today: date,
    names: Mapping[str, str] = NO_NAMES,
    plant_names: PlantNames = "common",
) -> Life:
    """The life of a jar or a blend, or of what is of one, as known on a day.

    Args:
        view: the thing as it stood on that day.
        entries: every line about its jar or blend; corrections and strikes are applied here.
        today: the maker's day.
        names: the codes of what was added, by `code_key`.
        plant_names: what its maker goes by.
    """
    row, settled = view.row, settle(entries).entries
    liquids = tuple(liquids_of(view, settled, today))
    found = list(moments_of(view, settled, today, names, liquids))
    order, heeds = list(LETTERS), heeds_in(view)
    apart = [heed_sentence(one) for one in heeds if one.caution is not None and not one.is_whole]
    return Life(
        row.code,
        herbs_named(row.herbs),
        called(row.herbs, plant_names),
        row.herbs,
        today,
        tuple(
            sorted(
                found,
                key=lambda one: (one.first, order.index(one.kind) if one.kind in LETTERS else -1),
            )
        ),
        tuple(_steeps(found)),
        liquids,
        row.hold.since.earliest if row.hold is not None and row.is_macerating else None,
        tuple(heed_sentence(one) for one in heeds if one.caution is None),
        (*apart, *caution_lines(view.cautions)),
    )


def _steeps(moments: Iterable[Moment]) -> Iterable[Steep]:
    """Each steep: the first from the charge, a later one from its own day, up to the next."""
    every = list(moments)
    begun = sorted(one.last for one in every if one.kind in ("charged", "again"))
    over: tuple[MomentKind, ...] = ("pressed", "split", "joined", "discarded", "given out")
    ended = sorted(one.first for one in every if one.kind in over)
    for number, first in enumerate(begun):
        last = ended[number] if number < len(ended) else None
        yield Steep(first, None if last is None else max(first, last))


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
        "steeps": [
            {"from": steep.begun.isoformat(), "to": iso(steep.ended)} for steep in one.steeps
        ],
        "liquids": [
            {
                "code": liquid.code,
                "from": liquid.begun.isoformat(),
                "gone": iso(liquid.gone),
                "good_through": iso(liquid.last),
                "on_hold_since": iso(liquid.held),
            }
            for liquid in one.liquids
        ],
        "holds": list(one.holds),
        "cautions": list(one.cautions),
    }
