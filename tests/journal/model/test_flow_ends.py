"""What flows from and into a thing is the same asked of what is near it and of the whole book."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT
from tests.journal.on_disk import a_bench, write, write_together
from tests.lives import books
from tests.valid_lives import valid_life
from tracker.bench.bench import Bench
from tracker.bench.record import opened
from tracker.core.reckoning.flows.flow_graph import (
    Graph,
    Node,
    backwards,
    forwards,
    graph_of,
)
from tracker.core.reckoning.flows.recall import reach_of
from tracker.core.reckoning.keeps import days_late_of

ENDS = ("reference", "given", "missing", "number")


def told(graph: Graph, start: Node) -> list[object]:
    """Both outlines, with what each thing in them is called."""
    lines = [*backwards(graph, start), *forwards(graph, start)]
    return [(one, graph.names[one.node], graph.names[one.edge.source]) for one in lines]


def compare(bench: Bench) -> int:
    """Hold everything in a book against the whole of it; how many flows there were."""
    batches, lots = bench.batches(), bench.lots()
    whole, flows = graph_of(batches, lots), 0
    with opened(bench) as book:
        for start in [one for one in whole.names if one.kind not in ENDS]:
            near, same_lots = bench.flowing([start.id])
            graph = graph_of(near, same_lots)
            if start not in graph.names and start not in whole.into:
                continue  # a lot that is not in the book flows into nothing of its own
            held = graph_of(book.reached([start.id]), book.lots())

            assert same_lots == lots
            assert told(graph, start) == told(whole, start)
            assert forwards(held, start) == forwards(whole, start)
            if start.kind == "lot":
                given = (bench.entries(), days_late_of(batches, bench.practice))
                assert reach_of(start, near, lots, *given) == reach_of(start, batches, lots, *given)
            flows += len(told(whole, start))
    return flows


@SHORT
@given(st.integers(0, 10_000))
def test_any_life_is_traced_the_same(tmp_path_factory, seed):
    home = tmp_path_factory.mktemp("home")
    (home / "book").mkdir()
    write_together(home / "book", valid_life(seed, 60).entries)

    compare(a_bench(home))


@pytest.mark.parametrize("seed", [4, 7])
def test_a_long_life_is_traced_the_same(tmp_path, seed):
    (tmp_path / "book").mkdir()
    write_together(tmp_path / "book", valid_life(seed, 120).entries)

    assert compare(a_bench(tmp_path)) > 100


@SHORT
@given(books())
def test_any_book_is_traced_the_same(tmp_path_factory, book):
    home = tmp_path_factory.mktemp("home")
    write(home / "book", book)

    compare(a_bench(home))


@pytest.mark.parametrize("lots", [2, 10])
def test_lots_that_only_jars_name_and_numbers_of_lots_are_traced_the_same(command, lots):
    pour = '--dried 50g --pour "250 ml 45%" --sure'
    command.ok(f"charge nettle {pour} --lot n-7 --when 2025-03-05 --code AA")
    command.ok(f"charge calendula {pour} --lot 'K  9' --when 2025-03-05 --code BB")
    command.ok(f"charge calendula {pour} --lot 'k 9' --when 2025-03-06 --code CC")
    command.ok("press CC 200ml --when 2025-04-06")
    for _ in range(lots):
        command.ok("buy nettle --dried 500g --their-lot N-7 --when 2025-03-01 --sure")

    command.ok("buy '2 l 45%' --their-lot V-1 --when 2025-03-01")  # a number of a liquid
    command.ok(
        f"charge calendula --dried 50g --pour '200 ml LOT-25-{lots + 1:02}' --when 2025-03-07"
    )

    assert compare(a_bench(command.home)) > 4
