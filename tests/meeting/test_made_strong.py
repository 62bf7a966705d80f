"""What is weak by itself and is made strong, in time or too late, through the command.

Plain sums are enough for the strengths: each case is far from the 20 % vol of the warning. What
is weak keeps three days, spirit on herb twelve months (docs/menstruum.md). Everything is invented.
"""

import pytest
from pypdf import PdfReader

from tests.command import Command


@pytest.fixture
def double(tmp_path) -> Command:
    """Both halves of a double extract, the second pressed on 20 April 2024 and weak."""
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    command.ok(
        'charge yarrow --dried 100g --pour "500 ml 60%" --way double --code JD --when 2024-03-01'
    )
    command.ok("press JD 400ml --when 2024-04-20")
    command.ok('steep-again JD --pour "600 ml water" --way simmered --when 2024-04-20')
    command.ok("press JD 500ml --when 2024-04-20")
    return command


@pytest.fixture
def water(tmp_path) -> Command:
    """300 ml strained of an infusion on 1 March 2024, weak since it was poured."""
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    command.ok('charge yarrow --dried 20g --pour "400 ml water" --code JW --when 2024-03-01')
    command.ok("press JW 300ml --when 2024-03-01")
    return command


def good(command: Command, code: str, day: str = "2024-04-22") -> str | None:
    return command.asked(f"show {code} --on {day}")["good_through"]


BOTH = (
    'blend --part "400 ml JDA" --part "500 ml JDB" --code MIX',  # 31 % vol
    'dilute JDA --pour "500 ml JDB"',
    'dilute JDB --pour "400 ml JDA"',
    'dilute JDA --pour "500 ml JDB" --to 900ml',
)


@pytest.mark.parametrize("line", BOTH)
@pytest.mark.parametrize("day", ["2024-04-20", "2024-04-23"])
def test_a_double_extract_put_together_in_time_keeps_as_its_strong_half(double, line, day):
    assert good(double, "JDB") == "2024-04-23"

    said = double.ok(f"{line} --when {day}")

    assert "good through 20 Apr 2025" in said
    whole = "MIX" if "MIX" in line else line.split()[1]
    assert good(double, whole, day) == "2025-04-20"
    assert [one for one in double.asked("due --on 2024-06-01") if one["code"] == whole] == []


@pytest.mark.parametrize("line", BOTH)
def test_put_together_too_late_it_is_past_the_days_of_its_water_half(double, line):
    assert "1 day before" in double.refused(f"{line} --when 2024-04-24")
    double.ok(f"{line} --when 2024-04-24 --sure")

    whole = "MIX" if "MIX" in line else line.split()[1]
    assert good(double, whole, "2024-04-24") == "2024-04-23"
    assert (whole, "expired") in [
        (one["code"], one["what"]) for one in double.asked("due --on 2024-06-01")
    ]


def test_put_together_with_too_little_spirit_it_keeps_days(double):
    double.ok('blend --part "50 ml JDA" --part "450 ml JDB" --code MIX --when 2024-04-21')

    assert good(double, "MIX") == "2024-04-23"


def test_a_bottle_of_spirit_filled_up_with_water_half_in_time_keeps_as_spirit(double):
    double.ok("bottle JDA 1x100ml --when 2024-04-20")
    double.ok("dispense JDA/1 30ml --for C03 --when 2024-04-20")
    double.ok("refill JDA/1 --from JDB --volume 30ml --when 2024-04-21")

    assert good(double, "JDA/1") == "2025-04-20"


def test_water_half_on_old_marc_with_enough_spirit_keeps_as_the_pressing(double):
    """About 100 ml of the marc at 9 %, 100 ml at 9 % and 300 ml at 95 %: strong."""
    double.ok('steep-again JD --pour "100 ml JDB" --pour "300 ml 95%" --when 2024-04-21')
    double.ok("press JD 300ml --keeps '12 months' --when 2024-06-21")

    assert good(double, "JDC", "2024-06-22") == "2025-06-21"


def test_what_was_made_weak_of_an_old_extract_brings_the_old_day_into_a_blend(double):
    """Only the days of water are passed over: what it is made of was good through 25 Apr 2024."""
    double.ok('charge yarrow --dried 50g --pour "250 ml 60%" --code JO --when 2024-01-10')
    double.ok("press JO 100ml --keeps '14 days' --when 2024-04-11")
    double.ok('dilute JO --pour "400 ml water" --when 2024-04-20')
    double.ok('blend --part "50 ml JOA" --part "200 ml JDA" --code OLD --when 2024-04-21')

    assert good(double, "OLD") == "2024-04-25"


def test_water_strengthened_in_time_keeps_as_spirit_from_its_pressing_and_says_so(water):
    water.ok("bottle JWA 1x50ml --when 2024-03-01")
    said = water.ok('dilute JWA --pour "200 ml 95%" --when 2024-03-02')

    assert "keeps 12 months from its pressing" in said
    assert "good through 1 Mar 2025" in said
    assert "keeps 12 months from its pressing" in water.told("history JWA")
    assert good(water, "JWA", "2024-03-05") == "2025-03-01"
    assert good(water, "JWA/1", "2024-03-05") == "2024-03-04"  # filled before, and weak
    assert "good through 4 Mar 2024, filled before its extract changed" in water.ok(
        "show JWA --on 2024-03-05"
    )

    water.ok(f"correct {water.event('diluted')} --set keeps=6m --why 'as I always say'")
    assert good(water, "JWA", "2024-03-05") == "2024-09-01"

    water.ok(f"strike {water.event('diluted')} --why 'it was another one' --sure")
    assert good(water, "JWA", "2024-03-05") == "2024-03-04"


@pytest.mark.parametrize(
    ("pour", "day"), [("200 ml 95%", "2024-03-05"), ("20 ml 95%", "2024-03-02")]
)
def test_water_strengthened_too_late_or_too_little_keeps_its_days(water, pour, day):
    water.ok(f'dilute JWA --pour "{pour}" --when {day} --sure')

    assert good(water, "JWA", "2024-03-06") == "2024-03-04"


def test_water_topped_up_with_spirit_in_the_jar_keeps_as_spirit_once_pressed(tmp_path):
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    command.ok('charge yarrow --dried 20g --pour "300 ml water" --code JW --when 2024-03-01')
    command.ok('top-up JW --pour "300 ml 95%" --when 2024-03-01')
    command.ok("press JW 500ml --when 2024-03-02")

    assert good(command, "JWA", "2024-03-03") == "2025-03-02"


def test_an_extract_past_its_day_on_new_herb_is_no_better_for_it(tmp_path):
    """As where it is a pour of a new charge (docs/trace.md); one in date meets new herb."""
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    for code in ("JA", "JB"):
        command.ok(f'charge yarrow --dried 50g --pour "250 ml 60%" --code {code} --when 2024-01-10')
        command.ok(f"press {code} 200ml --keeps '12 months' --when 2024-02-10")
    command.ok("recharge JAA --dried 20g --why 'smells as it should' --when 2025-02-11")
    command.ok("recharge JBA --dried 20g --when 2025-02-10")
    for code in ("JA", "JB"):
        command.ok(f"press {code} 150ml --keeps '12 months' --when 2025-05-11")

    assert good(command, "JAB", "2025-05-12") == "2025-02-10"
    assert good(command, "JBB", "2025-05-12") == "2026-05-11"


@pytest.mark.parametrize("when", ["unknown", "2024-03"])
def test_made_strong_on_a_day_nobody_knows_may_have_been_too_late(water, when):
    water.ok(f'dilute JWA --pour "200 ml 95%" --when {when} --sure')

    assert good(water, "JWA", "2024-04-06") == "2024-03-04"


def test_past_its_days_what_is_weak_is_to_be_thrown_out_not_used_up(water):
    (last,) = water.asked("due --on 2024-03-04")
    (past,) = water.asked("due --on 2024-03-05")

    assert "(since 1 Mar), good through 4 Mar: keep it cold" in last["why"]
    assert "weak, 0.0 % vol (since 1 Mar), was good through 4 Mar: discard it" in past["why"]


def test_what_is_made_weak_keeps_no_longer_than_it_did_in_every_answer(double):
    """JDA good through 20 April 2025; made weak the day before, three days would be too many."""
    said = double.ok('dilute JDA --pour "900 ml water" --when 2025-04-19')

    assert "As it is, good through 20 Apr 2025, kept cold" in said
    (weak,) = [one for one in double.asked("due --on 2025-04-19") if one["code"] == "JDA"]
    assert "(since 19 Apr), good through 20 Apr: keep it cold" in weak["why"]


def test_the_label_of_what_is_weak_says_that_it_is_kept_cold(water, tmp_path):
    water.ok("label JWA --to weak.pdf")
    text = " ".join(PdfReader(tmp_path / "weak.pdf").pages[0].extract_text().split())

    assert "Weak, keep cold: good through 4 Mar 2024" in text


def test_a_day_on_the_herb_is_one_day(tmp_path):
    command = Command(tmp_path)
    command.ok('charge yarrow --dried 9g --pour "90 ml 60%" --code JP --when 2024-03-01')

    assert ", 1 day on the herb" in command.ok("press JP 50ml --when 2024-03-02 --sure")
