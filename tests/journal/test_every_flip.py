"""Every byte of a book changed in its turn: what is remembered is never taken for what is there."""

import tempfile
from contextlib import closing
from pathlib import Path

import pytest

from scripts.fuzz import relinked
from tests.journal.model.test_bring_on import a_model, held
from tests.journal.on_disk import a_bench, file_of, some, write, write_together
from tracker.core.values.errors import BookError
from tracker.journal.file_marks import marks
from tracker.journal.model import refresh
from tracker.journal.read import read_book, read_on
from tracker.journal.read_places import read_entries
from tracker.journal.seen_before import still_begins_so

FLIPS = (0x01, 0x20, 0xFF)


def a_book(home):
    """Lines of every sort: alone, together, spoilt, without a digest, with CR LF, too short."""
    write(home / "book", some(2))
    write_together(home / "book", some(4)[2:])
    file = file_of(home / "book")
    lines = file.read_bytes().split(b"\n")[:-1]
    spoilt = lines[1].replace(b"shaken", b"shakem")
    strange = relinked([b'{"no":"event"'])[:-1]
    file.write_bytes(b"\n".join([lines[0], spoilt, b"", b"{}", *lines[1:3], lines[3] + b"\r", b""]))
    (home / "book" / "events" / "other.jsonl").write_bytes(strange + b"\n" + lines[0] + b"\n")
    return file


@pytest.mark.parametrize("file", ["kitchen-anna.jsonl", "other.jsonl"])
def test_a_file_begins_so_until_any_of_its_bytes_changes(tmp_path, file):
    a_book(tmp_path)
    book, path = tmp_path / "book", tmp_path / "book" / "events" / file
    whole = path.read_bytes()
    mark = read_on(book, marks(book)[file], [], [])
    assert mark.read_to > len(whole) / 2
    assert still_begins_so(book, mark)

    with path.open("r+b", buffering=0) as opened:
        for place in range(mark.read_to):
            was = whole[place]
            for flip in (*FLIPS, 0):
                opened.seek(place)
                opened.write(bytes([was ^ flip]))
                assert still_begins_so(book, mark) == (not flip), (place, flip, was)
    path.write_bytes(whole + b"more")
    assert still_begins_so(book, mark)
    path.write_bytes(whole[: mark.read_to - 1])
    assert not still_begins_so(book, mark)


def test_a_spoilt_line_that_is_put_right_is_read(tmp_path):
    file = a_book(tmp_path)
    model = a_model(tmp_path)
    refresh.refresh(model).close()
    file.write_bytes(file.read_bytes().replace(b"shakem", b"shaken"))

    with closing(refresh.refresh(model)) as connection:
        assert held(connection) == built(tmp_path)


def built(home):
    with tempfile.TemporaryDirectory() as fresh:
        model = a_model(Path(fresh))
        with closing(refresh.refresh(type(model)(home / "book", model.file))) as connection:
            return held(connection)


def test_a_line_that_changed_since_it_was_found_is_not_taken(tmp_path):
    """As where a disk changes it and no look at the file tells."""
    write(tmp_path / "book", some(3))
    file = file_of(tmp_path / "book")
    whole = file.read_bytes()
    places = [one.place for one in read_book(tmp_path / "book")[0]]
    assert len(read_entries(tmp_path / "book", places)) == 3

    second = places[1]
    with file.open("r+b", buffering=0) as opened:
        for place in range(second.offset, second.offset + second.length):
            opened.seek(place)
            opened.write(bytes([whole[place] ^ 0x01]))
            with pytest.raises(BookError, match="being changed while it is read"):
                read_entries(tmp_path / "book", [second])
            opened.seek(place)
            opened.write(whole[place : place + 1])


def test_a_flip_is_answered_alike_whether_the_book_was_read_before_or_not(tmp_path):
    file = a_book(tmp_path)
    whole, step = file.read_bytes(), 61
    model = a_bench(tmp_path).model
    refresh.refresh(model).close()
    remembered = model.file.read_bytes()

    for place in range(0, len(whole), step):
        changed = bytearray(whole)
        changed[place] ^= 0x01
        file.write_bytes(changed)
        model.file.write_bytes(remembered)
        with closing(refresh.refresh(model)) as connection:
            warm = held(connection)
        cold = built(tmp_path)
        # What is missed of its end is remembered, and is no part of what was read.
        warm["damages"] = [one for one in warm["damages"] if not one.gone]
        for table in cold.keys() - {"heads"}:
            assert warm[table] == cold[table], (place, table)
