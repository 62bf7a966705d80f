"""A class of twelve in a leap year, months from 31 January, vinegar under a metal lid.

Invented; answers worked by hand. The jars are shaken twice a week until they are ready.

The herb is of one lot of 300 g, the vinegar of another of 2 l.
"""

import pytest

from tests.command import Command
from tests.mornings import days, digests
from tests.outputs.paper.reading import text_of

TWELVE = [f"CW{number:02d}" for number in range(1, 13)]
CHARGE = (
    'charge LOT-24-01 --dried 25g --pour "125 ml LOT-24-02" --least "1 month" '
    '--shake "twice a week until ready" --when 2024-01-31'
)
STORY = (
    "buy fenmint --part leaf --dried 300g --when 2024-01-20",
    'buy "2 l cider vinegar" --when 2024-01-20',
    f"{CHARGE} --code CW --count 12",
    "move CW05 --lid metal --when 2024-01-31",
    'charge "fenmint" --part leaf --dried 25g --pour "90 ml glycerin" --pour "35 ml water" '
    '--least "3 months" --code WG --when 2024-01-31',
    "look CW05 --sign lid --when 2024-02-14",
    "move CW05 --lid plastic --when 2024-02-14",
    *(f"press {code} 95ml --when 2024-02-29" for code in TWELVE[:9]),
    *(f"press {code} 95ml --when 2024-03-07" for code in TWELVE[9:11]),
    'press WG 95ml --keeps "24 months" --when 2024-04-30',
)


@pytest.fixture(scope="module")
def evening_class(tmp_path_factory):
    """The command after the whole story."""
    command = Command(tmp_path_factory.mktemp("class")).practice('zone = "Europe/Berlin"\n')
    for line in STORY:
        command.ok(line)
    return command


def test_one_command_makes_twelve_jars(evening_class):
    jars = evening_class.asked("shelf --on 2024-01-31")
    twelve = [jar for jar in jars if jar["preparation"] == "vinegar"]

    assert sorted(jar["code"] for jar in twelve) == TWELVE
    assert sum(jar["herb_g"] for jar in twelve) == pytest.approx(300)
    assert sum(jar["poured_ml"] for jar in twelve) == pytest.approx(1500)
    assert {jar["ratio"] for jar in twelve} == {5.0}


def test_a_month_from_31_january_ends_on_the_leap_day(evening_class):
    """Months are added once, to the first date, and clamped: the corresponding-date rule."""
    jars = evening_class.asked("shelf --on 2024-01-31")
    ready = {jar["code"]: jar["earliest_press"] for jar in jars}

    assert ready.pop("WG") == "2024-04-30"
    assert set(ready.values()) == {"2024-02-29"}


def test_bare_metal_over_vinegar_is_a_caution_from_the_first_hour(evening_class):
    """Metal lids corrode over vinegar and spirit: common practice, no source."""
    another = CHARGE.replace("LOT-24-01 --dried", "fenmint --dried")
    said = evening_class.ok(f"{another} --lid metal --code WX --dry-run")
    covered = evening_class.ok(f"{another} --lid metal --barrier paper --code WX --dry-run")

    assert "bare metal lid" in said
    assert "bare metal lid" not in covered


def test_the_bare_lid_wants_the_maker_until_it_is_changed(evening_class):
    first_day, day_before, day_of = (
        {
            line["code"]
            for line in evening_class.asked(f"due --on {day}")
            if line["what"] == "safety"
        }
        for day in ("2024-01-31", "2024-02-13", "2024-02-14")
    )

    assert first_day == day_before == {"CW05"}
    assert day_of == set()


@pytest.mark.parametrize(
    ("code", "good_through"),
    [("CW01A", "2025-02-28"), ("CW10A", "2025-03-07"), ("WGA", "2026-04-30")],
)
def test_the_shelf_life_counts_calendar_months(evening_class, code, good_through):
    assert evening_class.asked(f"show {code}")["good_through"] == good_through


def test_48_months_from_a_leap_day_end_on_the_next_one(evening_class):
    said = evening_class.ok('press CW12 95ml --keeps "48 months" --when 2024-02-29 --dry-run')

    assert "good through 29 Feb 2028" in said


def test_who_has_not_strained_is_answered_by_the_shelf(evening_class):
    shelf = evening_class.asked("shelf --on 2024-04-01")
    (late,) = [jar for jar in shelf if jar["ready"]]

    assert late["code"] == "CW12"
    assert late["earliest_press"] == "2024-02-29"
    assert late["next"] == "ready"


def test_a_jar_that_was_never_strained_stands_ready_and_is_not_nagged_about(evening_class):
    due = {line["code"]: line for line in evening_class.asked("due --on 2024-04-01")}
    first, second = digests(evening_class, days("2024-04-01", "2024-04-02")).values()

    assert (due["CW12"]["what"], due["CW12"]["since"]) == ("ready", "2024-02-29")
    assert first["CW12"].what == "ready"
    assert "CW12" not in second


def test_the_lots_show_what_twelve_jars_used_of_them(evening_class):
    lots = {lot["code"]: lot for lot in evening_class.asked("lots --all")}

    assert (lots["LOT-24-01"]["used"], lots["LOT-24-01"]["left"]) == (300, 0)
    assert (lots["LOT-24-02"]["used"], lots["LOT-24-02"]["left"]) == (1500, 500)


def test_the_handout_says_what_is_in_the_jar_and_what_is_next(evening_class):
    """In the house's word a jar is pressed, also where a class would say strained."""
    evening_class.ok("handout CW01 CW12 --title Class --on 2024-01-31 --to first.pdf")
    evening_class.ok("handout CW01A CW12 --title Class --on 2024-03-08 --to then.pdf")
    first, then = (
        text_of((evening_class.home / name).read_bytes()) for name in ("first.pdf", "then.pdf")
    )

    row = "leaf, dried cider vinegar 1:5 31 Jan 2024"
    assert f"fenmint CW01 {row} press from 29 Feb 2024" in first
    assert f"fenmint CW12 {row} press from 29 Feb 2024" in first
    assert "2025" not in first  # how long it keeps is blank until it is strained
    assert "28 Feb 2025" in then
    assert f"fenmint CW12 {row} press from 29 Feb 2024" in then
