"""Ids as RFC 9562 has them, held against another maker of them."""

import os
from uuid import RFC_4122, UUID

import uuid_utils
from freezegun import freeze_time
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import LONG
from tracker.bench.event_ids import EventIds, new_id, uuid7

# RFC 9562, appendix A.6: the example of version 7.
EXAMPLE = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_the_example_of_the_standard():
    assert uuid7(0x017F22E279B0, 0xCC3 << 62 | 0x18C4DC0C0C07398F) == EXAMPLE


@LONG
@given(st.integers(0, 2**48 - 1), st.integers(0, 2**74 - 1))
def test_another_reader_finds_the_moment_the_version_and_the_variant(unix_ms, chance):
    text = uuid7(unix_ms, chance)
    read = uuid_utils.UUID(text)

    assert (read.version, read.timestamp) == (7, unix_ms)
    assert (UUID(text).version, UUID(text).variant) == (7, RFC_4122)
    assert str(read) == text


def test_all_that_another_maker_leaves_to_chance_is_left_to_it_here():
    made = uuid_utils.uuid7()
    chance = (made.int >> 64 & 0xFFF) << 62 | made.int & (1 << 62) - 1

    assert uuid7(made.timestamp, chance) == str(made)


def test_those_of_one_moment_are_in_their_order_though_the_clock_stands():
    with freeze_time("2025-03-03"):
        made = [new_id() for _ in range(10_000)]

    assert made == sorted(set(made))
    assert len({one[:13] for one in made}) == 1


def test_the_chance_is_that_of_the_system_and_leaves_room_to_count_on(monkeypatch):
    monkeypatch.setattr(os, "urandom", lambda number: b"\xff" * number)
    ids = EventIds()
    with freeze_time("2025-03-03"):
        first, second = ids(), ids()

    assert first.endswith("-73ff-bfff-ffffffffffff")
    assert second.endswith("-7400-8000-0000ffffffff")
