"""What is asked about lots called back is what the whole shelf would answer, after any lines."""

import tempfile
from contextlib import closing
from itertools import groupby
from pathlib import Path
from random import Random

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import searching
from tests.journal.on_disk import a_bench
from tests.lives import CELLAR, KITCHEN, Pen, a_charge, on
from tests.valid_lives import valid_life
from tracker.core.facts.amendments import Released, Struck
from tracker.core.facts.extracts import Blended, Discarded
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.jars import Charged, DrawnOff, HerbAdded
from tracker.core.facts.lots import BoughtHerb, Gathered, Recalled
from tracker.core.reckoning.flows.not_on_hold import not_held
from tracker.core.values.times import When
from tracker.journal.append import append
from tracker.journal.model.read_model import ReadModel, batches, has_recall, lots, may_hold_recalled
from tracker.journal.model.recall_reach import NONE, read_reach
from tracker.journal.model.refresh import refresh

NUMBERS = ("K12", "k 12", "K13", None, None)
NAMES = ((), (), ("K12",), ("batch  7",), ("Batch 7", "k13"), ("Batch 8",))
PRECISIONS = ("day", "day", "day", "month", "season", "unknown")


def numbered(entry, random):
    """A lot with a supplier's number, a charge that names lots; a day that is not quite known."""
    fact = entry.fact
    if isinstance(fact, BoughtHerb):
        fact = replace(fact, their_lot=random.choice(NUMBERS))
    elif isinstance(fact, Charged):
        fact = replace(fact, lots=random.choice(NAMES))
    when = When(entry.when.start, random.choice(PRECISIONS))
    return replace(entry, fact=fact, when=when)


def with_recalls(seed, events):
    """A valid life, and what another machine says of it without knowing all of it."""
    random, other, told = Random(seed), Pen(CELLAR), []
    jars, known = [], []
    for entry in valid_life(seed, events).entries:
        told.append(numbered(entry, random))
        fact, day = entry.fact, entry.when.start.date().isoformat()
        if isinstance(fact, Charged):
            jars.append(entry.id)
        elif isinstance(fact, BoughtHerb | Gathered) or entry.kind in ("bought", "dried"):
            known.append(entry.id)
        said = None
        chance = random.random()
        if chance < 0.06 and known:
            held = random.sample(jars, random.randint(0, min(2, len(jars))))
            said = Recalled(about=About(jar=random.choice(known)), jars=tuple(held), why="moths")
        elif chance < 0.09 and jars:
            name, jar = random.choice(("K12", "Batch 7", "k13")), random.choice(jars)
            said = Recalled(about=About(jar=jar), jars=(jar,), named=name, why="moths")
        elif chance < 0.12 and known + jars:
            said = Released(about=About(jar=random.choice(known + jars)), why="tested clean")
        elif chance < 0.15:
            of = random.choice(told)
            said = Struck(event=of.id, jars=of.jars, why="a slip")
        if said is not None:
            other.recorded = max(other.recorded, entry.recorded)
            told.append(other.write(said, day))
    return told


def asked(connection):
    return not_held(*connection.answer(may_hold_recalled))


def of_all(connection):
    return not_held(connection.answer(batches), connection.answer(lots))


def append_all(home, entries):
    for source, some in groupby(entries, key=lambda one: one.source):
        append(home / "book", source, list(some), home / "spare")


@searching(40)
@given(st.integers(0, 10**6), st.data())
def test_what_may_hold_a_recalled_lot_is_all_that_has_to_be_looked_at(seed, data):
    """Told in pieces, in the order they came or with the other machine's lines late."""
    told = with_recalls(seed, 90)
    if data.draw(st.booleans()):
        late = data.draw(st.sampled_from((CELLAR, KITCHEN)))
        told.sort(key=lambda one: one.source == late)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        (home / "book").mkdir()
        model = ReadModel(home / "book", home / "shelf-1.sqlite")
        while told:
            size = data.draw(st.integers(1, 60))
            append_all(home, told[:size])
            told = told[size:]
            with closing(refresh(model)) as connection:
                assert asked(connection) == of_all(connection)
        with closing(refresh(ReadModel(home / "book", home / "other-1.sqlite"))) as fresh:
            assert asked(fresh) == of_all(fresh)


def a_book(tmp_path, entries):
    (tmp_path / "book").mkdir(exist_ok=True)
    append_all(tmp_path, entries)
    return a_bench(tmp_path)


def lots_and_jars(pen):
    """Two lots, each in two jars."""
    made = []
    for place in (1, 2):
        lot = pen.write(
            BoughtHerb(code=f"HERB-{place}", herb="Melissa officinalis", form="dried", herb_g=500),
            "2025-05-01",
        )
        own = [
            pen.write(
                a_charge(code=f"MEOF-{place}{one}", herb_g=50.0, herb_lot=lot.id), "2025-05-02"
            )
            for one in (1, 2)
        ]
        made.append((lot, own))
    return made


def test_only_what_took_from_the_lot_is_looked_at(tmp_path):
    pen = Pen()
    (lot, own), _ = lots_and_jars(pen)
    pen.write(Recalled(about=About(jar=lot.id), jars=(), why="moths"), "2025-06-10")
    bench = a_book(tmp_path, pen.entries)

    found, lots_too = bench._ask(may_hold_recalled)

    assert [one.id for one in found] == [one.id for one in own]
    assert [one.id for one in lots_too] == [lot.id]
    assert [flag.event for flag in bench.not_held()] == [one.id for one in own]


def test_a_jar_charged_while_its_lot_is_called_back_is_noted_without_the_others(tmp_path):
    pen = Pen()
    (lot, own), _ = lots_and_jars(pen)
    pen.write(Recalled(about=About(jar=lot.id), jars=(), why="moths"), "2025-06-10")
    a_book(tmp_path, pen.entries).not_held()
    late = pen.write(a_charge(code="LATE-1", herb_g=5.0, herb_lot=lot.id), "2025-06-11")
    bench = a_book(tmp_path, [late])

    assert [flag.event for flag in bench.not_held()] == [one.id for one in (*own, late)]


def test_what_is_joined_to_the_lot_later_brings_along_what_was_taken_of_it_before(tmp_path):
    """Drawn off some day of June: perhaps after the herb of the lot went in."""
    pen = Pen()
    (lot, _), (_, (jar, other)) = lots_and_jars(pen)
    drawn = [
        pen.write(
            DrawnOff(about=About(jar=one.id), letter="A", volume_ml=50.0, keeps="P1Y"),
            on("2025-06-01" if one is jar else "2025-06-03", "month" if one is jar else "day"),
        )
        for one in (jar, other)
    ]
    parts = zip((jar, other), drawn, strict=True)
    blend = pen.write(
        Blended(
            code="MIX-1",
            parts=tuple(
                Portion(about=About(jar=one.id, extract=own.id), volume_ml=20.0)
                for one, own in parts
            ),
        ),
        "2025-06-04",
    )
    pen.write(Recalled(about=About(jar=lot.id), jars=(), why="moths"), "2025-06-10")
    a_book(tmp_path, pen.entries).not_held()
    of_it = HerbAdded(
        about=About(jar=jar.id),
        herb="Melissa officinalis",
        form="dried",
        herb_g=9.0,
        herb_lot=lot.id,
    )
    bench = a_book(tmp_path, [pen.write(of_it, "2025-06-20")])

    assert blend.id in [flag.event for flag in bench.not_held()]
    assert bench.not_held() == bench._ask(of_all)


def test_nothing_is_noted_once_no_lot_is_called_back(tmp_path):
    pen = Pen()
    (lot, own), _ = lots_and_jars(pen)
    pen.write(Recalled(about=About(jar=lot.id), jars=(), why="moths"), "2025-06-10")
    a_book(tmp_path, pen.entries).not_held()
    more = [pen.write(Released(about=About(jar=lot.id), why="tested clean"), "2025-06-11")]
    more.append(pen.write(Discarded(about=About(jar=own[0].id), why="mould"), "2025-06-12"))
    bench = a_book(tmp_path, more)

    assert bench.not_held() == []
    assert not bench._ask(has_recall)
    assert bench._ask(read_reach) == NONE
