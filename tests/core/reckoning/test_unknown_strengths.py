"""What is not known of a strength is not known, and never 0 or a traceback."""

from datetime import date

import pytest

from tests.lives import OneJar, spirit
from tracker.core.facts.extracts import Blended, Pressed
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.jars import Found
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.amounts import simple_strength_pct_vol
from tracker.core.replay.replay import replay
from tracker.core.shelf.shelf import Shelf
from tracker.core.shelf.thing import whole
from tracker.outputs.answer_fields import thing_fields
from tracker.outputs.terminal.show import show
from tracker.outputs.view.thing_view import view_of

TODAY = date(2025, 7, 1)


def found_and_blended(volume_ml: float | None) -> Shelf:
    """Fresh herb in strong spirit, a jar nobody knows, and the two blended."""
    one = OneJar.charged(form="fresh", herb_g=100.0, pours=(spirit(500.0, 60.0),))
    one.press()
    old = Found(code="OLD", herb="Rosa canina", form="dried", volume_ml=volume_ml)
    jar = About(jar=one.then(old, "2025-04-01").id)
    pressed = one.then(Pressed(about=jar, letter="A", volume_ml=90.0, keeps="P12M"), "2025-06-03")
    parts = (
        Portion(about=one.extract(), volume_ml=50.0),
        Portion(about=About(jar=jar.jar, extract=pressed.id), volume_ml=50.0),
    )
    one.then(Blended(code="BLEND-25-01", parts=parts), "2025-06-10")
    return replay(one.entries)


@pytest.mark.parametrize("volume_ml", [None, 300.0])
def test_the_simple_strength_of_a_found_jar_is_not_known(volume_ml):
    shelf = found_and_blended(volume_ml)
    (old,) = [one for one in shelf.jars.values() if one.code == "OLD"]

    assert simple_strength_pct_vol(old) is None
    answer = thing_fields(view_of(whole(old), Practice(), TODAY))
    assert answer["strength_simple_pct_vol"] is None
    assert answer["strength_pct_vol"] is None


@pytest.mark.parametrize("volume_ml", [None, 300.0])
def test_a_blend_with_a_part_of_unknown_strength_is_shown(volume_ml):
    (blend,) = found_and_blended(volume_ml).blends.values()
    lines = show(view_of(whole(blend), Practice(), TODAY), colour=False)

    assert any(line.split() == ["blended", "10", "Jun", "2025"] for line in lines)
    answer = thing_fields(view_of(whole(blend), Practice(), TODAY))
    assert (answer["kind"], answer["charged"], answer["earliest_press"]) == ("blend", None, None)
    assert answer["blended"] == "2025-06-10"
