"""Lines of any length: read in bounded memory and in time that grows with them."""

import time

import pytest

from scripts.fuzz import CORPUS, relinked
from tests.journal.on_disk import a_bench, file_of, some, write
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.values.errors import MisusedError
from tracker.journal.append import append
from tracker.journal.line import LONGEST_LINE_BYTES
from tracker.journal.read import read_book

WHOLE = (CORPUS / "whole.jsonl").read_bytes()
BODIES = [line[:-77] for line in WHOLE.split(b"\n")[:-1]]


def read_with(tmp_path, second):
    """The named book with another second line, its chain made to fit."""
    events = tmp_path / "book" / "events"
    events.mkdir(parents=True)
    (events / "bench.jsonl").write_bytes(relinked([BODIES[0], second, *BODIES[2:]]))
    return read_book(tmp_path / "book")


def padded(length):
    """The second line made so long, line feed included, by a field that nobody reads."""
    short = BODIES[1].replace(b'"data":{', b'"data":{"more":"",')
    return short.replace(b'"more":"', b'"more":"' + b"x" * (length - len(short) - 78))


def test_a_line_of_the_greatest_length_is_read_and_a_longer_one_set_apart(tmp_path):
    placed, damages = read_with(tmp_path / "most", padded(LONGEST_LINE_BYTES))
    assert (len(placed), damages) == (5, [])

    placed, (damage,) = read_with(tmp_path / "more", padded(LONGEST_LINE_BYTES + 1))
    assert [one.entry.sequence for one in placed] == [1, 3, 4, 5]
    assert (damage.line, damage.kind) == (2, "apart")
    assert f"It has {LONGEST_LINE_BYTES + 1} bytes" in damage.why


def test_no_line_is_written_that_would_be_set_apart(tmp_path):
    one = some(1)[0]
    write(tmp_path / "book", [one])
    before = file_of(tmp_path / "book").read_bytes()
    jars = tuple(f"jar-{number:08d}" for number in range(LONGEST_LINE_BYTES // 12))
    shake = Entry("shake-0001", one.source, 2, "all", one.when, one.recorded, Shaken(jars=jars))

    with pytest.raises(MisusedError, match="in several steps"):
        append(tmp_path / "book", one.source, [shake], tmp_path / "spare")
    assert file_of(tmp_path / "book").read_bytes() == before


@pytest.mark.parametrize("kind", [b"shaken", b"stirred"])
def test_a_line_that_names_thousands_of_jars_takes_time_that_grows_with_them(tmp_path, kind):
    def seconds(count):
        jars = b",".join(b'"jar-%07d"' % number for number in range(count))
        line = BODIES[1].replace(b'"noted"', b'"%b"' % kind)
        line = line[: line.index(b'"data"')] + b'"data":{"v":1,"jars":[%b]}' % jars
        home = tmp_path / str(count)
        assert read_with(home, line)[1] == []
        start = time.process_time()
        a_bench(home).batches()
        return time.process_time() - start

    few, many = seconds(2_000), seconds(16_000)
    assert many < 24 * few  # 8 where it is in proportion, 64 where each is held to all others
