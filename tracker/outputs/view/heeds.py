"""What to heed of a thing, the gravest first: one typed list that every output reads.

No words: `outputs/words/heed_words.py` has a mark and a sentence for each.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING, Final, Literal, NamedTuple, assert_never, get_args

import msgspec
from msgspec.structs import replace

from tracker.core.reckoning.signs import spoiling
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.hold import Look
from tracker.core.shelf.misfit import NotHeld
from tracker.core.values.times import When
from tracker.outputs.view.liquid import BottleView, ExtractView, HoldView, WeakView

if TYPE_CHECKING:  # a row needs none of the tables of plants
    from tracker.core.reckoning.cautions import Caution
    from tracker.outputs.view.thing_view import RowView, ThingView

# The gravest first: what harms at once, what must not be given out, what may have spoiled, how it
# is kept and handled, what some people have to know, what was done with it.
HeedKind = Literal[
    "poison", "external only", "not internal",
    "recalled", "on hold", "recalled lot",
    "spoilage", "weak", "past", "no date",
    "wet", "lid", "fire",
    "restricted", "caution", "care",
    "used late",
]  # fmt: skip
ORDER: Final[tuple[HeedKind, ...]] = get_args(HeedKind)

# Never left off, whatever the room.
GRAVE: Final[frozenset[HeedKind]] = frozenset(
    ("poison", "external only", "not internal", "recalled", "on hold", "recalled lot")
)


class Heed(msgspec.Struct, frozen=True):
    """One thing to heed.

    Attributes:
        codes: what it is true of: the thing, or those of its extracts and bottles alone.
        is_whole: whether all of the thing is meant.
        is_sure: whether that is known; a plant may be another one, a lid may be of bare metal.
        herb: the plant, of what is about a plant.
        of_several: whether there are other plants in it, so that this one has to be named.
        since: when it began, of a hold, a recall, a sign that was seen and a weak liquid.
        through: the last good day, of what is weak or past it.
        why: as the maker said it; empty where nothing was said.
        lot: the lot that was called back.
        signs: what was seen.
        hold: what keeps it from being given out.
        caution: what the tables say.
    """

    kind: HeedKind
    codes: tuple[str, ...] = ()
    is_whole: bool = True
    is_sure: bool = True
    herb: str | None = None
    of_several: bool = False
    since: When | date | None = None
    through: date | None = None
    why: str = ""
    lot: str | None = None
    signs: tuple[str, ...] = ()
    hold: HoldView | None = None
    caution: "Caution | None" = None

    @property
    def is_grave(self) -> bool:
        """Whether it is shown first, and whatever the room."""
        return self.kind in GRAVE

    @property
    def is_of_plant(self) -> bool:
        """Whether it is about a plant, so that it holds of all that is made of it."""
        return self.herb is not None


class _Part(NamedTuple):
    """A thing, or what is left of one in bulk or in a bottle; `is_dated`: it has a last day."""

    code: str
    hold: HoldView | None
    weak: WeakView | None
    last: date | None
    is_past: bool
    is_dated: bool
    is_bottle: bool


def heeds_in(view: "ThingView") -> tuple[Heed, ...]:
    """All there is to heed of a thing, the gravest first."""
    row = view.row
    several = len({one.herb for one in row.herbs}) > 1
    found = [_of_caution(one, row.code, several) for one in view.cautions]
    found += _apart(view)
    found += heeds_of_row(row, view.extracts, view.flags)
    if row.is_macerating and view.steep is not None:
        found += _seen(view.steep.look, row.code, is_whole=True)
    if view.past_date_why:
        found.append(Heed("used late", (row.code,), why=view.past_date_why))
    return _ordered(found)


def heeds_of_row(
    row: "RowView", extracts: Sequence[ExtractView] = (), flags: Iterable[Flag] = ()
) -> tuple[Heed, ...]:
    """What can be said of a row without the tables of plants, the gravest first.

    Args:
        row: the thing.
        extracts: what it is, or what it gave, with the bottles; without it the row stands for all.
        flags: what holds some of a lot called back and is on no hold.
    """
    parts = _parts(row, extracts)
    found = [*_grouped(row, parts), *_recalled_inside(row, parts, flags)]
    for extract in extracts:
        if extract.left_ml >= DROP_ML:
            code = row.code if row.kind == "bottle" else extract.code
            found += _seen(extract.look, code, is_whole=code == row.code)
    return _ordered(found)


def _ordered(found: Iterable[Heed]) -> tuple[Heed, ...]:
    return tuple(sorted(found, key=lambda one: (ORDER.index(one.kind), not one.is_sure)))


def _apart(view: "ThingView") -> Iterator[Heed]:
    """What some of it alone asks care for: there its plant is not the only one."""
    codes: dict[Caution, list[str]] = {}
    for code, one in view.cautions_apart:
        codes.setdefault(one, []).append(code)
    for one, named in codes.items():
        yield replace(_of_caution(one, "", several=True), codes=tuple(named), is_whole=False)


def _of_caution(one: "Caution", code: str, several: bool) -> Heed:
    return Heed(
        _kind_of(one),
        (code,),
        is_sure=not one.is_guess,
        herb=one.herb,
        of_several=several,
        caution=one,
    )


def _kind_of(one: "Caution") -> HeedKind:
    match one.kind:
        case "plant":
            return one.use or one.level or "caution"
        case "fire" | "lid" | "wet" | "care":
            return one.kind
        case _:
            assert_never(one.kind)


def _parts(row: "RowView", extracts: Iterable[ExtractView]) -> list[_Part]:
    """What is left of a thing: a jar with its herb in, bulk and bottles; at the least itself."""
    own = _own_part(row)
    if row.kind == "bottle":
        return [own]
    left = [one for extract in extracts for one in _left(extract)]
    return [own, *left] if row.is_macerating or not left else left


def _own_part(row: "RowView") -> _Part:
    is_stock = row.state in ("in stock", "expired")
    is_dated = is_stock or (row.state == "pressed" and row.volume_ml >= DROP_ML)
    is_past = row.days_left is not None and row.days_left < 0
    weak = row.weak if is_dated or row.is_macerating else None
    return _Part(row.code, row.hold, weak, row.good_through, is_past, is_dated, False)


def _left(extract: ExtractView) -> Iterator[_Part]:
    if extract.volume_ml >= DROP_ML:
        yield _of_liquid(extract)
    for one in extract.bottles:
        if one.volume_ml >= DROP_ML and one.state != "discarded":
            yield _of_liquid(one)


def _of_liquid(one: ExtractView | BottleView) -> _Part:
    is_past, is_bottle = one.state == "expired", isinstance(one, BottleView)
    return _Part(one.code, one.hold, one.weak, one.good_through, is_past, True, is_bottle)


def _grouped(row: "RowView", parts: Sequence[_Part]) -> Iterator[Heed]:
    """What each part has to be heeded for, once for all that have it alike."""
    codes: dict[Heed, list[str]] = {}
    for part in parts:
        for one in _of_part(part):
            codes.setdefault(one, []).append(part.code)
    for one, named in codes.items():
        is_whole = len(named) == len(parts)
        hold = _as_given(one, row, parts, named)
        is_one_by_one = one.hold is not None and not one.hold.code
        of = (row.code,) if is_whole and not is_one_by_one else tuple(named)
        yield replace(one, codes=of, is_whole=is_whole, hold=hold)


def _as_given(
    one: Heed, row: "RowView", parts: Iterable[_Part], named: Sequence[str]
) -> HoldView | None:
    """The hold with what was given out while it was on, which is not alike in every bottle."""
    if one.hold is None:
        return None
    if row.hold is not None and row.hold.code in (one.hold.code, *named):
        return row.hold
    return next(part.hold for part in parts if part.code == named[0])


def _of_part(part: _Part) -> Iterator[Heed]:
    if (hold := part.hold) is not None:
        kind: HeedKind = "recalled" if hold.kind == "recall" else "on hold"
        is_own = part.is_bottle and hold.code == part.code
        put_on = "" if is_own else hold.code  # bottles held one by one for the same reason
        same = replace(hold, code=put_on, given_ml=0.0, given_on=None)
        yield Heed(kind, since=hold.since, why=hold.why, hold=same)
    if part.weak is not None:
        yield Heed("weak", since=part.weak.since, through=part.weak.through)
    if not part.is_dated:
        if part.weak is not None and part.weak.is_past:
            yield Heed("past", through=part.weak.through)
    elif part.last is None:
        yield Heed("no date")
    elif part.is_past:
        yield Heed("past", through=part.last)


def _recalled_inside(
    row: "RowView", parts: Sequence[_Part], flags: Iterable[Flag]
) -> Iterator[Heed]:
    """A lot that was called back, of which some is in it while nothing holds it."""
    for flag in flags:
        inside = flag.misfit
        if not isinstance(inside, NotHeld):
            continue
        named = [one.code for one in parts if one.code in inside.codes]
        if named or row.code in inside.codes:
            is_whole = row.code in inside.codes or len(named) == len(parts)
            codes = (row.code,) if is_whole else tuple(named)
            yield Heed("recalled lot", codes, is_whole, since=inside.recalled, lot=inside.lot)


def _seen(look: Look | None, code: str, *, is_whole: bool) -> list[Heed]:
    """Signs that call for a hold, where the last look was to watch them."""
    if look is None or look.verdict != "watch":
        return []
    signs = tuple(spoiling(look.signs))
    return [Heed("spoilage", (code,), is_whole, since=look.on, signs=signs)] if signs else []
