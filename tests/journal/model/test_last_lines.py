"""The last commands of the book are the same read from the ends of its files and from all lines."""

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import SHORT
from tests.journal.on_disk import a_bench, write, write_together
from tests.lives import CELLAR, KITCHEN, OneJar, Pen, a_charge
from tracker.core.facts.amendments import Noted
from tracker.core.facts.fields import About
from tracker.outputs.terminal.diary import commands_of


def noted(pen: Pen, jar: str, lines: int) -> None:
    """What one command wrote: so many notes at one moment."""
    at = pen.recorded + timedelta(minutes=1)
    first = len(pen.entries)
    for _ in range(lines):
        pen.write(Noted(about=About(jar=jar), note="seen"), "2025-03-04")
    pen.entries[first:] = [replace(one, recorded=at) for one in pen.entries[first:]]
    pen.recorded = at


@SHORT
@given(
    st.lists(st.tuples(st.booleans(), st.sampled_from([1, 1, 1, 2, 90])), max_size=30),
    st.integers(1, 12),
)
def test_the_ends_of_the_files_have_the_last_commands(tmp_path_factory, told, asked):
    home = tmp_path_factory.mktemp("home")
    pens = Pen(KITCHEN), Pen(CELLAR, recorded=datetime.fromisoformat("2025-03-03T08:00:30Z"))
    jar = pens[0].write(a_charge(), "2025-03-03")
    write(home / "book", [jar])
    for by_other, lines in told:
        pen = pens[by_other]
        before = len(pen.entries)
        noted(pen, jar.id, lines)
        write_together(home / "book", pen.entries[before:])
    bench = a_bench(home)

    ends = commands_of(bench.lately_recorded(asked))

    assert ends[-asked:] == commands_of(bench.entries())[-asked:]


@pytest.mark.parametrize("commands", [1, 80, 800])
def test_as_many_lines_are_read_of_a_book_of_any_length(tmp_path, commands):
    one = OneJar.charged()
    one.shake(*["2025-03-04"] * (4 * commands - 1))
    for at in range(0, 4 * commands, 4):
        write_together(tmp_path / "book", one.entries[at : at + 4])

    assert len(a_bench(tmp_path).lately_recorded(20)) <= 128 + 4 * 20
