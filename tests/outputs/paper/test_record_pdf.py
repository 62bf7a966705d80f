"""The batch record on paper, read again and measured by pypdf and PDFium."""

import io
from datetime import UTC, date, datetime, timedelta

import msgspec
import pypdf
import pytest

from tests.lives import KITCHEN, OneJar
from tests.outputs.paper.jars import HARD_NAMES, LONG_LATIN
from tests.outputs.paper.reading import letters, page_sizes_mm, paths, squeezed, text_of
from tracker.core.facts.amendments import Corrected, Held, Labelled, Noted, Released, Struck
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.facts.extracts import Discarded, Dispensed
from tracker.core.facts.jars import LookedAt
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.flows.flow_graph import graph_of
from tracker.core.replay.replay import replay
from tracker.core.values.day_words import short_day
from tracker.outputs.paper.record_flow import MARGIN_MM
from tracker.outputs.paper.record_pdf import RecordPdf, record_pdf
from tracker.outputs.paper.record_signing import SIGNED
from tracker.outputs.records import batch_words
from tracker.outputs.records.batch import batch_record as make_record
from tracker.outputs.records.batch import whole
from tracker.outputs.records.batch_flows import Around
from tracker.outputs.records.batch_head import head_of
from tracker.outputs.records.batch_parts import Book, FileDigest, Record
from tracker.outputs.records.record_table import NOBODY
from tracker.outputs.terminal.show import made_up
from tracker.outputs.view.thing_view import view_of

NOW = datetime(2025, 9, 1, 9, tzinfo=UTC)
BOOK = Book(True, "20.ABCD-EFGH-JKMN", (FileDigest("kitchen-anna.jsonl", 20, "0f" * 32),))
HEADS = ("DAY", "CODE", "WHAT", "WRITTEN DOWN", "LINE")  # nobody is named in these lives
PRINTED = "printed 1 Sep 2025 at 09:00"


def a_life() -> OneJar:
    """A jar pressed, bottled, held, corrected and labelled: eighteen lines."""
    one = OneJar.charged()
    one.shake(*(f"2025-03-{day:02d}" for day in range(4, 12)))
    pressing = one.press("2025-06-03")
    one.bottle("2025-06-04", (2, 100.0))
    given = Dispensed(about=one.extract(bottle=1), volume_ml=30.0, reference="C03", by="Ilse")
    one.then(given, "2025-06-09")
    spilt = one.then(
        Discarded(about=one.extract(bottle=2), volume_ml=20.0, why="spilt"), "2025-06-10"
    )
    one.then(Held(about=one.jar, why="cloudy"), "2025-06-15")
    one.then(Released(about=one.jar, why="clear again"), "2025-06-16")
    printed = Labelled(
        about=one.extract(), lines=("Marigold", "Keep from children."), copies=2, sheet="a4"
    )
    one.then(printed, "2025-06-17")
    jars = (one.charge.id,)
    one.then(
        Corrected(event=pressing.id, set={"volume_ml": 330.0}, jars=jars, why="misread"),
        "2025-06-18",
    )
    one.then(Struck(event=spilt.id, jars=jars, why="another bottle"), "2025-06-19")
    return one


def record_of(one: OneJar) -> Record:
    shelf = replay(one.entries)
    jars = list(shelf.batches)
    around = Around(Practice(), graph_of(jars, []), {one.id: one for one in jars}, {})
    return make_record(
        "CAOF-25-01", one.now(), one.entries, around, BOOK, NOW, entry_names(one.entries, {KITCHEN})
    )


def rows_of(one: OneJar) -> list[tuple[str, str]]:
    return made_up(view_of(whole(one.now()), Practice(), NOW.date()))


def paper(one: OneJar) -> RecordPdf:
    return record_pdf(record_of(one), rows_of(one), UTC)


def noted(text: str) -> OneJar:
    one = a_life()
    one.then(Noted(about=one.jar, note=text), "2025-06-20")
    return one


def assert_within_margins(pdf: bytes) -> None:
    for number, (wide, high) in enumerate(page_sizes_mm(pdf)):
        for ink in [*letters(pdf, number), *paths(pdf, number)]:
            # A J reaches before its place.
            assert MARGIN_MM - 0.5 <= ink.left <= ink.right <= wide - MARGIN_MM + 0.5, ink
            assert MARGIN_MM - 0.2 <= ink.top <= ink.bottom <= high - MARGIN_MM + 1.2, ink


def test_a_usual_life_takes_two_pages_with_its_code_and_their_number_on_each():
    made = paper(a_life())

    assert made.pages == len(page_sizes_mm(made.pdf)) == 2
    assert page_sizes_mm(made.pdf)[0] == pytest.approx((210, 297), abs=0.01)
    assert text_of(made.pdf, 0).endswith(f"Batch record CAOF-25-01 {PRINTED} 1 of 2")
    assert text_of(made.pdf, 1).endswith(f"Batch record CAOF-25-01 {PRINTED} 2 of 2")
    assert made.missing == frozenset()
    assert_within_margins(made.pdf)


def test_every_step_stands_there_with_its_day_code_words_and_who():
    one = a_life()
    record, text = record_of(one), squeezed(text_of(paper(one).pdf))

    assert len(record.steps) == len(one.entries) == 18
    for step in record.steps:
        if step.kind in ("shaken", "dispensed", "labelled"):
            continue  # in a row together, or as a part of a table of its own
        day = batch_words.day(step.when)
        was = f"was:{day}{step.code}" if step.now else ""
        struck = "" if step.in_force else "no longer counts"
        now = f"now:{step.now}" if step.now else ""
        later = "".join(batch_words.amended(other, UTC) for other in step.amended)
        row = (
            f"{day}{step.code}{was}{step.said}{now}{struck}{later}{step.by or '–'}"
            f"{batch_words.recorded(step, UTC)}{step.number}"
        )
        assert squeezed(row) in text


def test_shakes_that_follow_each_other_are_one_row_with_every_day():
    text = text_of(paper(a_life()).pdf)

    assert "4–11 Mar 2025 CAOF-25-01 shaken 8 times: 4–11 Mar 2025" in text
    assert text.count("shaken") == 1


def test_everything_else_the_record_says_stands_there_too():
    one = a_life()
    record, text = record_of(one), squeezed(text_of(paper(one).pdf))
    said = [
        record.basis, *record.lots, *record.not_held,
        *record.to_sign, *SIGNED, head_of(record, UTC).name,
        *record.latin, *record.days, record.book.digest, record.book.files[0].digest,
        *(
            value
            for name, said_of_it in rows_of(one)
            for value in (name, said_of_it)
            if name != "herb" and not name.startswith("poured ")  # in the table of what went in
        ),
        *(part for row in record.components for part in (row.what, batch_words.much(row))),
        *(batch_words.gave(row) for row in record.yields),
        *(line for row in record.yields for line in batch_words.accounted(row)),
        *(
            f"{batch_words.day(row.on)}{row.code}30 ml{row.reference}{row.by}"
            for row in record.given
        ),
        *(
            f"{batch_words.day(row.when)}{row.code}{row.said}"
            for row in (*record.holds, *record.labels)
        ),
        *record.to_fill_in, "label here", "CAOF-25-01A/1 100 ml 70 ml 4 Jun 2025 in stock",
    ]  # fmt: skip

    assert [one for one in said if squeezed(one) not in text] == []
    assert "itdoesnotmakeanythingcompliant" in text
    assert text.count("date") >= len(record.to_sign) + len(SIGNED)


def test_a_correction_shows_both_readings_and_why():
    text = text_of(paper(a_life()).pdf)

    assert "was: 3 Jun 2025 CAOF-25-01 pressed 370 ml" in text
    assert "now: 3 Jun 2025 CAOF-25-01 pressed 330 ml" in text
    assert "CORRECTED on 3 Mar 2025, line 17: misread" in text


def test_corrections_and_strikes_stand_together_with_their_day_what_it_was_and_is_and_why():
    text = text_of(paper(a_life()).pdf)

    assert "Corrections and strikes" in text
    assert "10 CAOF-25-01 volume 370 ml → 330 ml misread 3 Mar 2025" in text
    assert "STRUCK discarded 20 ml: spilt another bottle 3 Mar 2025" in text


def test_what_no_longer_counts_is_drawn_through_and_what_counts_is_not():
    pdf = paper(a_life()).pdf
    struck = drawn_through(pdf)

    assert "spilt" in struck
    assert "pressed370ml" in struck
    assert "330" not in struck
    assert "was:" not in struck
    assert "shaken" not in struck


def drawn_through(pdf: bytes) -> str:
    """The letters that a level line crosses above their foot."""
    found = ""
    for number in range(len(page_sizes_mm(pdf))):
        lines = paths(pdf, number)
        for ink in letters(pdf, number):
            middle, high = (ink.left + ink.right) / 2, ink.bottom - ink.top
            found += ink.what * any(
                line.left <= middle <= line.right
                and ink.top + high * 0.1 < (line.top + line.bottom) / 2 < ink.bottom - high * 0.1
                for line in lines
            )
    return found


def test_two_hundred_events_run_on_with_their_headings_on_every_page():
    one = OneJar.charged()
    days = [date(2025, 3, 4) + timedelta(days=count) for count in range(199)]
    for day in days:
        one.then(LookedAt(about=one.jar, verdict="fine"), str(day))
    made = paper(one)
    pages = [text_of(made.pdf, number) for number in range(made.pages)]

    assert 2 < made.pages <= 6
    assert all(page.endswith(f"{n} of {made.pages}") for n, page in enumerate(pages, 1))
    for page in pages[1:]:
        if "CAOF-25-01 looked at" in page:
            assert page.startswith(f"Every step, continued – {NOBODY} " + " ".join(HEADS))
    whole_text = " ".join(pages)
    assert [day for day in days if f"{short_day(day)} CAOF-25-01 looked at" not in whole_text] == []
    assert whole_text.count(" looked at, fine ") == 199
    assert_within_margins(made.pdf)


def test_a_note_longer_than_a_page_goes_on_over_the_next_with_nothing_lost():
    words = " ".join(f"word{count}" for count in range(3000))
    made = paper(noted(words))
    text = text_of(made.pdf)

    assert made.pages > 2
    assert [word for word in words.split() if f" {word} " not in text] == []
    assert_within_margins(made.pdf)


@pytest.mark.parametrize("case", sorted(HARD_NAMES.keys() - {"arabic", "hebrew", "hindi"}))
def test_a_hard_name_in_a_note_is_printed_whole(case):
    common, latin = HARD_NAMES[case]
    made = paper(noted(f"{common}; {latin}; {LONG_LATIN}"))

    assert squeezed(f"note: {common}; {latin}; {LONG_LATIN}") in squeezed(text_of(made.pdf))
    assert made.missing == frozenset()
    assert_within_margins(made.pdf)


@pytest.mark.parametrize("case", ["arabic", "hebrew"])
def test_words_from_right_to_left_in_a_note_stand_so(case):
    """PDFium gives each letter's place: read from the right they are the note."""
    note = HARD_NAMES[case][0]
    made = paper(noted(note))
    found = [
        ink
        for page in range(made.pages)
        for ink in letters(made.pdf, page)
        if is_right_to_left(ink.what[0])
    ]
    from_the_right = sorted(found, key=lambda ink: -(ink.left + ink.right))

    assert [ink.what for ink in from_the_right] == [*filter(is_right_to_left, note)]
    assert_within_margins(made.pdf)


def is_right_to_left(letter: str) -> bool:
    return "\u0590" <= letter < "\u0700"


def test_no_text_of_a_book_becomes_anything_but_ink():
    nasty = ") Tj ET endstream endobj << /S /JavaScript /JS (app.alert(1)) >> https://a.example/"
    made = paper(noted(nasty))
    reader = pypdf.PdfReader(io.BytesIO(made.pdf), strict=True)

    assert squeezed(nasty) in squeezed(text_of(made.pdf))
    assert all("/Annots" not in page and "/AA" not in page for page in reader.pages)
    root = reader.trailer["/Root"]
    # fpdf2 writes where the viewer begins as an action's array; a script would be a dictionary.
    assert isinstance(root.get("/OpenAction", []), list)
    assert not {"/AA", "/AcroForm", "/Names"} & root.keys()


def test_control_codes_and_bidi_marks_are_written_out():
    record = record_of(a_life())
    step = msgspec.structs.replace(record.steps[0], said="a\u202eb\x1b[2J", by="c\nd")
    record = msgspec.structs.replace(record, code="X\u2066-1", steps=(step,))
    text = text_of(record_pdf(record, [], UTC).pdf)

    assert "a\\u202eb\\x1b[2J" in text
    assert "c\\x0ad" in text
    assert f"X\\u2066-1 {PRINTED} 1 of" in text


def test_a_batch_that_is_not_in_force_still_has_its_lines_on_paper():
    one = OneJar.charged()
    one.then(Struck(event=one.charge.id, jars=(one.charge.id,), why="never was"), "2025-03-05")
    around = Around(Practice(), graph_of([], []), {}, {})
    record = make_record(
        "CAOF-25-01", None, one.entries, around, BOOK, NOW, entry_names(one.entries, {KITCHEN})
    )
    text = text_of(record_pdf(record, [], UTC).pdf)

    assert "does not count: what began it was struck" in text
    assert "STRUCK on 3 Mar 2025, line 2: never was" in text
    assert (
        "Nothing is recorded of weighed and measured in, sources, lots behind it, make-up" in text
    )


def test_the_command_names_it_after_the_whole_batch(worked):
    answer = worked.run("record CAOF-25-01A/2 --pdf")
    text = text_of((worked.home / "CAOF-25-01.pdf").read_bytes())

    assert (answer.code, answer.out) == (0, "")
    assert answer.err == (
        "Wrote CAOF-25-01.pdf: the batch record of CAOF-25-01, "
        f"{text[-1]} page{'s' * (text[-1] != '1')}.\n"
    )
    assert worked.ok("check --digest").strip() in text


def test_the_command_writes_over_nothing_that_stands_there(worked):
    (worked.home / "notes.pdf").write_text("my notes")

    err = worked.refused("record CAOF-25-01 --pdf --to notes.pdf", code=1)
    assert "There is a file there already, and it is left as it is." in err
    assert (worked.home / "notes.pdf").read_text() == "my notes"
    assert not list(worked.home.glob(".*.tmp"))


@pytest.mark.parametrize("line", ["--to a.pdf", "--pdf --json", "--json --to a.pdf"])
def test_the_command_refuses_what_does_not_go_together(worked, line):
    err = worked.refused(f"record CAOF-25-01 {line}", code=2)

    assert "--pdf" in err
    assert not (worked.home / "a.pdf").exists()


def test_a_row_that_ends_at_the_foot_of_a_page_is_whole_wherever_that_is():
    """The air below its last line may reach beyond the page: nothing of it is left to go on."""
    record = record_of(a_life())
    for words in range(2268, 2381, 14):  # a line more each time, over two pages and a third
        step = msgspec.structs.replace(record.steps[0], said="word " * words, by="Anna")
        long = msgspec.structs.replace(record, steps=(step,))
        made = record_pdf(long, [], UTC, page_mm=(210.0, 297.9))
        assert text_of(made.pdf).count("word") == words
