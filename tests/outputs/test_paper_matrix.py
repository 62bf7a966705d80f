"""Facts by outputs on paper and in pictures: what one of them says, all of them say.

A cell is what the output says, or why it does not belong there.
"""

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple

import pytest

from tests.lives import KITCHEN
from tests.outputs import shelves
from tests.outputs.paper.reading import squeezed, text_of
from tests.outputs.shelves import Told
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.flows.flow_graph import graph_of
from tracker.core.shelf.thing import whole
from tracker.outputs.paper.handouts import handout, row
from tracker.outputs.paper.labels.label_text import Label, label, lid
from tracker.outputs.paper.record_pdf import record_pdf
from tracker.outputs.pictures import ascii_life, jar_life, pressing_shares, season, supply
from tracker.outputs.pictures.season_lines import lines as season_lines
from tracker.outputs.pictures.supply_lines import lines as supply_lines
from tracker.outputs.records.batch import batch_record
from tracker.outputs.records.batch_flows import Around
from tracker.outputs.records.batch_parts import Book, Record
from tracker.outputs.records.batch_text import text
from tracker.outputs.view.thing_view import ThingView, view_of

TODAY = date(2025, 7, 1)
NOW = datetime(2025, 7, 1, 9, tzinfo=UTC)
PRACTICE = Practice()
WIDE = 200


class NotMeant(NamedTuple):
    """A cell that is empty, and why."""

    why: str


def _label(told: Told) -> str:
    return _lines(label(told.thing, PRACTICE, TODAY))


def _lid(told: Told) -> str:
    return _lines(lid(told.thing, PRACTICE, TODAY))


def _lines(one: Label) -> str:
    return "\n".join(line.text for line in (*one.lines, *one.foot))


def _handout(told: Told) -> str:
    return text_of(handout([row(told.thing, PRACTICE, TODAY)], NOW, day=TODAY).pdf)


def _record(told: Told) -> str:
    return "\n".join(text(_record_of(told), [], UTC, colour=False))


def _record_on_paper(told: Told) -> str:
    return text_of(record_pdf(_record_of(told), [], UTC).pdf)


def _record_of(told: Told) -> Record:
    batch = told.thing.batch
    around = Around(PRACTICE, graph_of(told.batches, []), {one.id: one for one in told.batches}, {})
    own = [one for one in told.entries if batch.id in one.jars or one.id == batch.id]
    names = entry_names(told.entries, {KITCHEN})
    return batch_record(batch.code, batch, own, around, Book(True, "", ()), NOW, names)


def _timeline(told: Told) -> str:
    life = jar_life.life(_view(told), told.entries, TODAY)
    return _both("\n".join(ascii_life.drawn(life, total=120, colour=False)), life.in_words)


def _season(told: Told) -> str:
    found = season.season(_views(told), TODAY)
    return _both("\n".join(season_lines(found, "common", total=WIDE, colour=False)), found.in_words)


def _supply(told: Told) -> str:
    found = supply.supplies([(TODAY - timedelta(days=60), ()), (TODAY, told.batches)], PRACTICE)
    words = supply.supplies_in_words(found)
    return _both("\n".join(supply_lines(found, "common", total=WIDE, colour=False)), words)


def _pressings(told: Told) -> str:
    found = pressing_shares.pressings(_views(told), TODAY)
    words = pressing_shares.pressings_in_words(found)
    return _both("\n".join(pressing_shares.lines(found, total=WIDE, colour=False)), words)


def _view(told: Told) -> ThingView:
    return view_of(whole(told.thing.batch), PRACTICE, TODAY)


def _views(told: Told) -> list[ThingView]:
    return [view_of(whole(one), PRACTICE, TODAY) for one in told.batches]


def _both(drawn: str, words: str) -> str:
    """The picture in characters, and the words of the picture as a file."""
    return f"{drawn}\n--\n{words}"


OUTPUTS: dict[str, Callable[[Told], str]] = {
    "label": _label,
    "lid": _lid,
    "handout": _handout,
    "record": _record,
    "record on paper": _record_on_paper,
    "timeline": _timeline,
    "season": _season,
    "supply": _supply,
    "pressings": _pressings,
}

ACONITE = "Aconitum napellus, monkshood:"
COUNTS = NotMeant("it counts things by their day, and its rows have the code")
SUMS = NotMeant("it adds up all of a herb; a bottle has its own row in the season")
BY_METHOD = NotMeant("it is by method, and names a herb for a caution alone")
OF_THE_JAR = NotMeant("a lot is asked for by the jar, whose label and record name it")
NOTHING_PRESSED = NotMeant("nothing is pressed from it")

Cell = str | NotMeant
MATRIX: dict[Callable[[], Told], dict[str, Cell]] = {
    shelves.held_by_a_look: {
        "label": "ON HOLD on 1 Jul 2025: do not use.",
        "lid": "ON HOLD on 1 Jul 2025: do not use.",
        "handout": "on hold: mould",
        "record": "ON HOLD since 9 Jun 2025: mould",
        "record on paper": "ON HOLD since 9 Jun 2025: mould",
        "timeline": "On hold since 9 Jun 2025: mould (put on CAOF-25-01A).",
        "season": "On hold: CAOF-25-01A.",
        "supply": "On hold: CAOF-25-01A.",
        "pressings": "On hold: CAOF-25-01A.",
    },
    shelves.to_look_at_again: {
        "label": "Next: look again 1 Jul 2025; press from 3 Jun 2025",  # as of that day
        "lid": "look again 1 Jul 2025",
        "handout": NotMeant("the day to press is what matters to a class"),
        "record": "looked at: flecks, watch, again 12 Jun 2025",
        "record on paper": "looked at: flecks, watch, again 12 Jun 2025",
        "timeline": NotMeant("it has what happened, and the days to press"),
        "season": NotMeant("it has months to come, and a look is a matter of days"),
        "supply": NotMeant("nothing is in stock yet"),
        "pressings": NOTHING_PRESSED,
    },
    shelves.under_bare_metal: {
        "label": "bare metal lid: spirit and vinegar eat it: put a barrier under it",
        "lid": "bare metal lid",
        "handout": NotMeant("the day to press is what matters to a class"),
        "record": "bare metal lid",
        "record on paper": "bare metal lid",
        "timeline": "bare metal lid",
        "season": NotMeant("of many things together it says only what a plant does"),
        "supply": NotMeant("nothing is in stock yet"),
        "pressings": NOTHING_PRESSED,
    },
    shelves.found_and_guessed_at: {
        "label": "press from 12 Oct 2024",
        "lid": "press from 12 Oct 2024",
        "handout": "press from 12 Oct 2024",
        "record": "as a guess charged Jun to Aug 2024",
        "record on paper": "as a guess charged Jun to Aug 2024",
        "timeline": "may be pressed from 12 Oct 2024",
        "season": "before Jul 2025: 1 becomes ready.",
        "supply": NotMeant("nothing is in stock yet"),
        "pressings": NOTHING_PRESSED,
    },
    shelves.recalled: {
        "label": "RECALLED, ON HOLD on 1 Jul 2025: do not use.",
        "lid": "RECALLED, ON HOLD on 1 Jul 2025: do not use.",
        "handout": "on hold: recalled with lot CAOF-25-01: wrong plant",
        "record": "RECALLED, ON HOLD since 9 Jun 2025",
        "record on paper": "RECALLED, ON HOLD since 9 Jun 2025",
        "timeline": "Recalled since 9 Jun 2025",
        "season": "Recalled: CAOF-25-01.",
        "supply": "Recalled: CAOF-25-01.",
        "pressings": "Recalled: CAOF-25-01.",
    },
    shelves.of_a_named_lot: {
        "label": "From: Batch 7",
        "lid": OF_THE_JAR,
        "handout": OF_THE_JAR,
        "record": "lot Batch 7",
        "record on paper": "lot Batch 7",
        "timeline": OF_THE_JAR,
        "season": OF_THE_JAR,
        "supply": OF_THE_JAR,
        "pressings": OF_THE_JAR,
    },
    shelves.of_a_harmful_plant: {
        "label": f"External use only. CAUTION: {ACONITE}",
        "lid": "Harmful plant: read the jar.",
        "handout": f"CAOF-25-01A: External use only. CAUTION: {ACONITE}",
        "record": ACONITE,
        "record on paper": ACONITE,
        "timeline": ACONITE,
        "season": ACONITE,
        "supply": ACONITE,
        "pressings": ACONITE,
    },
    shelves.of_two_herbs: {
        "label": "Calendula officinalis flower, dried + Aconitum napellus root, fresh",
        "lid": "Calendula officinalis + Aconitum napellus",
        "handout": "flower, dried + root, fresh",
        "record": "Calendula officinalis flower, dried + Aconitum napellus root, fresh",
        "record on paper": "Calendula officinalis flower, dried + Aconitum napellus root, fresh",
        "timeline": "Calendula officinalis flower, dried + Aconitum napellus root, fresh",
        "season": "marigold flower + Aconitum napellus root, fresh",
        "supply": "marigold flower + Aconitum napellus root",
        "pressings": ACONITE,
    },
    shelves.of_a_poured_extract: {
        "label": f"CAUTION: {ACONITE}",
        "lid": "Harmful plant Aconitum napellus: read the jar.",
        "handout": f"CAUTION: {ACONITE}",
        "record": ACONITE,
        "record on paper": ACONITE,
        "timeline": ACONITE,
        "season": ACONITE,
        "supply": "marigold flower + Aconitum napellus root",
        "pressings": ACONITE,
    },
    shelves.of_unknown_strength: {
        "label": "vodka – % vol and spirit 60 % vol",
        "lid": NotMeant("a lid has no strength"),
        "handout": "vodka – % vol and spirit 60 % vol",
        "record": "– % vol vodka: 450 ml",
        "record on paper": "– % vol vodka 450 ml",
        "timeline": "how strong the vodka was is not known",
        "season": "3  marigold flower  CAOF-25-01A  expires",
        "supply": "good through 3 Sep 2025",
        "pressings": NotMeant("what pressing gave has no strength"),
    },
    shelves.a_bottle_good_for_less_long: {
        "label": "Good through 1 Sep 2025",
        "lid": "use up from 2 Aug 2025",  # thirty days before
        "handout": "1 Sep 2025",
        "record": "good through 1 Sep 2025",
        "record on paper": "good through 1 Sep 2025",
        "timeline": "CAOF-25-01A/1 good through 1 Sep 2025",
        "season": "1  marigold flower  CAOF-25-01A/1  expires",
        "supply": SUMS,
        "pressings": BY_METHOD,
    },
    shelves.a_struck_pressing: {
        "label": "press from 3 Jun 2025",
        "lid": "press from 3 Jun 2025",
        "handout": "press from 3 Jun 2025",
        "record": "STRUCK, ",
        "record on paper": "STRUCK, ",
        "timeline": "may be pressed from 3 Jun 2025; today is 1 Jul 2025.",
        "season": "before Jul 2025: 1 becomes ready.",
        "supply": "There is no stock.",
        "pressings": "Nothing was pressed yet.",
    },
    shelves.a_blend: {
        "label": "blended 10 Jun 2025",
        "lid": "Calendula officinalis + Melissa officinalis",
        "handout": "10 Jun 2025",
        "record": "blended 10 Jun 2025",
        "record on paper": "blended 10 Jun 2025",
        "timeline": "today, 21 days after it was blended",
        "season": "marigold flower + lemon balm herb",
        "supply": "marigold (Calendula officinalis) flower + lemon balm (Melissa officinalis) herb: 200 ml",
        "pressings": NOTHING_PRESSED,
    },
    shelves.a_percolate: {
        "label": "1:5 (finished volume), percolation, spirit 45 % vol",
        "lid": NotMeant("a lid has no ratio"),
        "handout": "1:5 (finished volume)",
        "record": "500 ml, 20 ml of it pressed again later",
        "record on paper": "500 ml, 20 ml of it pressed again later",
        "timeline": "collected 500 ml, CAOF-25-01A",
        "season": COUNTS,
        "supply": SUMS,
        "pressings": "percolation, dried herb: 1",
    },
    shelves.given_out_whole: {
        "label": "given out 2 Jun 2025",
        "lid": "given out 2 Jun 2025",
        "handout": "given out 2 Jun 2025",
        "record": "given out 2 Jun 2025 for P03",
        "record on paper": "given out 2 Jun 2025 for P03",
        "timeline": "given out 2 Jun 2025",
        "season": NotMeant("it is in the house no more"),
        "supply": NOTHING_PRESSED,
        "pressings": NOTHING_PRESSED,
    },
}


def cells() -> list[object]:
    return [
        pytest.param(shelf, output, id=f"{shelf.__name__}-{output}")
        for shelf, row_ in MATRIX.items()
        for output, cell in row_.items()
        if not isinstance(cell, NotMeant)
    ]


@pytest.mark.parametrize(("shelf", "output"), cells())
def test_what_one_output_says_of_a_thing_all_of_them_say(shelf, output):
    said = OUTPUTS[output](shelf())

    assert squeezed(str(MATRIX[shelf][output])) in squeezed(said)


@pytest.mark.parametrize("shelf", MATRIX, ids=lambda one: one.__name__)
def test_every_cell_is_filled_or_has_its_reason(shelf):
    assert MATRIX[shelf].keys() == OUTPUTS.keys()
    assert all(one.why for one in MATRIX[shelf].values() if isinstance(one, NotMeant))


@pytest.mark.parametrize("output", ["label", "lid", "handout"])
def test_what_was_struck_is_not_on_paper(output):
    assert ", pressed" not in OUTPUTS[output](shelves.a_struck_pressing())


@pytest.mark.parametrize("output", OUTPUTS)
def test_a_strength_that_is_not_known_is_never_nothing(output):
    said = OUTPUTS[output](shelves.of_unknown_strength())

    assert not re.search(r"\b0(?:\.0)? ?% vol|\bNone\b|\bnull\b", said)


@pytest.mark.parametrize("output", ["label", "handout"])
def test_of_several_herbs_each_caution_names_its_own(output):
    said = squeezed(OUTPUTS[output](shelves.of_two_herbs()))

    assert squeezed("Calendula officinalis: Asteraceae allergy.") in said
    assert squeezed(f"CAUTION: {ACONITE}") in said


def test_a_lid_names_the_harmful_one_of_several_herbs():
    assert "Harmful plant Aconitum napellus: read the jar." in _lid(shelves.of_two_herbs())


def test_a_bottle_past_its_own_day_is_no_supply():
    """340 ml of the older extract, 270 ml of the newer one, and its bottle of 100 ml.

    The older extract and the bottle are good through 1 September 2025.
    """
    batches = shelves.a_bottle_good_for_less_long().batches
    days = (date(2025, 9, 1), date(2025, 9, 2))
    through = [supply.supplies([(day, batches)], PRACTICE) for day in days]

    assert [[one.now.in_date_ml for one in found] for found in through] == [[710.0], [270.0]]


def test_a_blend_is_not_pressed():
    found = pressing_shares.pressings(_views(shelves.a_blend()), TODAY)

    assert [press.code for one in found for press in one.pressings] == ["CAOF-25-01", "MEOF-25-01"]


@pytest.mark.parametrize("output", OUTPUTS)
def test_what_is_well_is_said_to_be_well(output):
    """The cells above would pass on an output that cries wolf; these would not."""
    told = shelves.a_bottle_good_for_less_long()
    said = OUTPUTS[output](told).lower()

    assert told.thing.hold is None
    assert not [word for word in ("hold", "recalled", "caution") if f"{word}:" in said]
    assert "aconitum" not in said
