"""What a batch record on paper says at a glance: bars, names, folded rows, room for ink."""

import ctypes
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import msgspec
import pypdfium2
import pytest
from pypdfium2.raw import FPDFText_GetFontInfo

from tests.core.house import House
from tests.lives import KITCHEN, OneJar, at, spirit
from tests.outputs import shelves
from tests.outputs.paper.reading import Ink, letters, page_sizes_mm, paths, squeezed, text_of
from tests.outputs.paper.test_record_pdf import BOOK, NOW, paper, record_of, rows_of
from tests.outputs.shelves import Told
from tracker.core.facts.amendments import Labelled
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.facts.extracts import Dispensed
from tracker.core.facts.jars import LookedAt
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.flows.flow_graph import graph_of
from tracker.outputs.paper.record_pdf import RecordPdf, record_pdf
from tracker.outputs.records.batch import batch_record
from tracker.outputs.records.batch_flows import Around
from tracker.outputs.records.batch_parts import Record
from tracker.outputs.records.batch_text import text

LABEL_MM = (90.0, 50.0)


def told_record(told: Told) -> Record:
    batch = told.thing.batch
    around = Around(
        Practice(), graph_of(told.batches, []), {one.id: one for one in told.batches}, {}
    )
    own = [one for one in told.entries if batch.id in one.jars or one.id == batch.id]
    names = entry_names(told.entries, {KITCHEN})
    return batch_record(batch.code, batch, own, around, BOOK, NOW, names)


def on_paper(record: Record) -> RecordPdf:
    return record_pdf(record, [], UTC)


def boxes(pdf: bytes, page: int = 0) -> list[Ink]:
    """What is drawn that is no line."""
    return [one for one in paths(pdf, page) if one.bottom - one.top > 2]


def within(pdf: bytes, box: Ink, page: int = 0) -> str:
    return "".join(
        one.what
        for one in letters(pdf, page)
        if box.left <= one.left <= one.right <= box.right
        and box.top <= one.top <= one.bottom <= box.bottom
    )


def bold_of(pdf: bytes) -> str:
    """All that is set in a bold on the first page, as PDFium names its fonts."""
    with pypdfium2.PdfDocument(pdf) as document:
        its = document[0].get_textpage()
        return "".join(
            its.get_text_range(place, 1).strip()
            for place in range(its.count_chars())
            if b"Bold" in font_of(its, place)
        )


def font_of(text_page: pypdfium2.PdfTextPage, place: int) -> bytes:
    name = ctypes.create_string_buffer(100)
    FPDFText_GetFontInfo(text_page, place, name, 100, ctypes.c_int())
    return name.value


def test_a_hold_stands_in_a_black_bar_across_the_page_above_all_else():
    made = on_paper(told_record(shelves.recalled()))
    bar = min(boxes(made.pdf), key=lambda one: one.top)

    assert within(made.pdf, bar).startswith("RECALLED,ONHOLDsince9Jun2025,withlot")
    assert (bar.left, bar.right) == (pytest.approx(16, abs=0.1), pytest.approx(194, abs=0.1))
    assert min(one.top for one in letters(made.pdf)) >= bar.top
    for page in range(made.pages):
        assert "RECALLED" in text_of(made.pdf, page)


def test_poison_and_external_use_stand_in_bars_and_their_cautions_in_bold():
    record = told_record(shelves.of_a_harmful_plant())
    made = on_paper(record)

    assert within(made.pdf, boxes(made.pdf)[0]) == "EXTERNALUSEONLY:Aconitumnapellus"
    assert record.cautions[0] == record.grave[0]
    assert squeezed(record.grave[0]) in bold_of(made.pdf)


def test_a_book_that_is_not_whole_is_said_at_the_head_of_the_first_page():
    record = told_record(shelves.held_by_a_look())
    broken = msgspec.structs.replace(record, book=msgspec.structs.replace(BOOK, whole=False))
    made = on_paper(broken)
    bars = [within(made.pdf, one) for one in sorted(boxes(made.pdf), key=lambda one: one.top)]

    assert bars[0].startswith("INCOMPLETE:")
    assert "ONHOLD" in bars[1]
    assert "INCOMPLETE" in text(broken, [], UTC, colour=False)[1]


def test_a_batch_that_is_well_has_no_bar():
    made = paper(OneJar.charged())
    (frame,) = boxes(made.pdf)

    assert squeezed("label here") in within(made.pdf, frame)


@pytest.mark.parametrize("size", [LABEL_MM, (70.0, 37.0)])
def test_there_is_room_for_a_label_with_nothing_in_it(size):
    one = OneJar.charged()
    made = record_pdf(record_of(one), rows_of(one), UTC, label_mm=size)
    (frame,) = boxes(made.pdf)

    assert (frame.right - frame.left, frame.bottom - frame.top) == pytest.approx(size, abs=0.3)
    assert within(made.pdf, frame) == "labelhere"


def with_110_bottles(*, given: bool) -> OneJar:
    one = OneJar.charged(herb_g=4000.0, pours=(spirit(20_000.0),))
    one.shake(*(f"2025-03-{day:02d}" for day in range(4, 30)))
    one.press("2025-06-03", ml=16_000.0)
    one.bottle("2025-06-04", (110, 100.0))
    for number in range(1, 111):
        code = f"CAOF-25-01A/{number}"
        lines = ("Marigold", "Calendula officinalis flower, dried", "1:5", code)
        entry = one.then(Labelled(about=one.extract(number), lines=lines), "2025-06-05")
        one.entries[-1] = msgspec.structs.replace(entry, subject=code)
        if given:
            gift = Dispensed(about=one.extract(number), reference=f"C{number:03d}", by="Ilse")
            entry = one.then(gift, "2025-07-01")
            one.entries[-1] = msgspec.structs.replace(entry, subject=code)
    return one


def test_110_bottles_alike_are_one_row_and_take_two_pages():
    made = paper(with_110_bottles(given=False))
    said = text_of(made.pdf)

    assert made.pages == 2
    assert "CAOF-25-01A/1–110 100 ml each full 4 Jun 2025 in stock 3 Jun 2026" in said
    assert "labelled 110 times, 5 Jun 2025: Marigold" in said
    assert "(its code)" in said


def test_110_bottles_each_given_to_somebody_take_four_pages_at_the_most():
    made = paper(with_110_bottles(given=True))
    said = text_of(made.pdf)

    assert made.pages <= 4
    assert all(f"C{number:03d} Ilse" in said for number in range(1, 111))
    assert "CAOF-25-01A/1–110 100 ml each nothing 4 Jun 2025 empty" in said


@pytest.mark.parametrize("looks", range(0, 60, 7))
def test_the_lines_to_sign_are_whole_on_one_page_however_long_the_record_is(looks):
    one = OneJar.charged()
    for count in range(looks):
        seen = LookedAt(about=one.jar, verdict="fine", note=f"look {count}")
        one.then(seen, f"2025-04-{1 + count % 28:02d}")
    made = paper(one)
    last = text_of(made.pdf, made.pages - 1)
    block = ("To fill in and sign", "Vessel and equipment used", "Cleaned, how and when", "Made by")

    assert all(said in last for said in (*block, "Released or rejected by"))
    assert "To fill in" not in "".join(text_of(made.pdf, page) for page in range(made.pages - 1))


def test_the_day_of_printing_is_called_that_and_hours_say_their_zone():
    one = OneJar.charged(at("2025-03-03T09:12:00+01:00"))
    one.then(LookedAt(about=one.jar, verdict="fine"), at("2025-03-04T20:30:00-05:00"))
    made = record_pdf(record_of(one), rows_of(one), ZoneInfo("Europe/Berlin"))
    said = text_of(made.pdf)

    assert "printed 1 Sep 2025 at 11:00, Europe/Berlin; every hour is that of this zone" in said
    assert "3 Mar 2025, 09:12 CAOF-25-01 charged" in said
    assert "4 Mar 2025, 20:30 UTC-5 CAOF-25-01 looked at" in said
    assert "made 1 Sep" not in said


def test_people_are_named_and_machines_are_not():
    one = OneJar.charged(by="Ines")
    said = text_of(paper(one).pdf)
    steps = said[said.index("Every step") : said.index("The book")]

    assert "Ines" in steps
    assert KITCHEN not in steps


def test_the_sources_of_a_blend_are_a_table_with_what_each_gave_and_its_own_days():
    said = text_of(on_paper(told_record(shelves.a_blend())).pdf)

    assert "Sources CODE WHAT GAVE ITS DAYS" in said
    assert "100 ml, blended 10 Jun 2025 charged 3 Mar 2025 pressed" in said
    assert said.count("good through") >= 3


def test_every_fact_of_a_house_stands_in_the_record_of_its_jar():
    house = House()
    entries = [one for one in house.pen.entries if house.done.charge.id in one.jars]
    names = entry_names(entries, {KITCHEN})
    jar = house.done.now()
    around = Around(Practice(), graph_of([jar], []), {jar.id: jar}, {})
    record = batch_record("DONE-1", jar, entries, around, BOOK, NOW, names)
    said = squeezed(text_of(on_paper(record).pdf))

    assert len(record.steps) == len(entries)
    for step in record.steps:
        assert squeezed(step.said) in said


def test_a_table_goes_on_below_its_heads_and_never_with_its_last_row_alone():
    first = datetime(2025, 3, 4, 9, tzinfo=UTC)
    for looks in range(40, 75):
        one = OneJar.charged()
        for count in range(looks):
            day = (first + timedelta(days=count)).date().isoformat()
            one.then(LookedAt(about=one.jar, verdict="fine", note=f"look {count}"), day)
        pdf = paper(one).pdf
        for page in range(1, len(page_sizes_mm(pdf))):
            said = text_of(pdf, page)
            if said.startswith("Every step, continued"):
                assert said.count("looked at, fine") != 1
