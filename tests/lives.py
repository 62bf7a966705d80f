"""Lives of jars for the tests: small factories, and Hypothesis strategies of whole books.

Every plant is real; every code, place and maker is invented.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta, timezone
from typing import get_args

from hypothesis import strategies as st
from msgspec.structs import replace

from tests.by_type import fields_by_type
from tracker.core.facts.amendments import Corrected, Held, Labelled, Noted, Released, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Counted,
    Diluted,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Pressed,
    Refilled,
    Restored,
    Settled,
)
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import (
    Charged,
    DrawnOff,
    Found,
    HerbAdded,
    Joined,
    LookedAt,
    Moved,
    Recharged,
    Shaken,
    Split,
    SplitPart,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.kinds import AnyFact
from tracker.core.facts.lots import Bought, Recalled
from tracker.core.facts.ties import children
from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.replay.replay import replay
from tracker.core.shelf.jar import Jar
from tracker.core.values.text import says_something
from tracker.core.values.times import FIRST_YEAR_READ, LAST_YEAR_READ, Precision, When

CET = timezone(timedelta(hours=1))
DAY_ONE = datetime(2025, 3, 3, 9, 0, tzinfo=CET)
KITCHEN, CELLAR = "kitchen-anna", "cellar-bo"


# Factories


def on(day: str | date, precision: Precision = "day") -> When:
    """A day, or the range that begins with it, in a zone an hour east of Greenwich."""
    first = date.fromisoformat(day) if isinstance(day, str) else day
    return When(datetime(first.year, first.month, first.day, tzinfo=CET), precision)


def at(text: str) -> When:
    """An exact instant, written with its offset."""
    return When(datetime.fromisoformat(text))


def spirit(volume_ml: float = 500.0, ethanol_pct_vol: float = 45.0) -> Pour:
    """Ethanol and water."""
    return Pour(liquid="ethanol", volume_ml=volume_ml, ethanol_pct_vol=ethanol_pct_vol)


def a_charge(**changes: object) -> Charged:
    """100 g of dried flower in 500 ml of 45 % spirit, three months at least.

    Dried herb is stated to have no water here: then what was poured is all there is.
    """
    is_dried = changes.get("form", "dried") == "dried"
    usual = Charged(
        code="CAOF-25-01",
        herb="Calendula officinalis",
        part="flower",
        form="dried",
        herb_g=100.0,
        herb_water_pct_mass=0.0 if is_dried else None,
        pours=(spirit(),),
        preparation="spirit on dried herb",
        least="P3M",
        shake=(ShakePhase(1, 14), ShakePhase(7, until_ready=True)),
    )
    return replace(usual, **changes)


@dataclass
class Pen:
    """Writes entries as one writer does: each numbered, each a minute after the last."""

    source: str = KITCHEN
    recorded: datetime = datetime(2025, 3, 3, 8, 0, tzinfo=UTC)
    entries: list[Entry] = field(default_factory=list)

    def write(self, fact: AnyFact, when: When | str, event_id: str | None = None) -> Entry:
        """One more entry, known by its number unless an id is given."""
        self.recorded += timedelta(minutes=1)
        number = len(self.entries) + 1
        entry = Entry(
            event_id or f"{self.source}-{number:04d}",
            self.source,
            number,
            getattr(fact, "code", "CAOF-25-01"),
            on(when) if isinstance(when, str) else when,
            self.recorded,
            fact,
        )
        self.entries.append(entry)
        return entry


@dataclass
class OneJar:
    """One jar's life in the order it is told, ready to replay."""

    pen: Pen = field(default_factory=Pen)
    charge: Entry = field(init=False)
    pressing: Entry | None = None

    @classmethod
    def charged(cls, when: When | str = "2025-03-03", **changes: object) -> "OneJar":
        """A jar charged on that day."""
        one = cls()
        one.charge = one.pen.write(a_charge(**changes), when)
        return one

    @property
    def entries(self) -> list[Entry]:
        """All that was written so far."""
        return self.pen.entries

    @property
    def jar(self) -> About:
        """How an event names the jar."""
        return About(jar=self.charge.id)

    def extract(self, bottle: int | None = None) -> About:
        """How an event names its extract, or a bottle of it."""
        assert self.pressing is not None
        return About(jar=self.charge.id, extract=self.pressing.id, bottle=bottle)

    def press(self, when: When | str = "2025-06-03", ml: float = 370.0, **more: object) -> Entry:
        """Press it."""
        fact = Pressed(about=self.jar, letter="A", volume_ml=ml, keeps="P12M")
        self.pressing = self.pen.write(replace(fact, **more), when)
        return self.pressing

    def bottle(self, when: When | str, *runs: tuple[int, float], first: int = 1) -> Entry:
        """Fill runs of (count, size in ml), numbered on from `first`."""
        filled = []
        for count, size_ml in runs:
            filled.append(BottleRun(size_ml=size_ml, count=count, first=first))
            first += count
        return self.then(Bottled(about=self.extract(), bottles=tuple(filled)), when)

    def shake(self, *days: When | str) -> None:
        """Shake it on each of these days."""
        for day in days:
            self.then(Shaken(jars=(self.charge.id,)), day)

    def then(self, fact: AnyFact, when: When | str) -> Entry:
        """Whatever happens next."""
        return self.pen.write(fact, when)

    def correct(self, entry: Entry, values: dict[str, object]) -> Entry:
        """Give an earlier entry other values."""
        fact = Corrected(event=entry.id, jars=entry.jars, set=values, why="misread")
        return self.then(fact, "2026-01-01")

    def strike(self, entry: Entry) -> Entry:
        """Take an earlier entry out."""
        return self.then(Struck(event=entry.id, jars=entry.jars, why="never was"), "2026-01-01")

    def now(self) -> Jar:
        """The jar as it stands after all of it."""
        return jar_after(self.entries, self.charge.id)


def jar_after(entries: Iterable[Entry], jar_id: str) -> Jar:
    """One jar as these entries leave it."""
    return replay(entries).jars[jar_id]


# Strategies of single facts: every field of every kind, within its limits

_BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
_TEXT = st.characters(
    codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp"), exclude_characters=_BIDI
)
ids = st.uuids(version=4).map(str)
texts = st.text(_TEXT, max_size=20).filter(says_something)
names = st.text(_TEXT, min_size=1, max_size=20).filter(says_something)
iso_periods = st.sampled_from(["P3M", "P28D", "P1M14D", "P0D", "P1Y", "P6W"])
amounts = st.floats(min_value=0.001, max_value=1_000_000)
phases = st.builds(
    ShakePhase, st.integers(1, 60), st.none() | st.integers(1, 400), until_ready=st.booleans()
)
money = st.decimals(0, 999_999, places=2).map(str)
pours = st.builds(
    Pour,
    liquid=st.sampled_from(["ethanol", "water", "glycerin", "vinegar", "honey", "oil"]),
    volume_ml=amounts,
    ethanol_pct_vol=st.floats(0, 100),
    name=st.none() | names,
    written=st.none() | texts,
    lot=st.none() | ids,
    paid=st.none() | money,
    known=st.sampled_from(["weighed", "measured", "by eye", "reckoned", "unknown"]),
)
runs = st.builds(
    BottleRun, size_ml=amounts, count=st.integers(1, 10_000), first=st.integers(1, 999),
    written=st.none() | texts, paid_each=st.none() | money,
)  # fmt: skip
abouts = st.builds(About, jar=ids, extract=st.none() | ids, bottle=st.none() | st.integers(1, 99))
portions = st.builds(Portion, about=abouts, volume_ml=amounts, written=st.none() | texts)
split_parts = st.builds(SplitPart, code=names, share=st.floats(0.01, 1), jar_ml=st.none() | amounts)
days = st.dates(date(FIRST_YEAR_READ, 1, 1), date(LAST_YEAR_READ, 12, 31))
json_values = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.floats(-1e9, 1e9) | texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
    max_leaves=6,
)

# What cannot be read off a field's type: nested shapes, and texts that are more than text.
_BY_NAME: dict[str, st.SearchStrategy[object]] = {
    "event": ids, "discard": ids, "about": abouts, "letter": st.sampled_from(["A", "B", "AA"]),
    "jars": st.lists(ids, min_size=1, max_size=4).map(tuple),
    "pours": st.lists(pours, min_size=1, max_size=3).map(tuple),
    "bottles": st.lists(runs, min_size=1, max_size=3).map(tuple),
    "shake": st.lists(phases, max_size=3).map(tuple),
    "into": st.lists(split_parts, min_size=1, max_size=3).map(tuple),
    "source": portions, "herb_lot": st.none() | ids, "herb_paid": st.none() | money,
    "paid": st.none() | money,
    "lots": st.lists(names, max_size=2).map(tuple),
    "set": st.dictionaries(names, json_values, min_size=1, max_size=4),
    "least": iso_periods, "keeps": iso_periods, "longest": st.none() | iso_periods,
    "why": names, "code": names,
    "by": st.none() | names, "note": st.none() | texts,
    "again_on": st.none() | days, "until": days, "first": days, "last": days,
    "charged_from": st.none() | days,
    "herb": names, "written": st.none() | texts, "herb_written": st.none() | texts,
}  # fmt: skip
_OF_PARTS: dict[type[AnyFact], dict[str, st.SearchStrategy[object]]] = {
    Joined: {"parts": st.lists(ids, min_size=2, max_size=4).map(tuple)},
    Blended: {"parts": st.lists(portions, min_size=2, max_size=4).map(tuple)},
}
KINDS: tuple[type[AnyFact], ...] = get_args(AnyFact)


def facts_of(kind: type[AnyFact]) -> st.SearchStrategy[AnyFact]:
    """Any fact of one kind: each field by name where it has a strategy, else by its type."""
    own = {name: one for name, one in _BY_NAME.items() if name in kind.__struct_fields__}
    return st.builds(kind, **fields_by_type(kind) | own | _OF_PARTS.get(kind, {}))


_FIRST, _LAST = datetime(1990, 1, 1), datetime(2090, 1, 1)  # noqa: DTZ001 - the zone is drawn
offsets = st.integers(-12 * 4, 14 * 4).map(lambda quarters: timedelta(minutes=15 * quarters))
instants = st.datetimes(_FIRST, _LAST, timezones=offsets.map(timezone))
whens = st.builds(When, instants, st.sampled_from(get_args(Precision)))


def entries_of(kind: type[AnyFact]) -> st.SearchStrategy[Entry]:
    """Any entry of one kind, by a writer, about a subject."""
    recorded = st.datetimes(_FIRST, _LAST, timezones=st.just(UTC))
    writers, numbers = st.sampled_from([KITCHEN, CELLAR]), st.integers(1, 10**9)
    return st.builds(Entry, ids, writers, numbers, names, whens, recorded, facts_of(kind))


any_entry = st.sampled_from(KINDS).flatmap(entries_of)


# Strategies of whole books: what makers and their slips can bring about

# Round amounts meet each other often; a drop more or less than there is must happen too.
_round_ml = st.sampled_from([0.5, 50.0, 50.0, 49.98, 100.0, 100.0, 100.03, 250.0])
_ml = _round_ml | _round_ml | st.floats(0.01, 1200)
_all_or_part = st.none() | _ml
_NOTHING = "nothing-0000"  # an id that no event in any book has


@dataclass
class _Telling:
    """A book while Hypothesis makes it up."""

    draw: st.DrawFn
    pens: list[Pen]
    jars: list[str] = field(default_factory=list)
    lots: list[str] = field(default_factory=list)
    told: list[Entry] = field(default_factory=list)

    def any_when(self) -> When:
        day = DAY_ONE.date() + timedelta(days=self.draw(st.integers(-20, 500)))
        how = st.sampled_from(["day"] * 6 + ["time"] * 3 + list(get_args(Precision)))
        precision: Precision = self.draw(how)
        start = on(day).start + timedelta(hours=18 if precision == "time" else 0)
        return When(start, precision)

    def ids_of(self, *kinds: type[AnyFact], jar: str | None = None) -> list[str]:
        found = [one for one in self.told if isinstance(one.fact, kinds)]
        return [one.id for one in found if jar is None or jar in one.jars]

    def about(self, *, often_extract: bool = True) -> About:
        jar = self.draw(st.sampled_from(self.jars))
        extracts = self.ids_of(Pressed, DrawnOff, Blended, jar=jar)
        ways = [None, *extracts] if not often_extract else [*extracts * 5, None, _NOTHING]
        extract = self.draw(st.sampled_from(ways))
        bottle = self.draw(st.sampled_from([None, None, 1, 2, 3])) if extract else None
        return About(jar=jar, extract=extract, bottle=bottle)

    def any_code(self) -> str:
        return f"CAOF-25-{self.draw(st.integers(1, 3)):02d}"

    def any_lot(self) -> str | None:
        return self.draw(st.sampled_from([None, _NOTHING, *self.lots]))

    def any_fact(self) -> AnyFact:
        return _MAKE[self.draw(st.sampled_from(_OFTEN))](self)

    def write(self, fact: AnyFact) -> Entry:
        pen = self.draw(st.sampled_from(self.pens))
        entry = pen.write(fact, self.any_when())
        self.told.append(entry)
        if isinstance(fact, Charged | Found | Joined | Blended):
            self.jars.append(entry.id)
        elif isinstance(fact, Split):
            self.jars += children(entry.id, fact)
        elif isinstance(fact, Bought):
            self.lots.append(entry.id)
        return entry


def _charged(told: _Telling) -> AnyFact:
    poured = replace(spirit(told.draw(_ml)), lot=told.any_lot())
    return a_charge(code=told.any_code(), pours=(poured,), lid=told.draw(_lids))


def _shaken(told: _Telling) -> AnyFact:
    some = st.lists(st.sampled_from(told.jars), min_size=1, max_size=4, unique=True)
    return Shaken(jars=tuple(told.draw(some)))


def _pressed(told: _Telling) -> AnyFact:
    jar = About(jar=told.draw(st.sampled_from(told.jars)))
    return Pressed(about=jar, letter="A", volume_ml=told.draw(_ml), keeps="P12M")


def _bottled(told: _Telling) -> AnyFact:
    draw, extract = told.draw, replace(told.about(), bottle=None)
    sizes = draw(st.lists(_ml, min_size=1, max_size=2))
    first = draw(st.sampled_from([1, 1, 2, 3]))
    runs_ = [BottleRun(size_ml=ml, count=1, first=first + i) for i, ml in enumerate(sizes)]
    return Bottled(about=extract, bottles=tuple(runs_))


def _restored(told: _Telling) -> AnyFact:
    about = told.about()
    discards = told.ids_of(Discarded, jar=about.jar) or [_NOTHING]
    discard = told.draw(st.sampled_from(discards))
    gone = next((one.fact.about for one in told.told if one.id == discard), about)
    return Restored(about=gone, discard=discard)


def _corrected(told: _Telling) -> AnyFact:
    target = told.draw(st.sampled_from(told.told))
    values = {"time": told.any_when().start.isoformat()}
    values |= told.draw(st.sampled_from([{}, {"note": "read again"}]))
    if hasattr(target.fact, "volume_ml"):
        values |= {"volume_ml": told.draw(_ml)}
    return Corrected(event=target.id, jars=target.jars, set=values, why="misread")


def _struck(told: _Telling) -> AnyFact:
    target = told.draw(st.sampled_from(told.told))
    event = told.draw(st.sampled_from([target.id] * 5 + [_NOTHING]))
    return Struck(event=event, jars=target.jars, why="never was")


def _portion(told: _Telling) -> Portion:
    return Portion(about=told.about(), volume_ml=told.draw(_ml))


def _split(told: _Telling) -> AnyFact:
    shares = told.draw(st.sampled_from([(0.5, 0.5), (0.25, 0.25), (0.75, 0.5), (1.0,)]))
    into = tuple(SplitPart(code=told.any_code(), share=one) for one in shares)
    return Split(about=told.about(often_extract=False), into=into)


def _joined(told: _Telling) -> AnyFact:
    two = st.lists(st.sampled_from([*told.jars, _NOTHING]), min_size=2, max_size=3)
    return Joined(code=told.any_code(), parts=tuple(told.draw(two)))


def _recharged(told: _Telling) -> AnyFact:
    return Recharged(
        about=told.about(),
        herb="Calendula officinalis",
        form="dried",
        herb_g=50.0,
        volume_ml=told.draw(_all_or_part),
        least="P14D",
    )


def _poured(told: _Telling) -> tuple[Pour]:
    return (replace(spirit(told.draw(_ml)), lot=told.any_lot()),)


_lids = st.sampled_from([None, "glass", "metal"])
_MAKE: dict[type[AnyFact], Callable[[_Telling], AnyFact]] = {
    Charged: _charged,
    Shaken: _shaken,
    ToppedUp: lambda one: ToppedUp(
        about=one.about(often_extract=False), pours=(spirit(one.draw(_ml)),)
    ),
    LookedAt: lambda one: LookedAt(
        about=one.about(), verdict=one.draw(st.sampled_from(["fine", "hold"])), signs=("smell",)
    ),
    Moved: lambda one: Moved(about=one.about(), place="north sill", lid=one.draw(_lids)),
    Pressed: _pressed,
    Filtered: lambda one: Filtered(
        about=one.about(), volume_ml=one.draw(_ml), before_ml=one.draw(_all_or_part)
    ),
    Bottled: _bottled,
    Dispensed: lambda one: Dispensed(about=one.about(), volume_ml=one.draw(_all_or_part)),
    Counted: lambda one: Counted(about=one.about(), volume_ml=one.draw(st.just(0.0) | _ml)),
    Discarded: lambda one: Discarded(
        about=one.about(), volume_ml=one.draw(_all_or_part), why="mould"
    ),
    Restored: _restored,
    Noted: lambda one: Noted(about=one.about(), note="smells of hay"),
    Found: lambda one: Found(
        code=one.any_code(), herb="Salvia officinalis", form="dried", volume_ml=one.draw(_ml)
    ),
    HerbAdded: lambda one: HerbAdded(
        about=one.about(often_extract=False),
        herb="Calendula officinalis",
        form=one.draw(st.sampled_from(["fresh", "dried"])),
        herb_g=one.draw(_ml),
    ),
    DrawnOff: lambda one: DrawnOff(
        about=one.about(often_extract=False), letter="B", volume_ml=one.draw(_ml), keeps="P6M"
    ),
    Recharged: _recharged,
    SteepedAgain: lambda one: SteepedAgain(
        about=one.about(often_extract=False), pours=_poured(one), least="P14D"
    ),
    Split: _split,
    Joined: _joined,
    Settled: lambda one: Settled(about=one.about(), volume_ml=one.draw(_ml)),
    MadeUp: lambda one: MadeUp(about=one.about(), pours=_poured(one), volume_ml=one.draw(_ml)),
    Diluted: lambda one: Diluted(
        about=one.about(), pours=_poured(one), volume_ml=one.draw(_all_or_part)
    ),
    Blended: lambda one: Blended(
        code="BLEND-25-01",
        parts=(_portion(one), _portion(one)),
        volume_ml=one.draw(_all_or_part),
    ),
    Refilled: lambda one: Refilled(about=one.about(), source=_portion(one)),
    Bought: lambda one: Bought(
        code="LOT-25-01", liquid="ethanol", volume_ml=one.draw(_ml), paid="14.00"
    ),
    Held: lambda one: Held(about=one.about(), why="cloudy"),
    Released: lambda one: Released(about=one.about(), why="clear again"),
    Recalled: lambda one: Recalled(
        about=About(jar=one.any_lot() or _NOTHING),
        jars=tuple(one.draw(st.lists(st.sampled_from(one.jars), max_size=2, unique=True))),
        why="the merchant called it back",
    ),
    Labelled: lambda one: Labelled(about=one.about(), lines=("CAOF-25-01", "Marigold")),
    Corrected: _corrected,
    Struck: _struck,
}
_OFTEN = [*_MAKE, *[Pressed, Bottled, Dispensed, Discarded, Restored, Filtered] * 2]


@st.composite
def books(draw: st.DrawFn, most: int = 16, *, amended: bool = True) -> list[Entry]:
    """Everything two writers recorded about up to three jars, right, wrong or impossible.

    No field holds what its class forbids; everything else may be as odd as people are.
    """
    told = _Telling(draw, [Pen(KITCHEN), Pen(CELLAR, datetime(2025, 3, 3, 8, 0, 30, tzinfo=UTC))])
    for _ in range(draw(st.integers(1, 2))):
        told.write(_charged(told))
    told.write(_pressed(told))
    for _ in range(draw(st.integers(0, most))):
        fact = told.any_fact()
        if amended or not isinstance(fact, Corrected | Struck):
            told.write(fact)
    return told.told
