"""What `correct` prints of a field may be typed back in, whatever the kind of the event."""

from pathlib import Path

import pytest

from tests.core.house import House, examples
from tracker.bench.bench import Bench
from tracker.cli.desk import Desk
from tracker.cli.given.fields_given import value_given
from tracker.core.facts.field_words import words_of
from tracker.core.replay.in_force import with_values
from tracker.outputs.words.answers.field_values import value_of


@pytest.mark.parametrize("place", range(len(examples(House()))))
def test_the_value_that_is_printed_changes_nothing(place, tmp_path: Path):
    house = House()
    entry = house.pen.write(examples(house)[place], "2025-06-10")
    desk = Desk(bench=Bench(tmp_path / "book", cache=tmp_path, state=tmp_path))
    printed = {one: value_of(one, entry) for one in words_of(entry.fact)}

    for one, value in printed.items():
        assert with_values(entry, value_given(desk, entry, one, value)) == entry, one.word
