"""A disk that fails while an answer reads the lines themselves: no answer is silently shorter."""

import os

import pytest

from tracker.bench import entries_read
from tracker.journal import read, read_places

LINES = (
    "shelf --on 2025-04-01 --json",
    "season --on 2025-04-01",
    "history CAOF-25-01",
    "history",
    "page --to {number}.html",
    "due",
)


def failing_at(number, once):
    """Opens a file of the book as usual, but for the one time; or from that time on."""
    opened, seen = read.opened, []

    def opens(*given):
        seen.append(given)
        if len(seen) == number or (len(seen) > number and not once):
            raise OSError(5, os.strerror(5))
        return opened(*given)

    return opens, seen


@pytest.mark.parametrize("once", [True, False])
@pytest.mark.parametrize("line", LINES)
def test_no_answer_is_shorter_without_a_word(worked, monkeypatch, line, once):
    whole = worked.ok(line.format(number=0))
    pages = [worked.home / f"{number}.html" for number in range(20)]
    for number in range(1, 20):
        with monkeypatch.context() as patch:
            opens, seen = failing_at(number, once)
            for module in (read, read_places):
                patch.setattr(module, "opened", opens)
            answer = worked.run(line.format(number=number))
        if len(seen) < number:
            break
        if answer.code == 0 and "INCOMPLETE" not in answer.err:
            if "page" not in line:
                assert answer.out == whole, (number, answer)
            elif pages[number].exists():
                assert pages[number].read_bytes() == pages[0].read_bytes()
        elif answer.code:
            assert "to do:" in answer.err
    assert number > 1 or "due" in line


def test_a_file_that_cannot_be_compared_is_no_copy_of_nothing(worked, monkeypatch):
    """Once it said that the book contains all of the copy, 0 lines, and ended with 0."""
    worked.ok("backup copy")
    for number in range(1, 12):
        with monkeypatch.context() as patch:
            opens, seen = failing_at(number, once=True)
            patch.setattr(read, "opened", opens)
            answer = worked.run("backup copy --verify")
        if len(seen) < number:
            break
        assert answer.code == 1 or ", 7 lines" in answer.out, (number, answer)
        assert ", 0 lines" not in answer.out


@pytest.mark.parametrize("lines", [0, 3])
def test_a_file_that_is_shorter_or_gone_when_it_is_read_is_missed(worked, monkeypatch, lines):
    """A synchronising tool takes it away between the look at its size and the reading."""
    line = "shelf --on 2025-04-10 --json"
    whole = worked.ok(line)
    own = worked.book / "events" / "bench.jsonl"
    shorter = own.read_bytes().splitlines(keepends=True)[:lines]
    marks = entries_read.marks

    def marks_of_less(book):
        own.unlink(missing_ok=True)
        if shorter:
            own.write_bytes(b"".join(shorter))
        return marks(book)

    monkeypatch.setattr(entries_read, "marks", marks_of_less)
    answer = worked.run(line)

    assert answer.out != whole
    assert "INCOMPLETE" in answer.err
