"""The one way into the book: values come back, all is written or nothing, and nothing twice."""

import threading
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from msgspec.structs import replace

from tests.bench.counting import counted
from tests.lives import a_charge, on, spirit
from tracker.bench.bench import Bench
from tracker.bench.book_lock import is_held
from tracker.bench.record import commit, opened, record
from tracker.core.facts.amendments import Corrected, Labelled, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled, BottleRun, Dispensed, Pressed
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.jars import Charged, Shaken
from tracker.core.facts.kinds import AnyFact
from tracker.core.facts.lots import Bought
from tracker.core.replay.replay import apply_entry, lives_of
from tracker.core.rules.recorded import Draft, Recorded
from tracker.core.rules.verdict import AskedError
from tracker.core.shelf.misfit import MoreThanThere
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.journal.model import read_model
from tracker.journal.model.read_model import batches
from tracker.journal.read import read_book, read_on
from tracker.journal.read_places import read_entries

NOW = datetime(2026, 1, 1, 12, 0, tzinfo=UTC)
OPEN_FILES = Path("/proc/self/fd")


@pytest.fixture
def bench(tmp_path) -> Bench:
    """A book nobody has written in yet."""
    (tmp_path / "book/events").mkdir(parents=True)
    return Bench(
        tmp_path / "book",
        cache=tmp_path / "cache",
        state=tmp_path / "state",
        read_clock=lambda: NOW,
    )


def draft(bench: Bench, fact: AnyFact, day: str = "2025-06-10") -> Draft:
    return Draft(bench.new_id(), getattr(fact, "code", "CAOF-25-01"), on(day), fact)


def one(bench: Bench, fact: AnyFact, day: str = "2025-06-10", *, sure: bool = False) -> Recorded:
    """One fact recorded."""
    return record(bench, [draft(bench, fact, day)], sure=sure)


class Worked:
    """A book with one jar, pressed: 370 ml, of which two bottles of 50 ml were filled."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.charge = one(bench, a_charge(), "2025-03-03").entries[0]
        self.jar = About(jar=self.charge.id)
        press = Pressed(about=self.jar, letter="A", volume_ml=370.0, keeps="P12M")
        self.pressing = one(bench, press, "2025-06-03").entries[0]
        self.extract = About(jar=self.charge.id, extract=self.pressing.id)
        runs = (BottleRun(size_ml=50.0, count=2, first=1),)
        self.filling = one(bench, Bottled(about=self.extract, bottles=runs), "2025-06-04")

    def give(self, ml: float | None) -> Dispensed:
        return Dispensed(about=self.extract, volume_ml=ml)

    def correction(self, values: dict[str, object]) -> Corrected:
        jars = self.pressing.jars
        return Corrected(event=self.pressing.id, jars=jars, set=values, why="misread")


@pytest.fixture
def worked(bench) -> Worked:
    return Worked(bench)


def on_disk(bench: Bench) -> list[bytes]:
    return [path.read_bytes() for path in sorted((bench.book / "events").iterdir())]


def in_bulk_ml(part, extract: About) -> float:
    return part.batches[extract.jar].extract(extract.extract).volume_ml


# What comes back


def test_the_entries_are_those_of_the_book_with_the_numbers_they_have_there(worked):
    drafts = [draft(worked.bench, worked.give(ml)) for ml in (1.0, 2.0, 3.0)]
    entries = record(worked.bench, drafts).entries
    placed, damages = read_book(worked.bench.book)

    assert damages == []
    assert [one.entry for one in placed][-3:] == list(entries)
    assert [entry.sequence for entry in entries] == [4, 5, 6]
    assert [entry.id for entry in entries] == [one.id for one in drafts]
    assert {entry.recorded for entry in entries} == {NOW}


def test_things_come_back_as_they_stood_before_and_as_they_stand_now(worked):
    recorded = one(worked.bench, worked.give(70.0))

    assert in_bulk_ml(recorded.before, worked.extract) == 270.0
    assert in_bulk_ml(recorded.after, worked.extract) == 200.0


def test_what_a_fact_opens_is_only_among_the_things_after(bench):
    recorded = one(bench, a_charge(), "2025-03-03")
    (entry,) = recorded.entries

    assert recorded.before.batches == {}
    assert recorded.after.batches[entry.id].code == "CAOF-25-01"


def test_warnings_come_back_and_nothing_else_is_said_of_what_fits(bench):
    bought = one(bench, Bought(code="LOT-25-01", liquid="ethanol", volume_ml=400.0), "2025-01-01")
    poured = replace(spirit(500.0), lot=bought.entries[0].id)
    recorded = one(bench, a_charge(pours=(poured,)), "2025-03-03")

    assert bought.findings == ()
    assert [(one.rule, one.code, one.weight) for one in recorded.findings] == [
        ("lot", "LOT-25-01", "warning")
    ]


def test_a_question_somebody_was_sure_of_comes_back_with_the_answer(worked):
    recorded = one(worked.bench, worked.give(None), sure=True)

    assert [(one.rule, one.weight) for one in recorded.findings] == [("whole", "question")]
    assert in_bulk_ml(recorded.after, worked.extract) == 0.0


def test_what_no_longer_fits_after_late_news_is_asked_about_and_named(worked):
    later = one(worked.bench, worked.give(200.0), "2025-06-20").entries[0]
    with pytest.raises(AskedError):
        one(worked.bench, worked.give(100.0), "2025-06-10")
    recorded = one(worked.bench, worked.give(100.0), "2025-06-10", sure=True)

    assert [(flag.event, type(flag.misfit)) for flag in recorded.misfits] == [
        (later.id, MoreThanThere)
    ]


def test_what_no_longer_fits_after_a_correction_is_named(worked):
    recorded = one(worked.bench, worked.correction({"volume_ml": 90.0}))

    assert {flag.event for flag in recorded.misfits} == {worked.filling.entries[0].id}


def test_an_amendment_comes_back_with_the_event_at_its_root_was_and_now(worked):
    first = one(worked.bench, worked.correction({"volume_ml": 350.0}))
    second = one(worked.bench, worked.correction({"volume_ml": 340.0}))
    ((was, now),) = second.roots.values()

    assert list(first.roots) == [first.entries[0].id]
    assert (was.fact.volume_ml, now.fact.volume_ml) == (350.0, 340.0)
    assert was.id == now.id == worked.pressing.id


def test_a_strike_leaves_nothing_at_its_root(worked):
    given = one(worked.bench, worked.give(70.0)).entries[0]
    struck = Struck(event=given.id, jars=given.jars, why="never was")
    recorded = one(worked.bench, struck)
    ((was, now),) = recorded.roots.values()

    assert (was.id, now) == (given.id, None)
    assert in_bulk_ml(recorded.after, worked.extract) == 270.0


def test_what_was_done_on_the_old_value_comes_back_with_its_correction(worked):
    label = Labelled(about=worked.extract, lines=("Marigold 45 %",))
    printed = one(worked.bench, label).entries[0]
    recorded = one(worked.bench, worked.correction({"volume_ml": 350.0}))

    assert printed.id in {entry.id for entry in recorded.meanwhile}


def test_a_correction_of_what_was_poured_does_not_count_it_twice(bench):
    """All of the lot was poured; that it was a little less is no warning."""
    bought = one(bench, Bought(code="LOT-25-01", liquid="ethanol", volume_ml=500.0), "2025-01-01")
    pour = Pour(liquid="ethanol", volume_ml=500.0, lot=bought.entries[0].id)
    charge = one(bench, a_charge(pours=(pour,)), "2025-03-03").entries[0]
    less = {"liquid": "ethanol", "volume_ml": 450.0, "lot": bought.entries[0].id}
    fact = Corrected(event=charge.id, jars=charge.jars, set={"pours": [less]}, why="misread")

    assert one(bench, fact).findings == ()


# Each as if those before it were recorded


def test_a_jar_is_charged_and_pressed_in_one_go(bench):
    charge = draft(bench, a_charge(), "2025-03-03")
    press = Pressed(about=About(jar=charge.id), letter="A", volume_ml=370.0, keeps="P12M")
    recorded = record(bench, [charge, draft(bench, press, "2025-06-03")])

    assert recorded.after.batches[charge.id].pressing is not None


def test_two_takings_that_come_to_more_than_there_is_are_refused_together(worked):
    before = on_disk(worked.bench)
    with pytest.raises(RefusedError):
        record(worked.bench, [draft(worked.bench, worked.give(140.0)) for _ in range(2)])

    assert on_disk(worked.bench) == before


def test_a_code_given_by_the_draft_before_is_taken(bench):
    with pytest.raises(RefusedError):
        record(bench, [draft(bench, a_charge(), "2025-03-03") for _ in range(2)])


@pytest.mark.parametrize(
    ("first", "second"),
    [("FOO", "foo"), ("FOO", "FOOB"), ("FOOB", "FOO"), ("FOO", "FOOABC"), ("FOOABC", "FOO")],
)
@pytest.mark.parametrize("at_once", [True, False])
def test_a_code_that_could_become_that_of_an_extract_is_taken(bench, first, second, at_once):
    drafts = [draft(bench, a_charge(code=code), "2025-03-03") for code in (first, second)]
    if not at_once:
        record(bench, [drafts.pop(0)])

    with pytest.raises(RefusedError):
        record(bench, drafts)


@pytest.mark.parametrize(
    ("first", "second"), [("FOO", "FOO1"), ("FOO", "FOOABCD"), ("FOOD", "FOX")]
)
def test_a_code_that_is_only_like_another_is_free(bench, first, second):
    for code in (first, second):
        one(bench, a_charge(code=code), "2025-03-03")

    assert set(bench.codes()) == {first, second}


# All or none


def test_where_one_of_several_is_refused_nothing_is_written(worked):
    bench, before = worked.bench, on_disk(worked.bench)
    fine, wrong = draft(bench, worked.give(10.0)), draft(bench, worked.give(5000.0))
    for drafts in ([fine, wrong], [wrong, fine]):
        with pytest.raises(RefusedError):
            record(bench, drafts)

    assert on_disk(bench) == before
    assert bench.find("CAOF-25-01A").extract.volume_ml == 270.0


def test_a_question_nobody_is_sure_of_writes_nothing(worked):
    before = on_disk(worked.bench)
    drafts = [draft(worked.bench, worked.give(10.0)), draft(worked.bench, worked.give(None))]
    with pytest.raises(AskedError) as asked:
        record(worked.bench, drafts)

    assert on_disk(worked.bench) == before
    assert [(one.rule, one.weight) for one in asked.value.questions] == [("whole", "question")]
    assert "260 ml" in asked.value.questions[0].what


def test_every_question_of_several_drafts_is_asked_and_not_the_first_alone(worked):
    late = worked.give(10.0)
    drafts = [draft(worked.bench, late, "2025-06-10") for _ in range(2)]
    one(worked.bench, late, "2025-06-10")
    with pytest.raises(AskedError) as asked:
        record(worked.bench, [drafts[0], draft(worked.bench, worked.give(None))])

    assert [one.rule for one in asked.value.questions] == ["repeated", "whole"]


def test_being_sure_answers_questions_and_no_refusal(worked):
    before = on_disk(worked.bench)
    named = replace(worked.give(None), reference="Mrs Aldous Penhale")
    with pytest.raises(MisusedError):
        one(worked.bench, named, sure=True)

    assert on_disk(worked.bench) == before


def test_what_is_only_tried_is_not_written(worked):
    before = on_disk(worked.bench)
    with opened(worked.bench) as book:
        tried = book.add([draft(worked.bench, worked.give(10.0))])

    assert in_bulk_ml(tried.after, worked.extract) == 260.0
    assert on_disk(worked.bench) == before


# The lock


def test_the_book_is_locked_from_looking_to_writing(bench):
    events, beside = bench.book / "events", bench.state / "recording.lock"
    with opened(bench):
        assert is_held(events, beside=beside)
    assert not is_held(events, beside=beside)


def test_two_that_record_at_once_both_count(worked):
    """Each gives out 100 of 270 ml, time and again: two get it, and the book says so."""
    refused = []

    def give() -> None:
        try:
            one(worked.bench, worked.give(100.0), sure=True)  # the same words within minutes
        except RefusedError:
            refused.append(1)

    threads = [threading.Thread(target=give) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    numbers = [one.entry.sequence for one in read_book(worked.bench.book)[0]]

    assert len(refused) == 2
    assert worked.bench.find("CAOF-25-01A").extract.volume_ml == 70.0
    assert numbers == [1, 2, 3, 4, 5]


# The model is brought on


def test_what_was_recorded_is_in_the_model_without_reading_the_book_again(worked):
    with counted(read_on, lives_of, read_entries) as recording:
        one(worked.bench, worked.give(70.0))
    with counted(read_on, lives_of, read_entries) as asking:
        found = worked.bench.find("CAOF-25-01A")

    assert recording["read_on"] == 0
    # The jar's own lines: to admit, and to store; and the last lines, to see a repeat.
    assert recording["read_entries"] <= 3
    assert recording["lives_of"] <= 2
    assert sum(asking.values()) == 0
    assert found.extract.volume_ml == 200.0


def test_the_model_that_was_brought_on_is_the_one_that_is_read_from_the_book(worked):
    one(worked.bench, worked.give(70.0))
    one(worked.bench, worked.correction({"volume_ml": 350.0}))
    one(worked.bench, a_charge(code="CAOF-25-02"), "2025-07-01")

    with closing(worked.bench.model.connect()) as connection:
        stored = {one.id: one for one in batches(connection)}
    assert stored == worked.bench.replayed().jars


# What it costs


def page(bench: Bench, drafts: list[Draft]) -> None:
    """Recorded as a page of lines is: one by one, and written together."""
    with opened(bench) as book:
        for one in drafts:
            book.add([one])
        commit(bench, book)


def shakes(bench: Bench, charge: Entry, days: list[str]) -> list[Draft]:
    fact = Shaken(jars=(charge.id,))
    return [Draft(bench.new_id(), "CAOF-25-01", on(day), fact) for day in days]


def a_day_each(first: str, count: int) -> list[str]:
    begin = date.fromisoformat(first)
    return [(begin + timedelta(days=place)).isoformat() for place in range(count)]


def test_a_page_about_one_jar_costs_two_steps_a_line(bench):
    """One to see what a line makes of the jar, one to store it, however long the page is."""
    charge = one(bench, a_charge(), "2018-03-03").entries[0]
    with counted(apply_entry, lives_of) as calls:
        page(bench, shakes(bench, charge, a_day_each("2018-03-04", 2000)))

    assert calls["apply_entry"] <= 2 * (2000 + 1)
    assert calls["lives_of"] <= 2
    assert len(bench.entries_of(charge.id)) == 2001


def test_late_news_costs_two_foldings_a_line(bench):
    """How it stood on that day, and how all of it stands with that."""
    charge = one(bench, a_charge(), "2025-03-03").entries[0]
    days = a_day_each("2025-03-04", 40)
    with counted(lives_of) as calls:
        page(bench, shakes(bench, charge, days[::-1]))

    assert calls["lives_of"] <= 2 * (40 + 1)
    assert bench.find("CAOF-25-01").jar.last_shaken == on(days[-1])


@pytest.mark.parametrize("lines", [10, 60])
def test_a_page_of_charges_reads_the_shelf_once(bench, lines):
    bought = one(bench, Bought(code="LOT-25-01", liquid="ethanol", volume_ml=9e5), "2025-01-01")
    poured = replace(spirit(500.0), lot=bought.entries[0].id)
    for place in range(20):
        one(bench, a_charge(code=f"OLD-{place}", pours=(poured,)), "2025-02-01", sure=True)
    drafts = [
        draft(bench, a_charge(code=f"NEW-{place}", pours=(poured,)), "2025-03-03")
        for place in range(lines)
    ]
    with counted(read_model.batches, read_model.lots, lives_of) as calls:
        page(bench, drafts)

    assert calls["batches"] <= 1
    assert calls["lots"] <= 1
    assert calls["lives_of"] <= 2 * (lines + 1)
    assert len(bench.codes()) == lines + 20


def test_what_is_left_of_a_lot_counts_every_jar_once(bench):
    """1,200 ml came in, 500 ml went before; of two more on a page the second is too much."""
    bought = one(bench, Bought(code="LOT-25-01", liquid="ethanol", volume_ml=1200.0), "2025-01-01")
    poured = replace(spirit(500.0), lot=bought.entries[0].id)
    one(bench, a_charge(code="OLD-1", pours=(poured,)), "2025-02-01")
    found = []
    with opened(bench) as book:
        for place in (1, 2):
            fact: Charged = a_charge(code=f"NEW-{place}", pours=(poured,))
            found.append(book.add([draft(bench, fact, "2025-03-03")]).findings)

    assert found[0] == ()
    assert [one.what for one in found[1]] == ["by the book, 300 ml more was used than there was"]


@pytest.mark.skipif(not OPEN_FILES.is_dir(), reason="the system lists no open files")
def test_a_book_that_cannot_be_opened_lets_go_of_its_model(bench, monkeypatch):
    """Else a daemon keeps one more file open for each record that is refused so."""

    def refused(*_):
        raise RuntimeError

    monkeypatch.setattr("tracker.bench.open_book.OwnLines", refused)
    with pytest.raises(RuntimeError) as kept, opened(bench):  # its traceback holds the book
        pass

    assert kept.tb is not None
    held = [str(one.readlink()) for one in OPEN_FILES.iterdir() if one.is_symlink()]
    assert not [one for one in held if str(bench.model.file.parent) in one]
