"""The end of a file taken away: what is left is valid, and only memory tells."""

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
    assert "another line than on" in checked.out


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
