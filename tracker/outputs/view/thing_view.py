"""One thing as every output reads it: reckoned once, typed, and put in words elsewhere.

`RowView` is what a row of a list needs, and cheap; `ThingView` is everything, and holds the row.
"""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Literal

import msgspec

from tracker.core.practice.practice import Practice, Way
from tracker.core.practice.shake_plan import ShakePlan
from tracker.core.reckoning import amounts, keeps
from tracker.core.reckoning.amounts import Band
from tracker.core.reckoning.double_extract import NextOfDouble, next_of_double
from tracker.core.reckoning.ratios import Ratio, ratio_of
from tracker.core.reckoning.strength import mixture_in
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import DROP_ML, Basis, Poured
from tracker.core.shelf.end import End, ended_how
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.fill import Fill
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.hold import Look
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.jar import Opened as JarOpened
from tracker.core.shelf.thing import Thing, ThingKind, extract_of
from tracker.core.values.times import Period, When
from tracker.outputs.view.liquid import (
    BottleView,
    ExtractView,
    HoldView,
    InStock,
    WeakView,
    bottle_view,
    extract_view,
    hold_of,
    stock_state,
    weak_of,
)
from tracker.outputs.view.made import (
    HerbView,
    Makeup,
    Strength,
    herbs_of,
    makeup_of,
    strength_of,
)

if TYPE_CHECKING:
    from tracker.core.menstruum.mixture import Mixture
    from tracker.core.reckoning.cautions import Caution
    from tracker.core.reckoning.fortification import Keeping
    from tracker.core.reckoning.likely_yield import Likely

State = InStock | Literal["macerating", "ready", "pressed", "split", "joined", "given out"]


class Days(msgspec.Struct, frozen=True):
    """A number of days, from the least to the most it can be."""

    least: int
    most: int


class RowView(msgspec.Struct, frozen=True):
    """What a row of a list says of a jar, extract, blend or bottle.

    Attributes:
        id: of the event that opened the jar or blend.
        herbs: every herb, the heaviest first.
        poured: what was poured into it, as it went in.
        begun: when there was first anything of the jar or blend.
        charged: None of a blend.
        pressed: when the liquid was pressed, drawn off or blended; of a jar, its last steep.
        end: how the steep ended, once it has; None of a blend.
        charge_guessed: whether the charge is a guess at a jar that was found.
        press_from: the earliest day to press; None of a blend, or where nobody knows.
        longest: the last day the herb should stay in, where there is one.
        days_on_herb: None where nobody knows.
        look_again: the day the last look named to look again; None once the steep is over.
        good_through: the last good day, of a bottle its own; None where nobody knows.
        volume_ml: in a jar, in bulk, or in a bottle; of a jar that is done, all that is left.
        simple_strength_pct_vol: volumes simply added.
        belongs_to: a reference of whose it is.
        weak: that it is too weak to keep, where it is.
        way, steep_way: how its jar is made, and the steep it is or is from; None of a blend.
    """

    id: str
    code: str
    kind: ThingKind
    state: State
    herbs: tuple[HerbView, ...]
    preparation: str
    poured: tuple[Poured, ...]
    way: Way | None
    steep_way: Way | None
    ratio: Ratio | None
    strength: Strength | None
    simple_strength_pct_vol: float | None
    begun: When
    charged: When | None
    charge_guessed: bool
    pressed: When | None
    end: End | None
    press_from: date | None
    longest: date | None
    days_on_herb: Days | None
    look_again: date | None
    good_through: date | None
    days_left: int | None
    volume_ml: float
    hold: HoldView | None
    place: str | None
    belongs_to: str | None
    weak: WeakView | None

    @property
    def is_macerating(self) -> bool:
        """Whether it is a jar with its herb in."""
        return self.state in ("macerating", "ready")

    @property
    def is_ready(self) -> bool:
        """Whether it is a jar whose minimum is over and whose herb is in."""
        return self.state == "ready"

    @property
    def is_recalled(self) -> bool:
        """Whether it holds some of a lot that was called back."""
        return self.hold is not None and self.hold.kind == "recall"


class SteepView(msgspec.Struct, frozen=True):
    """The maceration a thing is or came from.

    Attributes:
        since: day 0 of a later steep; None in the first.
        again: whether this steep is of old marc.
        marc_g: herb that lies in the jar.
        menstruum_ml: the liquid on it, as hold-back is counted.
        fill: the last reading of what the jar stood at.
        possible: what pressing may give by the handbook.
        most_ml: the most that can be pressed.
        held_ml_per_g: what the marc held back, once it is pressed.
        pressing: the id of the extract the last steep gave.
        likely: the same by each method, by the maker's own pressings where there are some.
        next_of_double: what a double extract wants once its herb is out.
    """

    opened: JarOpened
    since: When | None
    again: bool
    steeps: int
    least: Period | None
    longest: Period | None
    herb_added: When | None
    shakes: int
    last_shaken: When | None
    plan: ShakePlan
    look: Look | None
    herb_g: float | None
    marc_g: float | None
    menstruum_ml: float
    fill: Fill | None
    lots: tuple[str, ...]
    jar_ml: float | None
    lid: str | None
    barrier: str | None
    ratio_meant: str | None
    ratio_meant_basis: Basis
    possible: Band
    most_ml: float | None
    held_ml_per_g: float | None
    pressing: str | None
    likely: "tuple[Likely, ...]"
    next_of_double: NextOfDouble | None


class ThingView(msgspec.Struct, frozen=True):
    """Everything reckoned of a jar, extract, blend or bottle.

    Attributes:
        steep: None of a blend.
        extract: what it is or is of; of a pressed jar what that gave.
        extracts: every extract there is to say something of: its own, or all of a jar.
        bottle: of a bottle alone.
        cautions: the gravest first, each with its herb and source.
        cautions_apart: those of an extract or a bottle in it alone, with its code.
        keeping: whether it is likely to keep; None of what keeps by other means than spirit.
        past_date_why: why something past its date went into it.
        of_one_herb: whether it is a blend in which extracts of several steeps of a herb met.
    """

    row: RowView
    made: Makeup
    steep: SteepView | None
    extract: ExtractView | None
    extracts: tuple[ExtractView, ...]
    bottle: BottleView | None
    cautions: "tuple[Caution, ...]"
    cautions_apart: "tuple[tuple[str, Caution], ...]"
    keeping: "Keeping | None"
    past_date_why: str | None
    of_one_herb: bool
    flags: tuple[Flag, ...]

    @property
    def weak_since(self) -> date | None:
        """The day it became too weak to keep, where it is and somebody knows."""
        return None if self.row.weak is None else self.row.weak.since


def row_of(thing: Thing, practice: Practice, today: date) -> RowView:
    """What a row of a list says of a thing, on a day."""
    return _row(thing, practice, today, mixture_in(thing.made))


def _row(thing: Thing, practice: Practice, today: date, mixed: "Mixture | None") -> RowView:
    """The same, of a thing whose liquid was mixed already."""
    batch, jar, made = thing.batch, thing.jar, thing.made
    extract = _extract(thing)
    liquid = _liquid(thing)
    last = keeps.good_through(liquid, practice)
    return RowView(
        id=batch.id,
        code=thing.code,
        kind=thing.kind,
        state=_state(thing, practice, today),
        herbs=herbs_of(batch, made),
        preparation=batch.preparation,
        poured=made.pours,
        way=None if jar is None else jar.way,
        steep_way=None if jar is None else (thing.extract or jar.pressing or jar).steep_way,
        ratio=ratio_of(thing),
        strength=strength_of(made, mixed),
        simple_strength_pct_vol=amounts.simple_strength_pct_vol(made),
        begun=batch.begun,
        charged=None if jar is None else jar.charged,
        charge_guessed=jar is not None and jar.charge_guessed,
        pressed=None if extract is None else extract.pressed,
        end=None if jar is None else jar.end,
        press_from=None if jar is None else amounts.earliest_press(jar),
        longest=None if jar is None else amounts.longest_day(jar),
        days_on_herb=None if jar is None else days_on_herb(jar, today),
        look_again=_look_again(thing),
        good_through=last,
        days_left=None if last is None else (last - today).days,
        volume_ml=_volume_ml(thing),
        hold=hold_of(liquid),
        place=_place(thing),
        belongs_to=thing.belongs_to,
        weak=weak_of(liquid, practice, today),
    )


def view_of(
    thing: Thing,
    practice: Practice,
    today: date,
    *,
    alike: Sequence[Jar] = (),
    flags: Sequence[Flag] = (),
) -> ThingView:
    """Everything reckoned of a thing.

    Args:
        thing: the jar, extract, blend or bottle.
        practice: the rules in force.
        today: the maker's day.
        alike: earlier jars of its herb, for what pressing may give.
        flags: what does not fit about its jar beside what is on the jar itself.
    """
    # The tables of plants load slowly, and a row needs none of them.
    from tracker.core.reckoning.fortification import keeping_of
    from tracker.outputs.view.cautions_in import cautions_apart, cautions_in

    batch, jar, extract = thing.batch, thing.jar, _extract(thing)
    shown = batch.extracts if thing.extract is None else [thing.extract]
    bottle, made = thing.bottle, makeup_of(thing.made)
    return ThingView(
        row=_row(thing, practice, today, made.mixed),
        made=made,
        steep=None if jar is None else _steep(jar, extract, alike),
        extract=None if extract is None else extract_view(batch, extract, practice, today),
        extracts=tuple(extract_view(batch, one, practice, today) for one in shown),
        bottle=None
        if bottle is None or thing.extract is None
        else bottle_view(batch, thing.extract, bottle, practice, today),
        cautions=cautions_in(thing),
        cautions_apart=cautions_apart(thing),
        keeping=keeping_of(batch, practice, extract, bottle),
        past_date_why=None if jar is None else jar.past_date_why,
        of_one_herb=isinstance(batch, Blend) and batch.of_one_herb,
        flags=(*(flag for flag in flags if flag.event == batch.id), *batch.flags),
    )


def _liquid(thing: Thing) -> Thing:
    """The thing, or what a pressed jar gave."""
    extract = _extract(thing)
    return thing if extract is None or thing.extract else extract_of(thing.batch, extract)


def _steep(jar: Jar, extract: Extract | None, alike: Sequence[Jar]) -> SteepView:
    from tracker.core.reckoning.likely_yield import likely_by_method

    return SteepView(
        opened=jar.opened,
        since=jar.since,
        again=jar.again,
        steeps=jar.steeps,
        least=jar.least,
        longest=jar.longest,
        herb_added=jar.herb_added,
        shakes=jar.shakes,
        last_shaken=jar.last_shaken,
        plan=jar.shake,
        look=jar.look,
        herb_g=jar.herb_g,
        marc_g=jar.marc_g,
        menstruum_ml=amounts.menstruum_ml(jar),
        fill=jar.fills[-1] if jar.fills else None,
        lots=jar.lots,
        jar_ml=jar.jar_ml,
        lid=jar.lid,
        barrier=jar.barrier,
        ratio_meant=jar.ratio_meant,
        ratio_meant_basis=jar.ratio_basis,
        possible=amounts.possible_ml(jar, None if extract is None else extract.how),
        most_ml=amounts.hard_bound_ml(jar),
        held_ml_per_g=amounts.held_ml_per_g(jar),
        pressing=None if jar.pressing is None else jar.pressing.id,
        likely=likely_by_method(jar, alike) if jar.is_macerating else (),
        next_of_double=next_of_double(jar),
    )


def _extract(thing: Thing) -> Extract | None:
    """The extract a thing is or is of; of a pressed jar the one it gave."""
    return thing.extract or (None if thing.jar is None else thing.jar.pressing)


def _state(thing: Thing, practice: Practice, today: date) -> State:
    jar = thing.jar
    if jar is None or thing.extract is not None:
        return stock_state(thing, practice, today)
    if jar.end is not None:
        return ended_how(jar.end)
    return "ready" if amounts.is_ready(jar, today) else "macerating"


def days_on_herb(jar: Jar, today: date) -> Days | None:
    """The days of the steep to its end, or to today."""
    found = amounts.days_on_herb(jar, today)
    return None if found is None else Days(*found)


def _look_again(thing: Thing) -> date | None:
    """The day named at the last look at a jar with its herb in, or at a liquid that is left."""
    if thing.extract is not None:
        is_left = thing.extract.left_ml >= DROP_ML
        look = thing.extract.look if is_left else None
    else:
        look = thing.jar.look if thing.jar is not None and thing.jar.is_macerating else None
    return None if look is None else look.again_on


def _volume_ml(thing: Thing) -> float:
    if thing.bottle is not None:
        return thing.bottle.volume_ml
    if thing.extract is not None:
        return thing.extract.volume_ml
    if thing.jar is None or not thing.jar.is_macerating:
        return sum(extract.left_ml for extract in thing.batch.extracts)
    return amounts.poured_ml(thing.jar)


def _place(thing: Thing) -> str | None:
    if thing.extract is not None:
        return thing.extract.place
    return None if thing.jar is None else thing.jar.place
