"""A digest on paper, and copies that are verified: what proves a book whole later."""

import os
import re
import shutil
import stat

import pytest

from tests.journal.on_disk import put
from tracker.journal import backup, read, whole_file


def own(command):
    return command.book / "events" / "bench.jsonl"


def shorten(command, lines=1):
    put(own(command), b"".join(own(command).read_bytes().splitlines(keepends=True)[:-lines]))
    shutil.rmtree(command.cache, ignore_errors=True)


# A digest on paper


def test_the_digest_is_short_and_the_same_whoever_takes_it(seven, tmp_path):
    text = seven.ok("check --digest").strip()
    seven.env["STILLROOM_BOOK"] = str(tmp_path / "carried")
    shutil.copytree(seven.book, tmp_path / "carried")

    assert re.fullmatch(r"7\.([0-9A-HJKMNP-TV-Z]{4}-){4}[0-9A-HJKMNP-TV-Z]{4}", text)
    assert seven.ok("check --digest").strip() == text


def test_a_book_is_held_to_its_digest_as_the_same_or_grown(seven):
    text = seven.ok("check --digest").strip()
    assert "exactly as i" in seven.ok("check --against", text)
    sloppy = text.lower().replace("-", " ").replace("0", "o").replace("1", "l")
    assert "exactly as i" in seven.ok("check --against", sloppy)

    seven.ok("note CAOF-25-01 'one line more'")
    assert "grown since" in seven.ok("check --against", text)


def test_a_book_that_another_writer_joined_has_grown(seven):
    text = seven.ok("check --digest").strip()
    seven.env["STILLROOM_WRITER"] = "a-first-by-name"
    seven.ok("note CAOF-25-01 'from the other machine'")

    assert "grown since" in seven.ok("check --against", text)
    assert seven.ok("check --digest").startswith("1+7.")


def test_a_book_whose_end_was_taken_is_not_the_same_even_if_it_grew_again(seven):
    text = seven.ok("check --digest").strip()
    shorten(seven)
    assert seven.run("check").code == 0, "the cache was deleted: nothing else can tell"

    gone = seven.run("check --against", text)
    assert (gone.code, "NOT the one" in gone.out) == (1, True)
    seven.ok("note CAOF-25-01 'in place of what was taken'")
    seven.ok("note CAOF-25-01 'and more'")
    assert seven.run("check --against", text).code == 1


@pytest.mark.parametrize("text", ["", "7", "7.ABCD", "x.AAAA-AAAA-AAAA-AAAA-AAAA", "=1+1"])
def test_what_is_no_digest_is_refused(seven, text):
    assert "is not a digest of a book" in seven.refused("check --against", text, code=2)


def test_a_damaged_book_is_never_said_to_be_the_same(seven):
    text = seven.ok("check --digest").strip()
    whole = own(seven).read_bytes()
    put(own(seven), whole.replace(b'"volume_ml":370', b'"volume_ml":371', 1))

    checked = seven.run("check --against", text)
    assert checked.code == 1
    assert "bench.jsonl, line 6" in checked.out


# Copies


def test_a_copy_is_a_book_that_can_be_read_and_restored(seven, tmp_path):
    said = seven.ok("backup", str(tmp_path / "copy"))
    shelf, digest = seven.ok("shelf --done"), seven.ok("check --digest")
    assert "Copied and read back: 7 lines" in said

    shutil.rmtree(seven.book)
    shutil.copytree(tmp_path / "copy", seven.book)
    assert seven.ok("shelf --done") == shelf
    assert seven.ok("check --digest") == digest
    seven.ok("note CAOF-25-01 'and it goes on'")
    assert seven.run("check").code == 0


def test_a_copy_is_brought_up_to_date_in_place(seven, tmp_path):
    seven.ok("backup", str(tmp_path / "copy"))
    seven.ok("note CAOF-25-01 'one line more'")

    before = seven.run("backup --verify", str(tmp_path / "copy"))
    assert (before.code, "1 line only in the book" in before.out) == (0, True)
    seven.ok("backup", str(tmp_path / "copy"))
    assert (tmp_path / "copy/events/bench.jsonl").read_bytes() == own(seven).read_bytes()
    assert not [one for one in (tmp_path / "copy").rglob(".*") if one.is_file()]


def test_what_a_killed_copy_left_is_taken_away_by_the_next(seven, tmp_path):
    copy = tmp_path / "copy"
    seven.ok("backup", str(copy))
    left = copy / "events" / f".stillroom-{'0' * 24}.tmp"
    left.write_bytes(b"half a file")
    os.utime(left, (0, 0))
    seven.ok("backup", str(copy))

    assert [one.name for one in (copy / "events").iterdir()] == ["bench.jsonl"]


def test_a_copy_lasts_with_the_folders_that_lead_to_it(seven, tmp_path, monkeypatch):
    """Else a power cut takes the new folder away, with all that was said to be copied."""
    synced = []
    for module in (backup, whole_file):
        monkeypatch.setattr(module, "sync_folder", synced.append)
    seven.ok("backup", str(tmp_path / "copies" / "first"))

    wanted = {tmp_path, tmp_path / "copies", tmp_path / "copies/first"}
    assert wanted | {tmp_path / "copies/first/events"} <= set(synced)


def test_a_file_that_cannot_be_read_says_what_to_do(seven, tmp_path, monkeypatch):
    """A copy that is there and does not read back is no copy, and somebody has to look."""
    seven.ok("backup", str(tmp_path / "copy"))

    def fails(*_):
        raise OSError(5, os.strerror(5))

    monkeypatch.setattr(read, "opened", fails)
    for line in (f"backup --verify {tmp_path / 'copy'}", "check"):
        answer = seven.run(line)
        assert answer.code == 1
        assert "cannot be read: Input/output error" in answer.out + answer.err
        assert "to do: make sure that the disk is sound" in answer.out + answer.err


def test_a_copy_with_lines_the_book_lost_is_never_written_over(seven, tmp_path):
    seven.ok("backup", str(tmp_path / "copy"))
    kept = (tmp_path / "copy/events/bench.jsonl").read_bytes()
    shorten(seven, 2)

    said = seven.refused("backup", str(tmp_path / "copy"))
    assert "holds 2 lines of bench.jsonl that the book does not" in said
    assert (tmp_path / "copy/events/bench.jsonl").read_bytes() == kept
    verified = seven.run("backup --verify", str(tmp_path / "copy"))
    assert verified.code == 1
    assert "2 lines of the copy NOT in the book" in verified.out


def test_a_copy_that_went_bad_is_named_by_line_and_byte(seven, tmp_path):
    seven.ok("backup", str(tmp_path / "copy"))
    file = tmp_path / "copy/events/bench.jsonl"
    file.write_bytes(file.read_bytes().replace(b"remark 0", b"remark O", 1))

    verified = seven.run("backup --verify", str(tmp_path / "copy"))
    assert verified.code == 1
    assert "bench.jsonl, line 2, byte" in verified.out


@pytest.mark.parametrize("where", ["book/copy", "letters", "letter.txt"])
def test_a_copy_never_goes_inside_the_book_or_over_other_things(seven, where):
    (seven.home / "letters").mkdir()
    (seven.home / "letters" / "ines.txt").write_text("Dear Ines")
    (seven.home / "letter.txt").write_text("Dear Ines")

    seven.refused("backup", str(seven.home / where))
    assert (seven.home / "letters" / "ines.txt").read_text() == "Dear Ines"
    assert (seven.home / "letter.txt").read_text() == "Dear Ines"


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
def test_a_copy_is_its_makers_own_to_read(seven, tmp_path):
    seven.ok("backup", str(tmp_path / "copy"))
    places = [tmp_path / "copy", *(tmp_path / "copy").rglob("*")]

    assert [stat.S_IMODE(one.stat().st_mode) & 0o077 for one in places] == [0] * len(places)


# Editors and transfers


@pytest.mark.parametrize("damage", ["CR LF", "byte order mark", "both"])
def test_what_an_editor_put_around_the_lines_is_read_past_and_said(seven, damage):
    shelf, whole = seven.ok("shelf --done"), own(seven).read_bytes()
    if damage != "byte order mark":
        whole = whole.replace(b"\n", b"\r\n")
    if damage != "CR LF":
        whole = b"\xef\xbb\xbf" + whole
    put(own(seven), whole)

    checked = seven.run("check")
    assert checked.code == 0
    assert ("CR LF" in checked.out) == (damage != "byte order mark")
    assert ("byte order mark" in checked.out) == (damage != "CR LF")
    assert seven.ok("shelf --done") == shelf
    seven.ok("note CAOF-25-01 'goes on the same chain'")
    assert own(seven).read_bytes().startswith(whole)
    assert seven.run("check").code == 0
    assert len(seven.json("history CAOF-25-01")) == 8
