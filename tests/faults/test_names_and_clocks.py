"""Hostile names, look-alike letters and clocks that are wrong."""

import json
import os
import stat
from datetime import UTC, datetime, timedelta

import pytest

from tests.journal.on_disk import check_chain, write
from tests.lives import OneJar, Pen, a_charge, at
from tracker.core.facts.amendments import Noted
from tracker.core.values.lookalikes import strange_letter

CHARGE = 'charge "Melissa officinalis" --dried 50g --pour "250 ml 45%" --when 2025-03-03'


# Clocks


def test_what_a_clock_ahead_wrote_is_flagged_until_that_time_has_come(seven):
    there = Pen("fast-clock", datetime(2090, 1, 1, tzinfo=UTC))
    there.write(a_charge(code="MEOF-25-01"), "2025-03-03")
    one = OneJar.charged()
    one.pen.source = "fast-dates"
    one.then(Noted(about=one.jar, note="next year"), at("2091-05-05T09:00:00+02:00"))
    write(seven.book, [*there.entries, *one.entries])

    checked = seven.run("check")
    assert checked.code == 0
    assert "event fast-clock-0001: written down 2090-01-01" in checked.out
    assert "happened 5 May 2091" in checked.out
    assert len(json.loads(seven.run("check --json").out)["early"]) == 2


def test_a_clock_set_back_takes_no_record_back_with_it(tmp_path):
    pen = Pen("bench")
    first = pen.write(a_charge(), "2025-03-03")
    write(tmp_path, [first])
    pen.recorded = first.recorded - timedelta(days=400)
    earlier = pen.write(a_charge(code="CAOF-25-02"), "2025-03-03")
    write(tmp_path, [earlier])
    lines = check_chain(tmp_path / "events" / "bench.jsonl")

    assert lines[0]["recordedtime"] == lines[1]["recordedtime"]


# Look-alikes. Names of letters: the Unicode Character Database.


@pytest.mark.parametrize(
    ("text", "letter"),
    [
        ("С\u0410OF-25-01", "cyrillic"),
        ("\u0410-25", "cyrillic capital letter a"),
        ("Melissа officinalis", "cyrillic small letter a"),
        ("C\u0391OF", "greek capital letter alpha"),
    ],
)
def test_a_letter_that_only_looks_latin_is_named(text, letter):
    assert letter in (strange_letter(text) or "")


@pytest.mark.parametrize("text", ["CAOF-25-01", "Крапива двудомная", "Ροδιά", "Achillée"])
def test_a_word_of_one_script_is_as_it_should_be(text):
    assert strange_letter(text) is None


def test_a_code_typed_with_a_look_alike_says_which_letter(seven):
    said = seven.refused("show", "C\u0410OF-25-01")

    assert "cyrillic capital letter a" in said
    assert "did you mean CAOF-25-01" in said


def test_a_herb_written_with_a_look_alike_is_warned_about_and_recorded(seven):
    done = seven.run('charge "Meliss\u0430 officinalis" --dried 50g --pour "250 ml 45%"')

    assert done.code == 0
    assert "cyrillic small letter a" in done.err


def test_a_look_alike_code_of_another_writer_is_shown_by_check(seven):
    write(seven.book, [Pen("other").write(a_charge(code="C\u0410OF-25-01"), "2025-03-03")])

    assert "look-alike" in seven.run("check").out


# Names never reach the disk


@pytest.mark.parametrize("code", ["../../x", "a/b", "CON", "a\\b", "..", "/etc/passwd"])
def test_a_code_never_names_a_file(seven, code):
    before = {path for path in seven.home.rglob("*") if "cache" not in path.parts}
    done = seven.run(CHARGE, "--code", code)
    seven.run("show", code)
    seven.run("history", code)
    after = {path for path in seven.home.rglob("*") if "cache" not in path.parts}

    assert "Traceback" not in done.err
    new = {path.relative_to(seven.home).parts[0] for path in after - before}
    assert new <= {"book", "state"}
    assert {path.name for path in (seven.book / "events").iterdir()} == {"bench.jsonl"}


@pytest.mark.parametrize("writer", ["../../evil", "CON", "a/b", ".hidden", "~x", "x\u202ey", ""])
def test_a_writers_name_is_made_safe_before_it_names_a_file(seven, writer):
    seven.env["STILLROOM_WRITER"] = writer
    seven.ok("note CAOF-25-01 hello")
    names = {path.name for path in (seven.book / "events").iterdir()}

    assert len(names) == 2
    assert all(name.isascii() and "/" not in name and name[0] not in ".~" for name in names)
    assert "con.jsonl" not in {name.lower() for name in names}
    assert {path.name for path in seven.book.iterdir()} <= {"events", "spare"}


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
def test_everything_that_is_made_is_its_makers_own(tmp_path):
    from tests.command import Command

    old = os.umask(0)
    try:
        command = Command(tmp_path)
        command.ok(CHARGE)
        command.ok("shelf")
    finally:
        os.umask(old)
    made = [*command.book.rglob("*"), command.book]
    made += [path for path in command.cache.rglob("*") if path.is_file()]
    modes = {str(path): stat.S_IMODE(path.stat().st_mode) for path in made}

    assert {mode & 0o077 for mode in modes.values()} == {0}, modes


def test_a_link_planted_among_the_files_is_not_followed(seven, tmp_path):
    letter = tmp_path / "letter.txt"
    letter.write_bytes((seven.book / "events" / "bench.jsonl").read_bytes())
    (seven.book / "events" / "planted.jsonl").symlink_to(letter)

    answer = seven.run("check")
    assert answer.code == 1
    assert "\nplanted.jsonl: is a link, which is not followed" in answer.out
    assert sum(".jsonl" in line for line in answer.out.splitlines()) == 1
    assert json.loads(seven.run("check --json").out)["lines"] == 7
