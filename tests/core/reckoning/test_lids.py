"""Lids by the words makers have for them. Common practice, no source: acid and spirit eat metal."""

import pytest

from tests.lives import OneJar, Pen
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.jars import Found, Moved, Split, SplitPart, ToppedUp
from tracker.core.reckoning.lids import lid_in_doubt, lid_state
from tracker.core.replay.replay import replay

BARE = (
    "metal",
    "Metal lids",
    "METAL",
    "tin",
    "tinplate",
    "steel",
    "stainless steel",
    "zinc",
    "galvanised",
    "aluminium",
    "aluminum",
    "iron",
    "brass",
    "copper",
    "mason ring",
    "canning lid",
    "two-piece",
    "Metal, two parts",
    "uncoated steel",
    "metal, not coated",
    "metal without a liner",
    "bare metal",
)
SAFE = (
    "glass",
    "cork",
    "corks",
    "plastic",
    "bakelite",
    "silicone",
    "glass with a rubber ring",
    "plastic mason lid",
    "metal lid (coated)",
    "lined metal",
    "enamelled steel",
    "metal with a plastisol liner",
    "non-metal",
    "muslin",
    "none",
    "no lid",
    "-",
)
NOT_KNOWN = ("wombat", "screw cap", "unknown", "not known", "?", "glass and metal", "tinted")

KEEPS_OFF = (
    "parchment",
    "baking paper",
    "waxed paper",
    "cling film",
    "plastic insert",
    "liner",
    "plastisol",
    "wax",
    "Plastic Bags",
)
NO_BARRIER = ("none", "no", "No", "without", "-", "nothing", "no liner", "foil", "aluminium foil")
UNSAID = ("cloth", "wombat", "unknown", "not sure", "foil and parchment")


@pytest.mark.parametrize("lid", BARE)
def test_words_for_metal_are_bare_metal(lid):
    assert lid_state(lid, None) == "bare"


@pytest.mark.parametrize("lid", SAFE)
def test_words_for_what_is_not_eaten_are_safe(lid):
    assert lid_state(lid, None) == "safe"


@pytest.mark.parametrize("lid", NOT_KNOWN)
def test_a_word_that_does_not_say_is_no_all_clear(lid):
    assert lid_state(lid, None) == "unknown"


@pytest.mark.parametrize("barrier", KEEPS_OFF)
def test_what_lies_between_keeps_the_liquid_off_the_metal(barrier):
    assert lid_state("metal", barrier) == "safe"
    assert lid_state("wombat", barrier) == "safe"


@pytest.mark.parametrize("barrier", NO_BARRIER)
def test_none_and_metal_are_no_barrier(barrier):
    assert lid_state("metal", barrier) == "bare"
    assert lid_state("glass", barrier) == "safe"


@pytest.mark.parametrize("barrier", UNSAID)
def test_a_barrier_nobody_can_judge_is_said_to_be_so(barrier):
    assert lid_state("metal", barrier) == "unknown"


@pytest.mark.parametrize(
    ("liquids", "preparation", "doubt"),
    [
        (("honey", "vinegar"), "honey or oxymel", "bare"),
        (("glycerin", "ethanol"), "glycerite", "bare"),
        (("oil", "vinegar"), "oil", "bare"),
        (("other",), "other", "bare"),  # wine or lemon juice: nobody said it eats nothing
        (("honey",), "honey or oxymel", None),
        (("oil",), "spirit on dried herb", None),  # what was poured counts, not what it is called
        (("water",), "other", None),
        (("syrup", "glycerin"), "vinegar", None),
    ],
)
def test_what_was_poured_decides_whether_metal_is_eaten(liquids, preparation, doubt):
    pours = tuple(Pour(liquid=one, volume_ml=250.0) for one in liquids)
    one = OneJar.charged(pours=pours, preparation=preparation, lid="tin")

    assert lid_in_doubt(one.now()) == doubt


def test_vinegar_poured_on_honey_brings_the_metal_above_it_in_danger():
    one = OneJar.charged(pours=(Pour(liquid="honey", volume_ml=400.0),), lid="tin")
    before = one.now()
    one.then(ToppedUp(about=one.jar, pours=(Pour(liquid="vinegar", volume_ml=50.0),)), "2025-03-05")

    assert lid_in_doubt(before) != "bare"
    assert lid_in_doubt(one.now()) == "bare"


def test_nobody_knows_that_what_is_in_a_found_jar_eats_no_metal():
    pen = Pen()
    pen.write(Found(code="OLD", herb="Rosa canina", form="dried", lid="tin"), "2025-03-05")
    (found,) = replay(pen.entries).jars.values()

    assert lid_in_doubt(found) == "bare"


def test_a_part_of_a_jar_stands_under_the_same_lid_until_another_is_said():
    one = OneJar.charged(lid="tin")
    into = (SplitPart(code="A-1", share=0.5), SplitPart(code="B-1", share=0.5))
    split = one.then(Split(about=one.jar, into=into), "2025-03-05")
    one.then(Moved(about=About(jar=f"{split.id}.2"), lid="cork"), "2025-03-06")
    bare = {jar.code: lid_in_doubt(jar) == "bare" for jar in replay(one.entries).jars.values()}

    assert bare["A-1"]
    assert not bare["B-1"]


def test_taking_the_barrier_out_leaves_the_metal_bare():
    one = OneJar.charged(lid="metal", barrier="parchment")
    before = one.now()
    one.then(Moved(about=one.jar, barrier="none"), "2025-03-05")

    assert lid_in_doubt(before) != "bare"
    assert lid_in_doubt(one.now()) == "bare"
