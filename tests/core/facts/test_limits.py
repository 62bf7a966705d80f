"""What is out of its limits is named, each of it, in words."""

import pytest

from tests.lives import a_charge, spirit
from tracker.core.facts.amendments import Later
from tracker.core.facts.extracts import Bottled, BottleRun, Pressed
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Joined
from tracker.core.facts.limits import validated
from tracker.core.values.errors import MisusedError

A = About(jar="jar-00001")


def refused(fact) -> str:
    with pytest.raises(MisusedError) as error:
        validated(fact)
    return error.value.what


def test_every_value_out_of_its_limits_is_named_by_its_place():
    pours = (spirit(0.0, 101.0), spirit())
    said = refused(a_charge(herb="", herb_g=float("nan"), pours=pours, longest="soon", form="wet"))

    assert said == (
        "That cannot be recorded: herb: it needs at least 1 character; "
        "form: it has to be fresh or dried; "
        "weight: it may be 1000000 at most; longest: it is not a span of time; "
        "pour 1 volume: it has to be more than 0; "
        "pour 1 ethanol: it may be 100 at most."
    )


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        (a_charge(herb="a\nb"), "herb: there is a line break after 'a'"),
        (a_charge(herb=" "), "herb: there is nothing in it but blanks"),
        (a_charge(herb="\ud800"), "herb: there is a control code (U+D800) at the beginning"),
        (a_charge(herb="x" * 201), "herb: it may have at most 200 characters"),
        (a_charge(herb_paid="1,50"), "paid: it is not written as it has to be"),
        (a_charge(v=2), "v: it has to be 1"),
        (a_charge(pours=()), "pour: it needs at least 1, not 0"),
        (Joined(code="a", parts=("jar-00001",)), "jars: it needs at least 2, not 1"),
        (Pressed(about=A, letter="a", volume_ml=5.0, keeps="P1D"), "letter: it is not written as"),
        (
            Bottled(about=About(jar="x"), bottles=(BottleRun(size_ml=1.0, count=0, first=1),)),
            "thing jar: it needs at least 8 characters; bottles 1 count: it has to be",
        ),
        (Later(about=A, what="look", until="soon"), "date - at `$.until`"),
    ],
)
def test_each_limit_has_its_words(fact, words):
    assert words in refused(fact)


def test_a_whole_number_of_grams_is_a_number():
    assert validated(a_charge(herb_g=5)).herb_g == 5.0
