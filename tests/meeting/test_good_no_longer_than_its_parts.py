"""No liquid is called good for longer than its parts, whatever goes into what (docs/menstruum.md).

A life is made up step by step. After each step, whatever that step changed is held against what
it was made of, as that was before: good through no later day, and of no known day where the day
of a part is not known. Two things are excepted: an extract in date on new herb begins with its
own pressing, and a weak part that was made strong in time counts for what it is made of.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tests.lives import Pen, a_charge, on
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Diluted,
    MadeUp,
    Pressed,
    PressedAgain,
    Refilled,
)
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import DrawnOff, Recharged, SteepedAgain, ToppedUp
from tracker.core.facts.kinds import AnyFact
from tracker.core.practice.practice import Practice
from tracker.core.reckoning import keeps
from tracker.core.replay.replay import replay
from tracker.core.shelf.codes import letter
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.shelf import Shelf
from tracker.core.shelf.thing import Thing, things

Key = tuple[str, str, int | None]
PRACTICE = Practice()
WATER, WEAK, STRONG = (
    Pour(liquid="ethanol", volume_ml=100, ethanol_pct_vol=x) for x in (0, 10, 60)
)
LIQUIDS = (WATER, Pour(liquid="water", volume_ml=100), WEAK, STRONG, STRONG, STRONG)
KEEPS = ("P12M", "P3D", "P1M", "P12M")


@dataclass
class Story:
    """A book that grows, and the shelf as it stands."""

    random: Random
    pen: Pen = field(default_factory=Pen)
    day: date = date(2024, 1, 29)
    shelf: Shelf = field(default_factory=lambda: replay([]))

    def write(self, fact: AnyFact) -> Entry:
        self.day += timedelta(days=self.random.choice((0, 0, 1, 2, 3, 4, 20)))
        when = on(self.day, "unknown" if self.random.random() < 0.05 else "day")
        entry = self.pen.write(fact, when)
        self.shelf = replay(self.pen.entries)
        return entry

    def jar(self, *, pressed: bool = False) -> Jar | None:
        found = [
            one
            for one in self.shelf.jars.values()
            if (one.pressing is not None if pressed else one.is_macerating)
        ]
        return self.random.choice(found) if found else None

    def liquid(self, *, bulk: bool = False) -> Thing | None:
        found = [one for one in liquids(self.shelf).values() if one.bottle is None or not bulk]
        return self.random.choice(found) if found else None

    def pours(self) -> tuple[Pour, ...]:
        if self.random.random() < 0.4 and (thing := self.liquid()) is not None:
            return (Pour(liquid="extract", volume_ml=20, name="an extract", of=about(thing)),)
        return (self.random.choice(LIQUIDS),)


def about(thing: Thing) -> About:
    assert thing.extract is not None
    number = thing.bottle.number if thing.bottle is not None else None
    return About(jar=thing.batch.id, extract=thing.extract.id, bottle=number)


def key(thing: Thing) -> Key:
    named = about(thing)
    return named.jar, named.extract or "", named.bottle


def liquids(shelf: Shelf) -> dict[Key, Thing]:
    """Every extract, blend and bottle there is any of."""
    found: dict[Key, Thing] = {}
    for batch in (*shelf.jars.values(), *shelf.blends.values()):
        for one in things(batch):
            there = one.bottle or one.extract
            if there is not None and there.volume_ml >= DROP_ML:
                found[key(one)] = one
    return found


def charge(story: Story) -> AnyFact | None:
    code = f"JAR{len(story.pen.entries)}"
    return a_charge(
        code=code, herb_g=10.0, pours=story.pours() + story.pours(), preparation="water"
    )


def top_up(story: Story) -> AnyFact | None:
    jar = story.jar()
    return jar and ToppedUp(about=About(jar=jar.id), pours=story.pours())


def come_off(story: Story) -> AnyFact | None:
    if (jar := story.jar()) is None:
        return None
    kind = story.random.choice((Pressed, Pressed, DrawnOff))
    ml = max(jar.contents.volume_ml * story.random.choice((0.5, 0.8)), 1.0)
    code, keeps_for = letter(len(jar.extracts) + 1), story.random.choice(KEEPS)
    return kind(about=About(jar=jar.id), letter=code, volume_ml=ml, keeps=keeps_for)


def again(story: Story) -> AnyFact | None:
    jar = story.jar(pressed=True)
    if jar is None or jar.pressing is None:
        return None
    whole, old = About(jar=jar.id), About(jar=jar.id, extract=jar.pressing.id)
    kind = story.random.randrange(3)
    if kind == 0:
        return PressedAgain(about=old, volume_ml=5.0)
    if kind == 1 and jar.pressing.volume_ml >= 10:
        return Recharged(
            about=old, volume_ml=10.0, herb=jar.herb, form="dried", herb_g=5.0, least="P1D"
        )
    way = story.random.choice(("maceration", "simmered"))
    return SteepedAgain(about=whole, pours=story.pours(), least="P0D", way=way)


def mix(story: Story) -> AnyFact | None:
    one, pours = story.liquid(bulk=True), story.pours()
    if one is None or pours[0].of == about(one):
        return None
    for_ = story.random.choice((None, "P12M", "P6M"))
    if story.random.random() < 0.5:
        return Diluted(about=about(one), pours=pours, keeps=for_)
    assert one.extract is not None
    ml = one.extract.volume_ml + pours[0].volume_ml
    return MadeUp(about=about(one), pours=pours, volume_ml=ml, keeps=for_)


def blend(story: Story) -> AnyFact | None:
    one, other = story.liquid(), story.liquid()
    if one is None or other is None or key(one) == key(other):
        return None
    parts = tuple(Portion(about=about(x), volume_ml=10.0) for x in (one, other))
    return Blended(code=f"MIX{len(story.pen.entries)}", parts=parts)


def bottle(story: Story) -> AnyFact | None:
    one = story.liquid(bulk=True)
    if one is None or one.extract is None or one.extract.volume_ml < 30:
        return None
    first = len(one.extract.bottles) + 1
    return Bottled(about=about(one), bottles=(BottleRun(size_ml=30.0, count=1, first=first),))


def refill(story: Story) -> AnyFact | None:
    into, source = story.liquid(), story.liquid()
    if into is None or into.bottle is None or source is None or key(into) == key(source):
        return None
    return Refilled(about=about(into), source=Portion(about=about(source), volume_ml=20.0))


STEPS: tuple[Callable[[Story], AnyFact | None], ...] = (
    *(charge, charge, top_up, come_off, come_off, come_off, again, mix, mix, mix, blend, blend),
    *(bottle, refill, refill),
)


def parts_of(thing: Thing, entry: Entry, before: dict[Key, Thing]) -> Iterator[Thing]:
    """What a step made a liquid of: what was in it, and what it took out of others."""
    assert thing.extract is not None
    if (was := before.get(key(thing))) is not None:
        yield was
    holder = thing.bottle or thing.extract
    for flow in holder.sources:
        if flow.event == entry.id and flow.extract is not None:
            yield before[flow.jar, flow.extract, flow.bottle]


def day(thing: Thing) -> date | None:
    return keeps.good_through(thing, PRACTICE)


def was_in_time(part: Thing, whole: Thing, entry: Entry) -> bool:
    last = day(part)
    weak = keeps.weak_spell(part.made, PRACTICE)
    is_strong = keeps.weak_spell(whole.made, PRACTICE) is None
    return weak is not None and is_strong and last is not None and entry.when.latest <= last


@given(st.integers(0, 2**32))
@USUAL
def test_nothing_is_good_for_longer_than_what_it_was_made_of(seed):
    story = Story(Random(seed))
    for _ in range(25):
        before = liquids(story.shelf)
        if (fact := story.random.choice(STEPS)(story)) is None:
            continue
        entry = story.write(fact)
        for whole in liquids(story.shelf).values():
            for part in parts_of(whole, entry, before):
                last, now = day(part), day(whole)
                said = f"{whole.code} {now} of {part.code} {last}, {entry.kind} {entry.when}"
                if last is None:
                    assert now is None, said
                elif now is not None and now > last:
                    assert was_in_time(part, whole, entry), said
                if was_in_time(part, whole, entry) and now is not None and part.bottle is None:
                    own = part.extract and part.extract.best_by
                    assert own is None or now <= own, said
