"""What was done on a wrong value between its recording and its correction."""

from datetime import timedelta

from hypothesis import given
from msgspec.structs import replace

from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, Pen, a_charge, books, spirit
from tracker.core.facts.amendments import Held, Noted, Released
from tracker.core.facts.extracts import Blended, Dispensed, Filtered
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.kinds import Unknown, depends
from tracker.core.facts.lots import Bought
from tracker.core.reckoning.flows.flow_graph import forwards, graph_of
from tracker.core.replay.in_force import settle
from tracker.core.replay.replay import replay
from tracker.core.rules.consequences import reach


def after(pen):
    return pen.recorded + timedelta(minutes=1)


def bottled_jar():
    one = OneJar.charged()
    one.press()
    one.bottle("2025-06-04", (2, 100.0))
    return one


def test_what_came_of_a_extract_hangs_on_its_pressing_and_remarks_do_not():
    one = bottled_jar()
    given_out = one.then(Dispensed(about=one.extract(bottle=1), volume_ml=9.0), "2025-06-05")
    one.then(Noted(about=one.extract(), note="dark"), "2025-06-05")
    one.then(Filtered(about=one.extract(), volume_ml=160.0), "2025-06-05")
    held = one.then(Held(about=one.extract(), why="cloudy"), "2025-06-06")
    freed = one.then(Released(about=one.extract(), why="clear"), "2025-06-07")

    found = reach(one.pressing, one.entries, after(one.pen))

    assert found == [one.entries[2], given_out, held, freed]


def test_what_concerns_one_bottle_reaches_no_other_bottle():
    one = bottled_jar()
    first = one.then(Dispensed(about=one.extract(bottle=1), volume_ml=9.0), "2025-06-05")
    again = one.then(Dispensed(about=one.extract(bottle=1), volume_ml=5.0), "2025-06-06")
    one.then(Dispensed(about=one.extract(bottle=2), volume_ml=9.0), "2025-06-06")
    one.then(Dispensed(about=one.extract(), volume_ml=9.0), "2025-06-06")

    assert reach(first, one.entries, after(one.pen)) == [again]


def test_what_was_written_before_the_value_or_after_its_correction_knows_nothing_of_it():
    one = bottled_jar()
    first = one.then(Dispensed(about=one.extract(), volume_ml=9.0), "2025-06-05")
    until = one.pen.recorded
    one.then(Dispensed(about=one.extract(), volume_ml=5.0), "2025-06-06")

    assert reach(one.pressing, one.entries, until) == [one.entries[2], first]
    assert reach(one.pressing, one.entries, until, since=first.recorded) == [first]
    assert reach(first, one.entries, until) == []


def test_a_lot_reaches_the_jars_charged_from_it_and_all_that_came_of_them():
    pen = Pen()
    lot = pen.write(
        Bought(code="SPIRIT-1", liquid="ethanol", ethanol_pct_vol=45.0, volume_ml=900.0),
        "2025-03-01",
    )
    one, two = OneJar(pen), OneJar(pen)
    one.charge = pen.write(a_charge(pours=(replace(spirit(), lot=lot.id),)), "2025-03-03")
    two.charge = pen.write(a_charge(code="OTHER-1"), "2025-03-03")
    one.press()
    two.press()
    parts = (
        Portion(about=one.extract(), volume_ml=9.0),
        Portion(about=two.extract(), volume_ml=9.0),
    )
    blend = pen.write(Blended(code="BLEND-1", parts=parts), "2025-06-06")
    mix = About(jar=blend.id, extract=blend.id)
    sold = pen.write(Dispensed(about=mix, volume_ml=9.0, reference="C03"), "2025-06-07")

    found = reach(lot, pen.entries, after(pen))

    assert found == [one.charge, one.pressing, blend, sold]


def test_labels_of_a_kind_not_known_here_are_named_by_the_jars_they_belong_to():
    one = bottled_jar()
    label = one.then(Unknown(kind="labelled", jars=(one.charge.id,)), "2025-06-05")
    one.then(Unknown(kind="labelled", jars=("another-jar-0001",)), "2025-06-05")

    assert label in reach(one.pressing, one.entries, after(one.pen))
    assert len(reach(one.charge, one.entries, after(one.pen))) == 3


@given(books())
@USUAL
def test_what_was_given_out_of_a_extract_later_is_among_what_hangs_on_it(entries):
    """The graph of the replayed shelf says by other means what came out of a pressing."""
    settled = {one.id: one for one in settle(entries).entries}
    shelf = replay(entries)
    graph = graph_of(shelf.batches, shelf.lots.values())
    last = max(one.recorded for one in entries)
    for node in graph.names:
        if node.kind != "extract" or node.extract not in settled:
            continue
        target = settled[node.extract]
        found = reach(target, entries, last)
        given_out = {line.edge.event for line in forwards(graph, node)} & settled.keys()
        later = {
            one
            for one in given_out
            if settled[one].kind == "dispensed" and settled[one].recorded >= target.recorded
        }

        assert later <= {one.id for one in found}
        assert all(depends(one.fact) and one.recorded >= target.recorded for one in found)
