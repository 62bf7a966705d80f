"""Books in which every event could have been recorded, and a second reckoning of them.

Makes up lives of hundreds of events from bought lots, and keeps beside them an account of its
own in exact fractions: which part of every pour, herb and price is in which vessel, and which
has gone where. It shares no code with the core but the facts and the water a herb brings.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from random import Random

from dateutil.relativedelta import relativedelta

from tests.lives import Pen
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
    HerbAdded,
    Joined,
    Recharged,
    Split,
    SplitPart,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.kinds import AnyFact
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered
from tracker.core.herbs.water import WATER_KG_L
from tracker.core.shelf.codes import letter

Origin = tuple[str, int]  # the event that put it in, and its place there; the herb is 0
Amounts = dict[Origin, Fraction]
FIRST_DAY = date(2020, 3, 2)


@dataclass
class Vessel:
    """So much liquid, made of parts of origins, and the shares of their prices it carries."""

    ml: Fraction = Fraction(0)
    parts: Amounts = field(default_factory=lambda: defaultdict(Fraction))
    cost: Amounts = field(default_factory=lambda: defaultdict(Fraction))

    def take(self, ml: Fraction) -> "Vessel":
        """So much of it with its share of everything; less than nothing puts some in."""
        part = ml / self.ml if self.ml else Fraction(0)
        taken = self.share(part)
        self.ml -= taken.ml
        for mine, its in ((self.parts, taken.parts), (self.cost, taken.cost)):
            for origin, amount in its.items():
                mine[origin] -= amount
        return taken

    def share(self, part: Fraction) -> "Vessel":
        """A share of all it holds, which stays in it."""
        return Vessel(
            self.ml * part,
            defaultdict(Fraction, {one: much * part for one, much in self.parts.items()}),
            defaultdict(Fraction, {one: much * part for one, much in self.cost.items()}),
        )

    def put(self, other: "Vessel") -> None:
        """All of another goes into it."""
        self.ml += other.ml
        for mine, its in ((self.parts, other.parts), (self.cost, other.cost)):
            for origin, amount in its.items():
                mine[origin] += amount


@dataclass
class Extract(Vessel):
    """A vessel that can be filled into bottles."""

    about: About = field(default_factory=lambda: About(jar="nothing-0000"))
    keeps: date = FIRST_DAY
    bottles: dict[int, Vessel] = field(default_factory=dict)
    sizes: dict[int, Fraction] = field(default_factory=dict)
    bottle_keeps: dict[int, date] = field(default_factory=dict)


@dataclass
class Crock(Vessel):
    """A vessel with herb in it, until it ends."""

    id: str = ""
    ended: str | None = None
    marc: Vessel = field(default_factory=Vessel)
    till: date | None = None  # what comes off it is good for no longer

    def until(self, days: Iterable[date | None]) -> None:
        """Good through the earliest of these days at most."""
        self.till = min((day for day in (self.till, *days) if day is not None), default=None)


def f(number: float) -> Fraction:
    """A float as what it is exactly."""
    return Fraction(number)


@dataclass
class Life:
    """A book while it is made up, and the account kept beside it."""

    random: Random
    pen: Pen = field(default_factory=Pen)
    day: date = FIRST_DAY
    lots: dict[str, tuple[float, Fraction]] = field(default_factory=dict)  # left, price of one
    herb_lots: dict[str, tuple[float, Fraction]] = field(default_factory=dict)
    crocks: dict[str, Crock] = field(default_factory=dict)
    extracts: dict[str, Extract] = field(default_factory=dict)
    gone: dict[str, Vessel] = field(default_factory=lambda: defaultdict(Vessel))
    poured: Amounts = field(default_factory=dict)
    ethanol: dict[Origin, Fraction] = field(default_factory=dict)  # % vol of each pour
    price: dict[Origin, Fraction] = field(default_factory=dict)
    poured_of: list[date] = field(default_factory=list)  # till when the last extracts were good
    leaves: list[Entry] = field(default_factory=list)  # what nothing later depends on

    @property
    def entries(self) -> list[Entry]:
        return self.pen.entries

    def vessels(self) -> Iterable[Vessel]:
        """Everything that holds anything, or took anything away."""
        for crock in self.crocks.values():
            yield crock
            yield crock.marc
        for extract in self.extracts.values():
            yield extract
            yield from extract.bottles.values()
        yield from self.gone.values()

    # Recording

    def write(self, fact: AnyFact, event_id: str | None = None) -> Entry:
        self.day += timedelta(days=self.random.choice((0, 1, 1, 2)))
        return self.pen.write(fact, self.day.isoformat(), event_id)

    def next_id(self) -> str:
        return f"{self.pen.source}-{len(self.pen.entries) + 1:04d}"

    def amount(self, most: Fraction | float, least: float = 1.0) -> float:
        """Half millilitres: floats that are what they say."""
        steps = int(2 * most) - int(2 * least)
        return (int(2 * least) + self.random.randint(0, max(steps, 0))) / 2

    def money(self) -> str:
        return f"{self.random.randint(0, 9900) / 100:.2f}"

    def pours(self, event: str, vessel: Vessel, most: float) -> tuple[Pour, ...]:
        """One or two pours into a vessel: from lots, paid for, for nothing, out of extracts."""
        self.poured_of.clear()
        told = []
        for place in range(1, self.random.choice((1, 1, 2)) + 1):
            if self.random.random() < 0.15 and (of := self.out_of(vessel, most)):
                told.append(of)
                continue
            ml, lot, paid = self.amount(most, 10.0), None, None
            strong = float(self.random.choice((40, 45, 60, 70, 96)))
            is_water = self.random.random() < 0.15
            price = Fraction(0)
            if not is_water and self.lots and self.random.random() < 0.7:
                lot = self.random.choice(sorted(self.lots))
                price = self.lots[lot][1] * f(ml)
            elif not is_water:
                paid = self.money()
                price = Fraction(paid)
            liquid = "water" if is_water else "ethanol"
            told.append(
                Pour(
                    liquid=liquid,
                    volume_ml=ml,
                    ethanol_pct_vol=0.0 if is_water else strong,
                    lot=lot,
                    paid=paid,
                )
            )
            self.enter(event, place, f(ml), f(ml), price, vessel, bool(lot or paid))
            self.ethanol[event, place] = f(0.0 if is_water else strong)
        return tuple(told)

    def out_of(self, vessel: Vessel, most: float) -> Pour | None:
        """Some of another extract or bottle, with its share of all that it is made of."""
        found = self.any_stock()
        if found is None or found[1] is vessel:
            return None
        about, source = found
        ml = self.amount(min(source.ml, f(most)), 1.0)
        if f(ml) > source.ml:
            return None
        self.poured_of.append(self.keeps_of(about))
        vessel.put(source.take(f(ml)))
        return Pour(liquid="extract", volume_ml=ml, name="an extract", of=about)

    def herb(self, event: str, vessel: Vessel) -> dict[str, object]:
        """Some herb into a vessel: dried from a lot, or fresh, with its water, for money."""
        g = self.amount(120, 10.0)
        if self.herb_lots and self.random.random() < 0.7:
            lot = self.random.choice(sorted(self.herb_lots))
            price = self.herb_lots[lot][1] * f(g)
            water_ml = f(g * 10 / 100 / WATER_KG_L)  # dried herb: 10 %, common practice, no source
            self.enter(event, 0, f(g), water_ml, price, vessel, True)
            return {"form": "dried", "herb_g": g, "herb_lot": lot}
        pct, paid = 70.0, self.money()
        water_ml = f(g * pct / 100 / WATER_KG_L)
        self.enter(event, 0, f(g), water_ml, Fraction(paid), vessel, True)
        return {"form": "fresh", "herb_g": g, "herb_water_pct_mass": pct, "herb_paid": paid}

    def enter(
        self,
        event: str,
        place: int,
        amount: Fraction,
        ml: Fraction,
        price: Fraction,
        vessel: Vessel,
        is_priced: bool,
    ) -> None:
        """Something comes from outside into a vessel."""
        origin = (event, place)
        self.poured[origin] = amount
        vessel.ml += ml
        vessel.parts[origin] += amount
        if is_priced:
            self.price[origin] = price
            vessel.cost[origin] += 1

    # Choosing

    def steeping(self) -> list[Crock]:
        return [one for one in self.crocks.values() if one.ended is None and one.ml > 20]

    def stocked(self, least: float = 20.0) -> list[Extract]:
        return [one for one in self.extracts.values() if one.ml >= least]

    def some_bottle(self) -> tuple[Extract, int] | None:
        found = [
            (one, number)
            for one in self.extracts.values()
            for number, bottle in one.bottles.items()
            if bottle.ml >= 2
        ]
        return self.random.choice(found) if found else None

    def any_stock(self) -> tuple[About, Vessel] | None:
        """Bulk or a bottle of something, with enough in it."""
        if self.random.random() < 0.5 and (found := self.some_bottle()):
            extract, number = found
            about = About(jar=extract.about.jar, extract=extract.about.extract, bottle=number)
            return about, extract.bottles[number]
        if not (stocked := self.stocked()):
            return None
        one = self.random.choice(stocked)
        return one.about, one

    def keeps_of(self, about: About) -> date:
        extract = self.extracts[about.extract or ""]
        return extract.bottle_keeps.get(about.bottle or 0, extract.keeps)


# What can happen next; each records one event, or nothing where it cannot


def buy(life: Life) -> None:
    if life.random.random() < 0.5:
        ml, paid = 5000.0, life.money()
        fact = Bought(code="S", liquid="ethanol", volume_ml=ml, ethanol_pct_vol=96.0, paid=paid)
        life.lots[life.write(fact).id] = (ml, Fraction(paid) / f(ml))
        return
    g, paid = 1000.0, life.money()
    herb = "Calendula officinalis"
    if life.random.random() < 0.5:
        bought = BoughtHerb(code="H", herb=herb, form="dried", herb_g=g, paid=paid)
        life.herb_lots[life.write(bought).id] = (g, Fraction(paid) / f(g))
        return
    fresh = life.write(Gathered(code="F", herb=herb, herb_g=g, paid=paid))
    part_g, dry_g = life.amount(900, 100.0), life.amount(90, 20.0)
    dried = Dried(about=About(jar=fresh.id), code="D", fresh_g=part_g, herb_g=dry_g)
    worth = Fraction(paid) * f(part_g) / f(g)
    life.herb_lots[life.write(dried).id] = (dry_g, worth / f(dry_g))


def charge(life: Life) -> None:
    crock = Crock(id=life.next_id())
    herb = life.herb(crock.id, crock)
    fact = Charged(
        code=crock.id[-8:],
        herb="Calendula officinalis",
        pours=life.pours(crock.id, crock, 900.0),
        preparation="spirit on dried herb",
        least="P28D",
        **herb,
    )
    entry = life.write(fact)
    # An extract in date on new herb has a new day.
    crock.until(day for day in life.poured_of if day < entry.when.latest)
    life.crocks[entry.id] = crock


def top_up(life: Life) -> None:
    if not (steeping := life.steeping()):
        return
    crock, event = life.random.choice(steeping), life.next_id()
    pours = life.pours(event, crock, 200.0)
    entry = life.write(ToppedUp(about=About(jar=crock.id), pours=pours))
    crock.until(day for day in life.poured_of if day < entry.when.latest)


def add_herb(life: Life) -> None:
    if not (steeping := life.steeping()):
        return
    crock, event = life.random.choice(steeping), life.next_id()
    herb = life.herb(event, crock)
    about = About(jar=crock.id)
    life.write(HerbAdded(about=about, herb="Calendula officinalis", **herb))


def opened(life: Life, crock_id: str, event: str, vessel: Vessel, months: int) -> Extract:
    about = About(jar=crock_id, extract=event)
    keeps = life.day + relativedelta(months=months)  # the same day, or the month's last
    if (crock := life.crocks.get(crock_id)) is not None and crock.till is not None:
        keeps = min(keeps, crock.till)
    extract = Extract(vessel.ml, vessel.parts, vessel.cost, about, keeps)
    life.extracts[event] = extract
    return extract


def draw_off(life: Life) -> None:
    if not (steeping := life.steeping()):
        return
    crock = life.random.choice(steeping)
    ml = life.amount(crock.ml / 2, 5.0)
    about = About(jar=crock.id)
    fact = DrawnOff(about=about, letter=letter(len(life.entries)), volume_ml=ml, keeps="P6M")
    event = life.write(fact).id
    opened(life, crock.id, event, crock.take(f(ml)), 6)


def press(life: Life) -> None:
    if not (steeping := life.steeping()):
        return
    crock = life.random.choice(steeping)
    ml = life.amount(crock.ml, float(int(crock.ml / 2)) + 1)
    if f(ml) > crock.ml:
        return
    fact = Pressed(
        about=About(jar=crock.id), letter=letter(len(life.entries)), volume_ml=ml, keeps="P12M"
    )
    event = life.write(fact).id
    cost = crock.cost
    crock.cost = defaultdict(Fraction)
    liquid = crock.take(f(ml))
    liquid.cost = cost
    opened(life, crock.id, event, liquid, 12)
    crock.marc.put(crock.take(crock.ml))
    crock.ended = event


def split(life: Life) -> None:
    if not (steeping := life.steeping()):
        return
    crock = life.random.choice(steeping)
    shares = life.random.choice(((0.5, 0.5), (0.25, 0.25), (0.75, 0.25), (0.125,)))
    into = tuple(SplitPart(code=f"P{place}", share=one) for place, one in enumerate(shares))
    event = life.write(Split(about=About(jar=crock.id), into=into)).id
    whole = crock.share(Fraction(1))
    for place, one in enumerate(shares, 1):
        part = crock.take(whole.ml * f(one))
        child = Crock(part.ml, part.parts, part.cost, id=f"{event}.{place}", till=crock.till)
        life.crocks[child.id] = child
    if sum(shares) == 1:
        crock.ended = "split"


def join(life: Life) -> None:
    steeping = life.steeping()
    if len(steeping) < 3:
        return
    parts = life.random.sample(steeping, 2)
    event = life.write(Joined(code="J", parts=tuple(one.id for one in parts))).id
    life.crocks[event] = whole = Crock(id=event)
    for one in parts:
        whole.put(one.take(one.ml))
        whole.until([one.till])
        one.ended = "joined"


def clear(life: Life) -> None:
    """Filtered or settled: what stays behind costs nothing."""
    if not (stocked := life.stocked()):
        return
    one = life.random.choice(stocked)
    after = life.amount(one.ml, float(one.ml) * 0.8)
    if f(after) > one.ml:
        return
    kind = life.random.choice((Filtered, Settled))
    life.write(kind(about=one.about, volume_ml=after))
    cost = one.cost
    one.cost = defaultdict(Fraction)
    life.gone["lees"].put(one.take(one.ml - f(after)))
    one.cost = cost


def pour_in(life: Life) -> None:
    """Made up to a measured volume a little under the sum, or diluted without measuring."""
    if not (stocked := life.stocked()):
        return
    one, event = life.random.choice(stocked), life.next_id()
    pours = life.pours(event, one, 100.0)
    for number in one.bottles:  # what was bottled before is good for as long as it was
        one.bottle_keeps.setdefault(number, one.keeps)
    one.keeps = min([one.keeps, *life.poured_of])
    if life.random.random() < 0.5:
        life.write(Diluted(about=one.about, pours=pours))
        return
    measured = float(int(one.ml * Fraction(98, 100)))
    life.write(MadeUp(about=one.about, pours=pours, volume_ml=measured))
    one.ml = f(measured)


def blend(life: Life) -> None:
    first, second = life.any_stock(), life.any_stock()
    if first is None or second is None or first[1] is second[1]:
        return
    parts, mixed, keeps = [], Vessel(), []
    for about, vessel in (first, second):
        ml = life.amount(vessel.ml, 1.0)
        if f(ml) > vessel.ml:
            return
        parts.append((about, vessel, ml))
    for about, vessel, ml in parts:
        keeps.append(life.keeps_of(about))
        mixed.put(vessel.take(f(ml)))
    measured = float(int(mixed.ml * 97 / 100)) if life.random.random() < 0.5 else None
    told = tuple(Portion(about=about, volume_ml=ml) for about, _, ml in parts)
    event = life.write(Blended(code="M", parts=told, volume_ml=measured or None)).id
    mixed.ml = f(measured) if measured else mixed.ml
    extract = opened(life, event, event, mixed, 0)
    extract.keeps = min(keeps)


def fill(life: Life) -> None:
    if not (stocked := life.stocked(60.0)):
        return
    one = life.random.choice(stocked)
    size = life.random.choice((10.0, 20.0, 30.0, 50.0))
    count = life.random.randint(1, max(min(int(one.ml / f(size)), 4), 1))
    first = max(one.bottles, default=0) + 1
    run = BottleRun(size_ml=size, count=count, first=first, paid_each="0.90")
    life.write(Bottled(about=one.about, bottles=(run,)))
    for number in range(first, first + count):
        one.bottles[number] = one.take(f(size))
        one.sizes[number] = f(size)


def refill(life: Life) -> None:
    found = [
        (one, number, one.sizes[number] - bottle.ml)
        for one in life.extracts.values()
        for number, bottle in one.bottles.items()
        if one.sizes[number] - bottle.ml >= 2
    ]
    source = life.any_stock()
    if not found or source is None:
        return
    extract, number, room = life.random.choice(found)
    about, vessel = source
    bottle = extract.bottles[number]
    ml = life.amount(min(room, vessel.ml), 1.0)
    if vessel is bottle or f(ml) > min(room, vessel.ml):
        return
    own = About(jar=extract.about.jar, extract=extract.about.extract, bottle=number)
    days = [life.keeps_of(about)] + ([life.keeps_of(own)] if bottle.ml >= 0.05 else [])
    life.write(Refilled(about=own, source=Portion(about=about, volume_ml=ml)))
    bottle.put(vessel.take(f(ml)))
    extract.bottle_keeps[number] = min(days)


def dispense(life: Life) -> None:
    if (found := life.any_stock()) is None:
        return
    about, vessel = found
    is_all = life.random.random() < 0.3
    ml = vessel.ml if is_all else f(life.amount(vessel.ml, 1.0))
    if ml > vessel.ml:
        return
    life.write(Dispensed(about=about, volume_ml=None if is_all else float(ml)))
    life.gone["dispensed"].put(vessel.take(ml))


def count(life: Life) -> None:
    if (found := life.any_stock()) is None:
        return
    about, vessel = found
    there = life.amount(vessel.ml + 3, max(float(vessel.ml) - 6, 0.0))
    life.write(Counted(about=about, volume_ml=there))
    life.gone["unaccounted"].put(vessel.take(vessel.ml - f(there)))


def discard(life: Life) -> None:
    """Thrown out, and half the time fetched back after something else happened."""
    if (found := life.any_stock()) is None:
        return
    about, vessel = found
    ml = life.amount(vessel.ml, 1.0)
    if f(ml) > vessel.ml:
        return
    event = life.write(Discarded(about=about, volume_ml=ml, why="spilt")).id
    taken = vessel.take(f(ml))
    if life.random.random() < 0.5:
        if about.bottle is None:
            life.random.choice((pour_in, clear, dispense))(life)
        life.write(Restored(about=about, discard=event))
        vessel.put(taken)
    else:
        life.gone["discarded"].put(taken)


def discard_jar(life: Life) -> None:
    """A whole jar thrown out by mistake and fetched back: as if nothing had been."""
    if not (steeping := life.steeping()):
        return
    about = About(jar=life.random.choice(steeping).id)
    event = life.write(Discarded(about=about, why="mould, or so it looked")).id
    life.write(Restored(about=about, discard=event))


def recharge(life: Life) -> None:
    """Old extract on new herb; the old marc and what it held are gone."""
    found = [
        one
        for one in life.stocked()
        if one.about.jar in life.crocks and life.crocks[one.about.jar].ended
    ]
    if not found:
        return
    one, event = life.random.choice(found), life.next_id()
    is_all = life.random.random() < 0.5
    ml = one.ml if is_all else f(life.amount(one.ml, 10.0))
    if ml > one.ml:
        return
    crock = life.crocks[one.about.jar]
    life.gone["marc"].put(crock.marc)
    crock.marc, crock.ended, crock.till = Vessel(), None, None
    crock.put(one.take(ml))
    herb = life.herb(event, crock)
    fact = Recharged(
        about=one.about,
        herb="Calendula officinalis",
        volume_ml=None if is_all else float(ml),
        least="P14D",
        **herb,
    )
    # As in a charge: one that was past its date by then stays so.
    crock.until([one.keeps] if one.keeps < life.write(fact).when.latest else [])


def steep_again(life: Life) -> None:
    """New menstruum on the old marc, which gives back what it had held."""
    found = [one for one in life.crocks.values() if one.ended in life.extracts and one.marc.ml]
    if not found:
        return
    crock, event = life.random.choice(found), life.next_id()
    crock.put(crock.marc)
    crock.marc, crock.ended = Vessel(), None
    pours = life.pours(event, crock, 400.0)
    crock.until(life.poured_of)
    life.write(SteepedAgain(about=About(jar=crock.id), pours=pours, least="P14D"))


STEPS: tuple[Callable[[Life], None], ...] = (
    *(buy, charge, charge, charge, top_up, add_herb, draw_off, press, press, press, split),
    *(join, clear, clear, pour_in, blend, fill, fill, fill, refill, dispense, dispense, count),
    *(discard, discard_jar, recharge, steep_again),
)


def valid_life(seed: int, events: int) -> Life:
    """A life of about so many events."""
    life = Life(Random(seed))
    buy(life)
    charge(life)
    while len(life.entries) < events:
        life.random.choice(STEPS)(life)
    return life
