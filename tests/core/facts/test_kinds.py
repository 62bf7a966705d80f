"""The table of kinds: a row for every kind, and what a row says is so.

Rows are held to two things that do not read them: the fields of the facts themselves, and what
the replay does with one example of each kind.
"""

from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Struct
from msgspec.structs import fields

from tests.core.house import House, examples
from tests.hypothesis_profile import USUAL
from tests.lives import KINDS, facts_of
from tracker.core.facts.amendments import (
    Amendment,
)
from tracker.core.facts.fields import About, Fact, HerbFact, Pour
from tracker.core.facts.kinds import (
    TRAITS,
    Recorded,
    Unknown,
    bears_on,
    codes_of,
    depends,
    jars_of,
    lots_used,
    pours_of,
    things_of,
    traits_of,
)
from tracker.core.reckoning.flows.lot_balance import left
from tracker.core.replay.replay import replay
from tracker.core.shelf.end import DiscardedEnd, GivenEnd

ROOT = Path(__file__).parents[3]
any_fact = st.sampled_from(KINDS).flatmap(facts_of)


def said_in(fact: object) -> Iterator[tuple[str, object]]:
    """Every field of a fact and of its parts, by name; a correction's new values are none."""
    for one in fields(fact):
        value = getattr(fact, one.name)
        yield one.name, value
        for part in value if isinstance(value, tuple) else (value,):
            if part is not value:
                yield one.name, part
            if isinstance(part, Struct):
                yield from said_in(part)


def named(fact: object, *names: str) -> list[str]:
    return [value for name, value in said_in(fact) if name in names and isinstance(value, str)]


def test_every_kind_has_its_row_and_nothing_else_has():
    assert set(TRAITS.rows) == set(get_args(Recorded))


def test_every_class_of_fact_is_a_kind():
    """One that is not among `AnyFact` cannot be written or read."""
    for module in ("amendments", "extracts", "jars", "lots"):
        import_module(f"tracker.core.facts.{module}")
    every, found = [Fact], set()
    while every:
        one = every.pop()
        every += one.__subclasses__()
        if "kind" in vars(one) and one.__module__.startswith("tracker."):
            found.add(one)

    assert found == set(KINDS)


@given(any_fact)
@USUAL
def test_every_thing_a_fact_names_is_among_those_the_table_gives(fact):
    abouts = {value for _, value in said_in(fact) if isinstance(value, About)}
    wholes = named(fact, "parts", "jars") if not isinstance(fact, Amendment) else []

    assert set(things_of(fact)) == abouts | {About(jar=jar) for jar in wholes}
    assert set(named(fact, "jar", "parts", "jars")) <= set(jars_of("own-0001", fact))


@given(any_fact)
@USUAL
def test_codes_pours_and_lots_are_those_in_the_fields(fact):
    poured = [value for _, value in said_in(fact) if isinstance(value, Pour)]

    assert list(codes_of(fact)) == named(fact, "code")
    assert list(pours_of(fact)) == poured
    assert list(lots_used(fact)) == [
        *(pour.lot for pour in poured if pour.lot is not None),
        *named(fact, "herb_lot"),
    ]


@given(any_fact)
@USUAL
def test_what_opens_something_of_its_own_gives_a_code_and_stands_in_its_history(fact):
    opens = traits_of(fact).opens
    gives_code = opens in ("jar", "blend", "lot")

    assert bool(codes_of(fact)) == gives_code
    if gives_code:
        wrong = {about.jar for about in bears_on("own-0001", fact)}
        assert any(jar.startswith("own-0001") for jar in wrong)
        assert wrong <= set(jars_of("own-0001", fact))
    assert (opens == "extract") == any(one.name == "letter" for one in fields(fact))
    assert (opens == "bottles") == any(one.name == "bottles" for one in fields(fact))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_amendments_and_only_they_name_an_event_and_change_nothing_else(kind):
    amends = "event" in kind.__struct_fields__
    traits = TRAITS.rows[kind]

    assert issubclass(kind, Amendment) == amends
    if amends:
        assert traits.opens is traits.ends is traits.contents is traits.hold is None


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_what_uses_up_anything_depends_on_what_the_book_says(kind):
    """Whatever puts in herb or liquid, or opens something out of another, acts on a value."""
    traits = TRAITS.rows[kind]
    uses = issubclass(kind, HerbFact) or "pours" in kind.__struct_fields__

    if uses or (traits.opens is not None and not traits.starts):
        assert traits.depends


def test_a_later_version_of_a_kind_depends_on_the_book_as_the_kind_does():
    assert depends(Unknown(kind="labelled", v=2))
    assert not depends(Unknown(kind="noted", v=2))
    assert not depends(Unknown(kind="sung_to"))


class Seen:
    """What there is on a shelf, how much of it, and what stands on hold or has ended."""

    def __init__(self, house: House) -> None:
        shelf = replay(house.pen.entries)
        jars, extracts = shelf.jars, {}
        for batch in shelf.batches:
            extracts |= {one.id: one for one in batch.extracts}
        self.blends = set(shelf.blends)
        self.jars, self.lots, self.extracts = set(jars), set(shelf.lots), set(extracts)
        self.bottles = {(one.id, b.number) for one in extracts.values() for b in one.bottles}
        self.steeps = {one.id: one.steeps for one in jars.values()}
        ends = {one.id: one.end for one in jars.values()}
        self.thrown_out = {
            one for one, end in ends.items() if isinstance(end, DiscardedEnd | GivenEnd)
        }
        self.ended = {one: end for one, end in ends.items() if one not in self.thrown_out}
        things = [*jars.values(), *shelf.lots.values(), *extracts.values()]
        self.holds = {one.id for one in things if one.hold is not None}
        self.much = {one.id: one.contents.volume_ml for one in jars.values()}
        self.much |= {f"{one.id} herbs": one.herbs for one in jars.values()}
        self.much |= {one.id: one.volume_ml for one in extracts.values()}
        self.much |= {f"{one.id} in bottles": one.bottled_ml for one in extracts.values()}
        self.much |= {lot.id: left(lot, shelf.batches) for lot in shelf.lots.values()}
        self.flags = {flag for one in (*shelf.batches, *shelf.lots.values()) for flag in one.flags}


def opened(before: Seen, after: Seen) -> str | None:
    """What there is that was not there before."""
    grown = [
        ("blend", after.blends - before.blends),
        ("jar", after.jars - before.jars),
        ("lot", after.lots - before.lots),
        ("extract", after.extracts - before.extracts),
        ("bottles", after.bottles - before.bottles),
        ("steep", {one for one in before.steeps if after.steeps[one] > before.steeps[one]}),
    ]
    return next((what for what, new in grown if new), None)


def ended(before: Seen, after: Seen) -> str | None:
    if any(after.ended.get(one) and not was for one, was in before.ended.items()):
        return "steep"
    return "thing" if after.thrown_out - before.thrown_out else None


def hold_change(before: Seen, after: Seen) -> str | None:
    if after.holds - before.holds:
        return "set"
    return "lifted" if before.holds - after.holds else None


def is_changed(before: Seen, after: Seen) -> bool:
    """Whether anything holds another amount; a jar that was emptied keeps what it held."""
    if ended(before, after) is not None:
        return True
    return any(after.much.get(one) != ml for one, ml in before.much.items())


EXAMPLES = len(examples(House()))


@pytest.mark.parametrize("place", range(EXAMPLES))
def test_the_replay_does_to_the_shelf_what_the_table_says(place):
    house = House()
    fact = examples(house)[place]
    before = Seen(house)
    house.pen.write(fact, "2025-06-10")
    after = Seen(house)
    traits = traits_of(fact)

    assert after.flags == before.flags, "the example has to fit"
    assert opened(before, after) == traits.opens
    assert ended(before, after) == traits.ends
    if traits.hold != "by look":
        assert hold_change(before, after) == traits.hold
    assert is_changed(before, after) == (traits.contents is not None)


def test_there_is_an_example_of_every_kind_but_the_amendments():
    shown = {type(fact) for fact in examples(House())}

    assert shown == {kind for kind in KINDS if not issubclass(kind, Amendment)}


@pytest.mark.parametrize("number", range(len(examples(House()))))
def test_a_kind_that_says_the_same_twice_leaves_the_shelf_as_once(number):
    """So that a repeat of it need not be asked about; what makes more of something is."""
    once, twice = House(), House()
    fact = examples(once)[number]
    if traits_of(fact).twice == "more":
        return
    for house, times in ((once, 1), (twice, 2)):
        for _ in range(times):
            house.pen.write(examples(house)[number], "2025-07-01")
    shelves = [replay(house.pen.entries) for house in (once, twice)]

    assert stands(shelves[0]) == stands(shelves[1])


def stands(shelf):
    """What there is of everything, by code."""
    return {
        one.code: (one.contents.volume_ml, [(e.letter, e.volume_ml) for e in one.extracts])
        for one in shelf.jars.values()
    }
