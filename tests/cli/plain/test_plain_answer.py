"""A plain line is answered word for word as by what reads every line."""

import pytest

CODES = ("CAOF-25-01", "caof-25", "CAOF-25-01A", "CAOF-25-01A/1", "LOT-25-01", "XXXX", "C", "é")
LINES = ("due", "shelf", "stock", *(f"show {one}" for one in CODES))


def same(command):
    return [
        line for line in LINES if command.plainly(line) != command.run(line)
    ]  # the one that asks first finds the read model as it was left


def test_the_answer_is_the_same(worked):
    assert same(worked) == []


def test_so_it_is_of_a_book_that_is_not_whole(worked):
    (file,) = (worked.book / "events").iterdir()
    file.write_bytes(file.read_bytes().replace(b"Calendula", b"Calenduli", 1))

    assert "INCOMPLETE" in worked.plainly("due").err
    assert same(worked) == []


def test_so_it_is_where_the_practice_cannot_be_read(worked):
    worked.practice("zone = 3\n")

    assert worked.plainly("shelf").code == 2
    assert same(worked) == []


def test_so_it_is_where_there_is_no_book(command):
    assert command.plainly("due").code == 1
    assert same(command) == []


def test_so_it_is_of_an_empty_book(command):
    (command.book / "events").mkdir(parents=True)

    assert same(command) == []


@pytest.mark.parametrize("book", ["no\udce9.txt", "book/events/x.jsonl", "."])
def test_so_it_is_of_what_is_no_book(worked, book):
    (worked.home / "no\udce9.txt").write_text("no book")
    worked.env["STILLROOM_BOOK"] = book

    assert same(worked) == []


def test_what_the_daemon_could_not_deliver_is_printed_first_and_once(worked):
    state = worked.bench().state
    state.mkdir(parents=True, exist_ok=True)
    (state / "untold").write_text("CAOF-25-01 is ready\n")

    assert "CAOF-25-01 is ready" in worked.plainly("due").err
    assert "CAOF-25-01 is ready" not in worked.plainly("due").err


def test_what_is_typed_by_accident_beside_it_is_refused_by_what_reads_every_line(worked):
    assert worked.installed("due now").code == 2
    assert worked.installed("--book").code == 2
