"""A line of the book: written, read back, and read by others."""

import re
from datetime import UTC, datetime, timedelta, timezone
from hashlib import sha256

import msgspec
import pytest
from cloudevents.core.formats.json import JSONFormat
from cloudevents.core.v1.event import CloudEvent
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import SHORT, USUAL
from tests.lives import (
    DAY_ONE,
    KINDS,
    OneJar,
    a_charge,
    any_entry,
    entries_of,
    facts_of,
    spirit,
)
from tracker.core.facts.amendments import Corrected, Noted
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.facts.kinds import AnyFact, Unknown
from tracker.core.facts.limits import validated
from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.values.errors import DamagedLineError, MisusedError
from tracker.core.values.times import When
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import (
    link,
    read_line,
    sequence_of,
    split_digest,
    write_line,
    write_unit,
)

# CloudEvents 1.0.2, "Attribute naming convention": lower-case letters and digits, and at most
# 20 characters advised.
ATTRIBUTE = re.compile(r"[a-z0-9]{1,20}")


def written(entry: Entry, previous: str = GENESIS) -> bytes:
    """The line without its newline."""
    line, _ = write_line(entry, previous)
    assert line.endswith(b"\n")
    return line[:-1]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_a_line_of_every_kind_reads_back_as_it_was_written(kind):
    @SHORT
    @given(entries_of(kind))
    def reads_back(entry):
        again = read_line(written(entry))

        assert again == entry
        assert again.when.start.utcoffset() == entry.when.start.utcoffset()
        assert type(again.fact) is kind

    reads_back()


@USUAL
@given(any_entry)
def test_a_line_is_one_line_of_utf_8_whatever_was_written_on_it(entry):
    line = written(entry)

    assert b"\n" not in line
    assert line.decode().encode() == line


@USUAL
@given(any_entry)
def test_the_public_cloudevents_sdk_reads_every_line(entry):
    """The reference reader: package `cloudevents` 2, CloudEvents 1.0 in JSON."""
    event = JSONFormat().read(CloudEvent, written(entry))

    assert event.get_specversion() == "1.0"
    assert (event.get_id(), event.get_source()) == (entry.id, entry.source)
    assert (event.get_type(), event.get_subject()) == (entry.kind, entry.subject)
    assert event.get_time() == entry.when.start
    assert event.get_datacontenttype() == "application/json"
    assert event.get_extension("precision") == entry.when.precision
    assert event.get_data()["v"] == 1
    names = event.get_attributes().keys()
    assert all(ATTRIBUTE.fullmatch(name) for name in names)
    assert {"recordedtime", "sequence", "digest"} <= set(names)


def test_a_correction_to_nothing_says_so_on_its_line():
    """`longest` none, no lots: taken back by the correction, and not left out of it."""
    values = {"longest": None, "lots": [], "note": None, "shake": []}
    fact = Corrected(event="event-0001", jars=("jar-00001",), set=values, why="no such limit")
    entry = OneJar.charged().then(fact, "2025-06-01")

    assert read_line(written(entry)).fact.set == values


# The chain


@SHORT
@given(st.lists(any_entry, min_size=1, max_size=3))
def test_each_digest_is_the_sha_256_of_the_one_before_and_the_bytes_before_it(entries):
    """Reckoned again here with hashlib alone, as the format's description says."""
    previous = "0" * 64
    for entry in entries:
        line, digest = write_line(entry, previous)
        body, comma, tail = line.rpartition(b',"digest":"')
        assert comma
        assert tail == digest.encode() + b'"}\n'
        assert digest == sha256(previous.encode("ascii") + body).hexdigest()
        assert split_digest(line[:-1]) == (body, digest)
        assert link(previous, body) == digest
        previous = digest


@USUAL
@given(any_entry, st.data())
def test_no_byte_of_a_line_changes_without_the_digest_telling(entry, data):
    line = bytearray(written(entry))
    place = data.draw(st.integers(0, len(line) - 1))
    line[place] ^= data.draw(st.integers(1, 255))
    try:
        body, stated = split_digest(bytes(line))
    except DamagedLineError:
        return
    assert link(GENESIS, body) != stated


@pytest.mark.parametrize(
    "tail",
    [
        b"", b"{}", b',"digest":"12"}', b',"digest":"' + b"g" * 64 + b'"}',
        b',"digest":"' + b"A" * 64 + b'"}', b',"digest":"' + b"a" * 64 + b'"} ',
        b',"digest":"' + b"a" * 64 + b'"',
    ],
)  # fmt: skip
def test_a_line_that_does_not_end_in_a_digest_is_damaged(tail):
    with pytest.raises(DamagedLineError):
        split_digest(b'{"specversion":"1.0"' + tail)


def test_a_text_that_looks_like_a_digest_is_not_taken_for_one():
    """Only the end of the line counts, and a quote inside a text is escaped."""
    note = f'x","digest":"{"a" * 64}"}}'
    entry = OneJar.charged().then(Noted(about=OneJar.charged().jar, note=note), "2025-03-04")
    line = written(entry)

    assert read_line(line).fact.note == note
    assert split_digest(line)[1] != "a" * 64


# The line's own attributes


def test_the_attributes_stand_in_the_documented_order_with_the_digest_last():
    line = written(OneJar.charged().charge)

    assert list(msgspec.json.decode(line)) == [
        "specversion", "id", "source", "type", "subject", "time", "precision", "recordedtime",
        "sequence", "datacontenttype", "data", "digest",
    ]  # fmt: skip


def test_a_line_of_a_unit_names_it_and_its_place_after_its_number():
    one = OneJar.charged()
    one.shake("2025-03-04")
    lines, digest = write_unit(one.entries, GENESIS)
    first, second = (msgspec.json.decode(line) for line in lines)

    assert list(second)[8:12] == ["sequence", "unit", "unitplace", "datacontenttype"]
    assert [(at["unit"], at["unitplace"]) for at in (first, second)] == [
        (one.charge.id, "1/2"),
        (one.charge.id, "2/2"),
    ]
    assert second["digest"] == digest
    event = JSONFormat().read(CloudEvent, lines[1])
    assert (event.get_extension("unit"), event.get_extension("unitplace")) == (one.charge.id, "2/2")


@pytest.mark.parametrize(
    ("unit", "place"),
    [
        ("kitchen-0001", "2/2"),  # the first line of a unit names itself, and no other does
        ("kitchen-0002", "1/2"),
        ("", "1/2"),
        ("kitchen-0001", ""),
        ("kitchen-0001", "1/1"),
        ("kitchen-0001", "0/2"),
        ("kitchen-0001", "1/02"),
        ("kitchen-0001", "1/2/3"),
    ],
)
def test_a_place_that_no_unit_has_is_damage(unit, place):
    line = written(replace(OneJar.charged().charge, id="kitchen-0001"))
    said = f'"unit":"{unit}","unitplace":"{place}","datacontenttype"'.encode()
    assert read_line(line)

    with pytest.raises(DamagedLineError):
        read_line(line.replace(b'"datacontenttype"', said, 1))


def test_times_are_rfc_3339_with_the_makers_offset_and_recording_in_utc():
    entry = replace(
        OneJar.charged().charge,
        when=When(datetime(2025, 3, 3, 18, 30, tzinfo=timezone(timedelta(hours=1))), "time"),
        recorded=datetime(2025, 3, 3, 17, 31, 5, 250_000, tzinfo=UTC),
    )
    line = msgspec.json.decode(written(entry))

    assert line["time"] == "2025-03-03T18:30:00+01:00"
    assert line["recordedtime"] == "2025-03-03T17:31:05.250000Z"


def test_a_sequence_has_ten_digits_and_so_sorts_as_text():
    entry = replace(OneJar.charged().charge, sequence=42)
    line = written(entry)

    assert msgspec.json.decode(line)["sequence"] == "0000000042"
    assert sequence_of(line) == 42


def test_the_kind_stands_on_the_line_and_not_in_the_data():
    line = msgspec.json.decode(written(OneJar.charged().charge))

    assert line["type"] == "charged"
    assert "kind" not in line["data"]
    assert line["data"]["v"] == 1


def holds_nothing(value: object) -> bool:
    """Whether a null or an empty list is anywhere in it; null is a strength nobody knows."""
    if isinstance(value, dict):
        return any(holds_nothing(one) for name, one in value.items() if name != "ethanol_pct_vol")
    if isinstance(value, list):
        return not value or any(map(holds_nothing, value))
    return value is None


@USUAL
@given(any_entry)
def test_what_is_not_known_is_left_out_of_the_data(entry):
    """FORMAT.md: no null but an unknown strength, no empty list, but in what a correction gives."""
    data = msgspec.json.decode(written(entry))["data"]
    data.pop("set", None)

    assert not holds_nothing(data)


# Lines that are not what was written


GOOD = written(OneJar.charged().charge)


@pytest.mark.parametrize(
    ("was", "becomes", "kind", "v"),
    [
        (b'"type":"charged"', b'"type":"distilled"', "distilled", 1),
        (b'"v":1', b'"v":2', "charged", 2),
    ],
)
def test_a_kind_or_version_that_is_not_known_is_kept_as_such(was, becomes, kind, v):
    read = read_line(GOOD.replace(was, becomes, 1))

    assert (type(read.fact), read.kind, read.fact.v) == (Unknown, kind, v)


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        (b'"time":"2025-03-03T00:00:00+01:00"', b'"time":"2025-03-03T00:00:00"'),
        (b'"time":"2025-03-03T00:00:00+01:00"', b'"time":"yesterday"'),
        (b'"precision":"day"', b'"precision":"decade"'),
        (b'"sequence":"0000000001"', b'"sequence":"first"'),
        (b'"herb_g":100.0', b'"herb_g":"much"'),
        (b'"herb_g":100.0', b'"herb_g":NaN'),
        (b'"every_days":1', b'"every_days":0'),
        (b'"form":"dried"', b'"form":"candied"'),
        (b'"subject":"CAOF-25-01",', b""),
        (b'"data":{', b'"data":[{'),
        (b"{", b"", ),
    ],
)  # fmt: skip
def test_a_line_that_is_no_event_is_named_as_damaged(was, becomes):
    assert was in GOOD
    with pytest.raises(DamagedLineError) as damaged:
        read_line(GOOD.replace(was, becomes, 1))
    assert damaged.value.do


@USUAL
@given(st.binary(max_size=200) | st.recursive(
    st.sampled_from([b"1", b'"x"', b"null"]), lambda inner: inner.map(lambda one: b"[%b]" % one)
))  # fmt: skip
def test_any_bytes_are_an_event_or_are_damaged(line):
    with pytest.raises(DamagedLineError):
        read_line(line)


def test_a_line_nested_beyond_reason_is_damaged_and_no_crash():
    fact = Corrected(event="event-0001", jars=("jar-00001",), set={"note": "deep"}, why="no")
    line = written(OneJar.charged().then(fact, "2025-06-01"))
    deep = line.replace(b'"deep"', b"[" * 100_000 + b"]" * 100_000)

    with pytest.raises(DamagedLineError):
        read_line(deep)


# What may be written down


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_whatever_keeps_its_limits_is_validated_as_it_is(kind):
    @SHORT
    @given(facts_of(kind))
    def passes(fact: AnyFact):
        assert validated(fact) == fact

    passes()


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"herb_g": -1.0}, "weight"),
        ({"herb_g": 0.0}, "weight"),
        ({"herb_g": float("nan")}, "weight"),
        ({"herb_g": float("inf")}, "weight"),
        ({"herb_g": 1_000_001.0}, "weight"),
        ({"herb_water_pct_mass": 101.0}, "water"),
        ({"herb": ""}, "herb"),
        ({"herb": "x" * 10_000}, "herb"),
        ({"herb": "Calendula\x1b[31m"}, "herb"),
        ({"herb": "Calendula\u202egninepo"}, "herb"),
        ({"note": "two\nlines"}, "remark"),
        ({"code": "x" * 41}, "code"),
        ({"pours": ()}, "pour: "),
        ({"pours": (spirit(500.0, 100.5),)}, "pour 1 ethanol"),
        ({"pours": (spirit(-1.0),)}, "pour 1 volume"),
        ({"form": "candied"}, "form"),
        ({"preparation": "soup"}, "preparation"),
        ({"look_days": (0,)}, "days to look"),
        ({"v": 2}, "v"),
        ({"least": "a while"}, "least"),
        ({"least": "P200Y"}, "least"),
        ({"longest": "P1.5M"}, "longest"),
    ],
)
def test_a_value_beyond_its_limits_is_refused_by_its_name(changes, named):
    with pytest.raises(MisusedError) as refused:
        validated(a_charge(**changes))
    assert named in refused.value.what
    assert "nothing was recorded" in refused.value.where


def test_a_fact_about_no_jar_at_all_is_refused():
    with pytest.raises(MisusedError):
        validated(Shaken(jars=()))


def test_a_shake_phase_keeps_its_own_limits_in_and_out():
    assert validated(a_charge(shake=(ShakePhase(2, 9),))).shake == (ShakePhase(2, 9),)
    assert read_line(written(OneJar.charged().charge)).when.start == DAY_ONE.replace(hour=0)
