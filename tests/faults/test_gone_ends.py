"""The end of a file taken away: what is left is valid, and only memory tells."""

import re
import shutil

import pytest

from tests.journal.on_disk import check_chain, put


@pytest.fixture
def seen(seven):
    """The book, asked once, so that its end is known."""
    seven.ok("shelf --done")
    return seven


def own(command):
    return command.book / "events" / "bench.jsonl"


def cut(command, lines):
    """Take so many lines from the end; the bytes as they were."""
    whole = own(command).read_bytes()
    put(own(command), b"".join(whole.splitlines(keepends=True)[:-lines]))
    return whole


def test_lines_gone_from_the_end_are_named_and_every_answer_is_incomplete(seen):
    last = check_chain(own(seen))[-1]["digest"]
    cut(seen, 2)

    answer = seen.run("shelf")
    assert answer.code == 0
    assert "INCOMPLETE" in answer.err
    checked = seen.run("check")
    assert checked.code == 1
    assert "bench.jsonl, line 6" in checked.out
    assert "2 lines are gone from the end" in checked.out
    assert str(last)[:16] in checked.out
    report = seen.run("check --json")
    assert '"whole": false' in report.out


def test_the_end_stays_missed_through_new_records_and_comes_back_with_the_file(seen):
    whole = cut(seen, 2)
    assert "2 lines are gone" in seen.refused("note CAOF-25-01 'written on the shorter file'")
    seen.ok("note CAOF-25-01 'written on the shorter file' --sure")
    shorter = own(seen).read_bytes()
    seen.run("shelf")
    assert seen.run("check").code == 1

    put(own(seen), whole)
    # Now it is the note that is gone; both are there once the copy is read beside it.
    (own(seen).parent / "bench.sync-conflict-20260101-120000.jsonl").write_bytes(shorter)
    assert "INCOMPLETE" not in seen.run("shelf --done").err


def test_a_shorter_file_is_taken_as_it_is_once_the_maker_accepts_it(seen):
    cut(seen, 1)
    assert seen.run("check").code == 1

    accepted = seen.run("check --accept")
    assert accepted.code == 0, accepted.out
    assert seen.run("check").code == 0
    assert "INCOMPLETE" not in seen.run("shelf").err


def test_another_end_of_the_same_length_is_noticed(seen, tmp_path):
    """Somebody wrote the last line anew, with a digest that fits."""
    other = seen.book.parent / "other"
    shutil.copytree(seen.book, other)
    cut(seen, 1)
    seen.env["XDG_CACHE_HOME"] = str(tmp_path / "another-cache")
    seen.ok("note CAOF-25-01 'not what stood here'")
    seen.env["XDG_CACHE_HOME"] = str(seen.cache)

    checked = seen.run("check")
    assert checked.code == 1
    assert re.search(r"not the line that was there on \d+ \w+ \d{4} at \d\d:\d\d UTC", checked.out)


def test_a_whole_file_gone_is_noticed_but_not_that_of_a_copy_whose_lines_are_elsewhere(seen):
    copy = own(seen).with_name("bench (conflicted copy).jsonl")
    copy.write_bytes(own(seen).read_bytes())
    seen.ok("shelf --done")
    copy.unlink()
    assert "INCOMPLETE" not in seen.run("shelf --done").err

    own(seen).rename(seen.home / "taken-away")
    assert "the whole file is gone, 7 lines" in seen.run("check").out


def test_whoever_deletes_the_cache_forgets_as_the_promise_says(seen):
    cut(seen, 1)
    shutil.rmtree(seen.cache)

    assert seen.run("check").code == 0


# An older copy put back right after a record


def rolled_back(command):
    """Recorded, and at once the file as it was before is put in its place; the newer bytes."""
    older = own(command).read_bytes()
    command.ok("note CAOF-25-01 'just now'")
    newer = own(command).read_bytes()
    put(own(command), older)
    return newer


def test_an_older_copy_put_back_is_named_without_the_cache_as_well(seven):
    newer = rolled_back(seven)
    shutil.rmtree(seven.cache)

    assert "INCOMPLETE" in seen_by(seven, "shelf")
    checked = seven.run("check")
    assert checked.code == 1
    assert "bench.jsonl, line 8" in checked.out
    shutil.rmtree(seven.cache)
    assert "INCOMPLETE" in seen_by(seven, "due")

    put(own(seven), newer)
    assert seven.run("check").code == 0
    assert "INCOMPLETE" not in seen_by(seven, "shelf")


def seen_by(command, line):
    answer = command.run(line)
    assert answer.code == 0
    return answer.err


def test_a_number_is_not_given_twice_unless_somebody_is_sure(seven):
    newer = rolled_back(seven)
    shutil.rmtree(seven.cache)

    refused = seven.refused("note CAOF-25-01 'another'")
    assert "1 line is gone from the end" in refused
    assert "check --accept" in refused
    sure = seven.run("note CAOF-25-01 'another' --sure")
    assert sure.code == 0
    assert "takes numbers that were given before" in sure.err
    shutil.rmtree(seven.cache)
    assert "INCOMPLETE" in seen_by(seven, "shelf")  # the line that is gone stays missed

    own(seven).with_name("bench (newer copy).jsonl").write_bytes(newer)
    assert "INCOMPLETE" not in seen_by(seven, "shelf")


def test_a_line_that_is_gone_stays_missed_however_much_is_recorded_after_it(seven):
    """The file grows past the number of the line it lost, and the cache is deleted then."""
    rolled_back(seven)
    for text in ("another", "a second", "a third"):
        seven.ok(f"note CAOF-25-01 '{text}' --sure")
    shutil.rmtree(seven.cache)

    assert "INCOMPLETE" in seen_by(seven, "shelf")
    assert "bench.jsonl, line 8" in seven.run("check").out


def test_beside_the_newer_copy_a_shorter_own_file_is_still_asked_about(seven):
    """Nothing is missed, since another file holds it; but its number is given."""
    own(seven).with_name("bench (newer copy).jsonl").write_bytes(rolled_back(seven))

    assert "INCOMPLETE" not in seen_by(seven, "shelf")
    assert "ends at line 7" in seven.refused("note CAOF-25-01 'another'")
    seven.ok("check --accept")
    seven.ok("note CAOF-25-01 'another'")


def test_two_lines_of_one_number_are_told_apart_and_each_is_found_by_what_it_is_called(seven):
    """A writer whose file went two ways: on an older copy, and in the newer one beside it."""
    newer = rolled_back(seven)
    seven.ok("note CAOF-25-01 'another' --sure")
    own(seven).with_name("bench (newer copy).jsonl").write_bytes(newer)

    ids = [one["id"] for one in seven.lines() if one["sequence"] == "0000000008"]
    ends = {one[-12:] for one in ids}
    assert len(ends) == 2
    assert {one for one in ends if one in seven.told("history CAOF-25-01")} == ends
    refused = seven.refused("strike 8 --why 'which one'")
    assert {one for one in ends if one in refused} == ends
    for end in ends:
        seven.ok(f"strike {end} --why 'this one' --sure")


def test_accepted_with_no_cache_it_is_missed_no_longer(seven):
    rolled_back(seven)
    shutil.rmtree(seven.cache)
    seven.ok("check --accept")
    seven.ok("note CAOF-25-01 'another'")

    assert seven.run("check").code == 0
