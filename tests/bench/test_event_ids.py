"""Ids as RFC 9562 has them, held against another maker of them."""

import os
from uuid import RFC_4122, UUID

import uuid_utils
from freezegun import freeze_time
from hypothesis import given
from hypothesis import strategies as st

from tracker.bench.event_ids import new_id, uuid7

# RFC 9562, appendix A.6: the example of version 7.
EXAMPLE = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_the_example_of_the_standard():
    chance = bytes.fromhex("0cc3" + "18c4dc0c0c07398f")

    assert uuid7(0x017F22E279B0, chance) == EXAMPLE


@given(st.integers(0, 2**48 - 1), st.binary(min_size=10, max_size=10))
def test_another_reader_finds_the_moment_the_version_and_the_variant(unix_ms, chance):
    text = uuid7(unix_ms, chance)
    read = uuid_utils.UUID(text)

    assert (read.version, read.timestamp) == (7, unix_ms)
    assert (UUID(text).version, UUID(text).variant) == (7, RFC_4122)
    assert str(read) == text


def test_all_that_another_maker_leaves_to_chance_is_left_to_it_here():
    made = uuid_utils.uuid7()
    chance = (made.int & (1 << 80) - 1).to_bytes(10)

    assert uuid7(made.timestamp, chance) == str(made)


def test_no_two_are_the_same_though_the_clock_stands():
    with freeze_time("2025-03-03"):
        made = {new_id() for _ in range(10_000)}

    assert len(made) == 10_000
    assert len({one[:13] for one in made}) == 1


def test_the_chance_is_that_of_the_system(monkeypatch):
    monkeypatch.setattr(os, "urandom", lambda number: b"\xff" * number)

    assert new_id().endswith("-7fff-bfff-ffffffffffff")
