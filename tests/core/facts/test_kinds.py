"""The table of kinds: a row for every kind, and what a row says is so.

Rows are held to two things that do not read them: the fields of the facts themselves, and what
the replay does with one example of each kind.
"""

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.house import House, examples
from tests.hypothesis_profile import USUAL
from tests.lives import KINDS, facts_of
from tracker.core.facts.amendments import (
    Amendment,
)
from tracker.core.facts.fields import About, HerbFact, Pour
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
from tracker.core.reckoning.lot_balance import left
from tracker.core.replay.replay import replay
from tracker.core.shelf.end import DiscardedEnd

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
            if is_dataclass(part):
                yield from said_in(part)


def named(fact: object, *names: str) -> list[str]:
    return [value for name, value in said_in(fact) if name in names and isinstance(value, str)]


def test_every_kind_has_its_row_and_nothing_else_has():
    assert set(TRAITS.rows) == set(get_args(Recorded))


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
    amends = "event" in kind.__dataclass_fields__
    traits = TRAITS.rows[kind]

    assert issubclass(kind, Amendment) == amends
    if amends:
        assert traits.opens is traits.ends is traits.contents is traits.hold is None


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_what_uses_up_anything_depends_on_what_the_book_says(kind):
    """Whatever puts in herb or liquid, or opens something out of another, acts on a value."""
    traits = TRAITS.rows[kind]
    uses = issubclass(kind, HerbFact) or "pours" in kind.__dataclass_fields__

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
        self.thrown_out = {one for one, end in ends.items() if isinstance(end, DiscardedEnd)}
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


_WEIGHED = '''

@dataclass(frozen=True, kw_only=True)
class Weighed(Fact):
    """A jar was put on the scales."""

    kind: Literal["weighed"] = "weighed"
    about: About
'''
# Where a new kind needs something of its own; each has to be named by mypy.
PLACES = (
    "tracker/core/facts/kinds.py",
    "tracker/core/replay/apply.py",
    "tracker/core/rules/gate.py",
    "tracker/outputs/words/answers/reply.py",
    "tracker/outputs/words/fact_lines.py",
)


def _edited(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert text.count(old) == 1, f"{path} has no single {old!r}"
    path.write_text(text.replace(old, new))


def _mypy(tree: Path) -> str:
    mypy = Path(sys.executable).parent / "mypy"
    done = subprocess.run([mypy, "tracker"], cwd=tree, capture_output=True, text=True)
    return done.stdout + done.stderr


@pytest.mark.thorough
def test_mypy_names_every_place_that_a_new_kind_lacks(tmp_path):
    """The promise of "Where a new kind goes" in DEVELOPERS.md, kept by adding one."""
    shutil.copytree(ROOT / "tracker", tmp_path / "tracker")
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    jars, kinds = (tmp_path / "tracker/core/facts" / name for name in ("jars.py", "kinds.py"))
    jars.write_text(jars.read_text() + _WEIGHED)
    _edited(kinds, "    ToppedUp,\n)", "    ToppedUp,\n    Weighed,\n)")
    _edited(kinds, "    Charged | Shaken |", "    Weighed | Charged | Shaken |")

    lacking = _mypy(tmp_path)
    row = "    | _row(Unknown,"
    half = "    | _row(Weighed, WORKS_ON_ONE, None, None, None, None, False)\n"
    _edited(kinds, row, half + row)
    half_told = _mypy(tmp_path)

    assert all(f"{place}:" in lacking for place in PLACES), lacking
    assert re.search(r"kinds\.py:\d+: error: Missing positional argument \"pours\"", half_told)
