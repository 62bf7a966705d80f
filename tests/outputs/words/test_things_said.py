import pytest

from tracker.outputs.words.things_said import codes_said, things_said


@pytest.mark.parametrize(
    ("codes", "said"),
    [
        (["MEOF-26-01"], "MEOF-26-01"),
        (["MEOF-26-01", "MEOF-26-02", "MEOF-26-03"], "MEOF-26-01..03"),
        (["MEOF-26-09", "MEOF-26-10"], "MEOF-26-09..10"),
        (["MEOF-26-99", "MEOF-26-100"], "MEOF-26-99..100"),
        (["MEOF-26-02", "MEOF-26-01"], "MEOF-26-02, MEOF-26-01"),
        (["MEOF-26-01", "CAOF-26-02"], "MEOF-26-01, CAOF-26-02"),
        (["CAOF-26-01A/1", "CAOF-26-01A/2", "CAOF-26-01A/4"], "CAOF-26-01A/1..2, CAOF-26-01A/4"),
        (["CAOF-26-01A", "CAOF-26-01B"], "CAOF-26-01A, CAOF-26-01B"),
    ],
)
def test_codes_that_follow_each_other_are_a_range_as_it_may_be_typed(codes, said):
    assert codes_said(codes) == said


def test_each_plant_is_named_once_with_all_its_codes():
    things = [("lemon balm leaf", "MEOF-26-01"), ("sage", "SAOF-26-01")]
    things.append(("lemon balm leaf", "MEOF-26-02"))

    assert things_said(things) == "lemon balm leaf MEOF-26-01..02, sage SAOF-26-01"


def test_of_very_many_shaken_the_plants_are_named_with_how_many_there_are():
    many = [(f"plant {number}", f"PL{number}-26-01") for number in range(12)]

    more = [*many, ("plant 0", "PL0-26-07")]
    said = things_said(more, is_everyday=True)

    assert "PL11-26-01" in things_said(many, is_everyday=True)
    assert "PL11-26-01" in things_said(more)
    assert said.startswith("plant 0 (2), plant 1, ")
    assert "26-01" not in said
