"""What flowed into what: forwards and backwards are each other's inverse, and lose nothing."""

import pytest
from hypothesis import given
from msgspec.structs import replace

from tests.hypothesis_profile import LONG, USUAL
from tests.lives import OneJar, Pen, a_charge, books, on, spirit
from tracker.core.facts.extracts import Blended, Diluted, Dispensed, Pressed, Refilled
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.jars import Recharged, Split, SplitPart, ToppedUp
from tracker.core.facts.lots import Bought, BoughtHerb, Dried
from tracker.core.reckoning.flows.flow_graph import Node, backwards, forwards, graph_of, node_of
from tracker.core.replay.replay import replay
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.thing import things


def graph_after(entries):
    """The graph of a shelf, held to its rule that the two directions are inverse."""
    shelf = replay(entries)
    graph = graph_of(shelf.batches, shelf.lots.values())
    ahead = {node: reached(forwards(graph, node)) for node in graph.names}
    back = {node: reached(backwards(graph, node)) for node in graph.names}
    assert {(one, other) for one, others in ahead.items() for other in others} == {
        (one, other) for other, others in back.items() for one in others
    }
    return graph


def reached(lines):
    return {line.node for line in lines}


@given(books())
@LONG
def test_a_thing_is_forwards_of_another_just_where_that_is_backwards_of_it(entries):
    graph_after(entries)


@given(books())
@LONG
def test_every_lot_that_the_replay_says_is_in_a_thing_is_found_behind_it(entries):
    """The contents are worked out by shares, with no graph: nothing a lot is in is missed."""
    shelf = replay(entries)
    graph = graph_of(shelf.batches, shelf.lots.values())
    for jar in shelf.batches:
        for thing in things(jar):
            made: Contents = thing.made
            inside = {use.lot for use in made.costs if use.lot and use.share > 0}
            behind = reached(backwards(graph, node_of(thing)))

            assert {Node("lot", lot) for lot in inside} <= behind


@given(books())
@USUAL
def test_no_flow_stands_twice_in_an_outline(entries):
    graph = graph_after(entries)
    for node in graph.names:
        for lines in (forwards(graph, node), backwards(graph, node)):
            assert len({id(line.edge) for line in lines}) == len(lines)


def lots_and_jar():
    pen = Pen()
    herb = pen.write(
        BoughtHerb(code="HERB-1", herb="Calendula officinalis", form="dried", herb_g=500.0),
        "2025-03-01",
    )
    wine = pen.write(
        Bought(code="SPIRIT-1", liquid="ethanol", ethanol_pct_vol=96.0, volume_ml=2000.0),
        "2025-03-01",
    )
    one = OneJar(pen)
    poured = replace(spirit(), lot=wine.id)
    one.charge = pen.write(a_charge(herb_lot=herb.id, pours=(poured,)), "2025-03-03")
    return one, herb, wine


def test_a_lot_is_followed_to_the_one_it_was_given_to_and_back():
    one, herb, wine = lots_and_jar()
    one.press()
    one.bottle("2025-06-04", (2, 100.0))
    one.then(Dispensed(about=one.extract(bottle=2), volume_ml=30.0, reference="C03"), "2025-06-09")
    graph = graph_after(one.entries)
    taker = Node("reference", "C03")

    lines = forwards(graph, Node("lot", herb.id))

    assert [(graph.names[line.node], line.depth) for line in lines] == [
        ("CAOF-25-01", 0),
        ("CAOF-25-01A", 1),
        ("CAOF-25-01A/1", 2),
        ("CAOF-25-01A/2", 2),
        ("C03", 3),
    ]
    assert [(line.edge.how, line.edge.ml, line.edge.g) for line in lines] == [
        ("charged", None, 100.0),
        ("pressed", 370.0, None),
        ("bottled", 100.0, None),
        ("bottled", 100.0, None),
        ("dispensed", 30.0, None),
    ]
    assert lines[-1].edge.on.iso == "2025-06-09"
    assert {Node("lot", herb.id), Node("lot", wine.id)} <= reached(backwards(graph, taker))


def test_what_came_in_after_a_bottle_was_filled_is_not_in_the_bottle():
    one, _, wine = lots_and_jar()
    one.press()
    one.bottle("2025-06-04", (1, 100.0))
    later = one.then(
        Bought(code="SPIRIT-2", liquid="ethanol", ethanol_pct_vol=40.0, volume_ml=500.0),
        "2025-06-05",
    )
    pours = (replace(spirit(50.0), lot=later.id),)
    one.then(Diluted(about=one.extract(), pours=pours), "2025-06-06")
    one.then(Dispensed(about=one.extract(), volume_ml=10.0, reference="LATE"), "2025-06-07")
    one.then(Dispensed(about=one.extract(), volume_ml=10.0, reference="SOON"), "2025-06-05")
    graph = graph_after(one.entries)

    after = {graph.names[node] for node in reached(forwards(graph, Node("lot", later.id)))}
    before = {graph.names[node] for node in reached(forwards(graph, Node("lot", wine.id)))}

    assert after == {"CAOF-25-01A", "LATE"}
    assert before >= {"CAOF-25-01A/1", "LATE", "SOON"}


@pytest.mark.parametrize("when", [on("2025-06-01", "month"), on("2025-06-20", "unknown")])
def test_where_the_day_is_not_known_it_may_be_in_it(when):
    one, _, _ = lots_and_jar()
    one.press()
    one.bottle("2025-06-04", (1, 100.0))
    later = one.then(Bought(code="SPIRIT-2", liquid="water", volume_ml=500.0), "2025-06-01")
    pours = (replace(spirit(50.0), lot=later.id),)
    one.then(Diluted(about=one.extract(), pours=pours), when)
    graph = graph_after(one.entries)

    names = {graph.names[node] for node in reached(forwards(graph, Node("lot", later.id)))}

    assert names == {"CAOF-25-01A", "CAOF-25-01A/1"}


def test_a_bottling_dated_before_its_pressing_still_came_from_the_jar():
    one, herb, _ = lots_and_jar()
    one.press("2025-06-10")
    one.bottle("2025-06-03", (1, 100.0))
    graph = graph_after(one.entries)

    names = {graph.names[node] for node in reached(forwards(graph, Node("lot", herb.id)))}

    assert "CAOF-25-01A/1" in names


def test_herb_of_a_later_steep_is_in_the_second_extract_alone():
    one, _, _ = lots_and_jar()
    first = one.press("2025-06-03")
    fresh = one.then(
        BoughtHerb(code="HERB-2", herb="Calendula officinalis", form="dried", herb_g=80.0),
        "2025-06-04",
    )
    one.then(
        Recharged(
            about=one.extract(),
            herb="Calendula officinalis",
            form="dried",
            herb_g=80.0,
            herb_lot=fresh.id,
            volume_ml=300.0,
            least="P14D",
        ),
        "2025-06-05",
    )
    second = one.then(
        Pressed(about=one.jar, letter="B", volume_ml=250.0, keeps="P12M"), "2025-07-05"
    )
    graph = graph_after(one.entries)
    jar = one.charge.id

    from_fresh = reached(forwards(graph, Node("lot", fresh.id)))
    behind = reached(backwards(graph, Node("extract", jar, second.id)))

    assert from_fresh == {Node("jar", jar), Node("extract", jar, second.id)}
    assert Node("extract", jar, first.id) in behind


def test_splits_blends_refills_and_dried_lots_are_followed():
    one, herb, _ = lots_and_jar()
    dried = one.then(
        Dried(about=About(jar=herb.id), code="HERB-1D", fresh_g=100.0, herb_g=90.0),
        "2025-03-02",
    )
    halves = (SplitPart(code="HALF-1", share=0.5), SplitPart(code="HALF-2", share=0.5))
    split = one.then(Split(about=one.jar, into=halves), "2025-03-10")
    child = About(jar=f"{split.id}.1")
    one.then(ToppedUp(about=child, pours=(replace(spirit(20.0), lot=dried.id),)), "2025-03-11")
    pressed = one.then(
        Pressed(about=child, letter="A", volume_ml=180.0, keeps="P12M"), "2025-06-11"
    )
    half = About(jar=child.jar, extract=pressed.id)
    other = OneJar(one.pen)
    other.charge = one.pen.write(a_charge(code="OTHER-1"), "2025-03-03")
    other.press("2025-06-03")
    other.bottle("2025-06-04", (1, 100.0))
    portions = (
        Portion(about=half, volume_ml=50.0),
        Portion(about=other.extract(), volume_ml=50.0),
    )
    blend = one.then(Blended(code="BLEND-1", parts=portions), "2025-06-12")
    blended = About(jar=blend.id, extract=blend.id)
    one.then(
        Dispensed(about=other.extract(bottle=1), volume_ml=60.0, reference="C02"), "2025-06-13"
    )
    one.then(
        Refilled(about=other.extract(bottle=1), source=Portion(about=blended, volume_ml=40.0)),
        "2025-06-14",
    )
    one.then(
        Dispensed(about=other.extract(bottle=1), volume_ml=20.0, reference="C01"), "2025-06-15"
    )
    graph = graph_after(one.entries)

    names = {graph.names[node] for node in reached(forwards(graph, Node("lot", dried.id)))}

    assert names == {"HALF-1", "HALF-1A", "BLEND-1", "OTHER-1A/1", "C01"}
    assert Node("lot", herb.id) in reached(backwards(graph, Node("reference", "C01")))
