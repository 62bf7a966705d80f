"""Weak however it came about, and dates that end with the earliest part, through the command.

Plain sums are enough for the strengths: each case is far from the 20 % vol of the warning, and
what is weak keeps three days (docs/menstruum.md). Everything is invented.
"""

import pytest

from tests.command import Command

STRONG = 'charge yarrow --dried 50g --pour "250 ml 60%" --when 2024-01-10 --code'
DILUTE = 'dilute JAA --pour "750 ml water" --when 2024-03-01'  # 200 ml of 60 % in 950: 12.6 %


@pytest.fixture
def told(tmp_path) -> Command:
    """Two strong extracts of 200 ml, pressed on 10 February 2024; good for a year."""
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    for code in ("JA", "JB"):
        command.ok(f"{STRONG} {code}")
        command.ok(f"press {code} 200ml --keeps '12 months' --when 2024-02-10")
    return command


def good(told: Command, code: str) -> str | None:
    return told.asked(f"show {code} --on 2024-03-28")["good_through"]


def due(told: Command, day: str) -> list[tuple[str, str, str]]:
    return [(one["code"], one["what"], one["since"]) for one in told.asked(f"due --on {day}")]


def test_water_alone_is_weak_from_the_charge_in_the_jar_and_pressed(told):
    said = told.ok('charge yarrow --dried 10g --pour "300 ml water" --code JW --when 2024-03-01')
    assert "likely to spoil" in said
    assert "good through 4 Mar 2024, kept cold" in said
    assert ("JW", "weak", "2024-03-01") in due(told, "2024-03-02")

    said = told.ok("press JW 250ml --when 2024-03-02")

    assert "JWA: Warning" in said
    assert good(told, "JWA") == "2024-03-04"
    assert ("JWA", "weak", "2024-03-01") in due(told, "2024-03-20")
    told.ok("discard JWA --why 'not used' --when 2024-03-04")
    assert [one for one in due(told, "2024-03-20") if one[0] == "JWA"] == []


def test_a_dilution_that_is_struck_never_made_it_weak(told):
    assert "good through 4 Mar 2024" in told.ok(DILUTE)
    assert good(told, "JAA") == "2024-03-04"

    told.ok(f"strike {told.event('diluted')} --why 'it was another one' --sure")

    assert good(told, "JAA") == "2025-02-10"
    assert ("JAA", "weak", "2024-03-01") not in due(told, "2024-03-02")


def test_a_corrected_pour_makes_what_was_pressed_weak(told):
    charged = told.event("charged", 0)
    line = f"correct {charged} --set pour='250 ml 12%' --why 'read the other bottle' --sure"
    said = told.run(line)

    assert "JAA: it is too weak to keep, good through 13 Jan 2024" in said.out + said.err

    assert good(told, "JAA") == "2024-01-13"
    assert ("JAA", "weak", "2024-01-10") in due(told, "2024-03-01")


def test_made_stronger_in_time_it_keeps_as_its_parts(told):
    told.ok(DILUTE)
    told.ok('dilute JAA --pour "900 ml 95%" --when 2024-03-03')

    assert good(told, "JAA") == "2025-02-10"
    assert [one for one in due(told, "2024-03-20") if one[0] == "JAA"] == []


def test_made_stronger_too_late_it_stays_past_its_date_and_so_does_a_blend_of_it(told):
    told.ok(DILUTE)
    told.refused('dilute JAA --pour "900 ml 95%" --when 2024-03-20')
    told.ok('dilute JAA --pour "900 ml 95%" --when 2024-03-20 --sure')
    assert good(told, "JAA") == "2024-03-04"

    blend = 'blend --part "50 ml JAA" --part "100 ml JBA" --code MIX --when 2024-03-21'
    assert "its last good day was 4 Mar 2024, 17 days before" in told.refused(blend)
    told.ok(f"{blend} --sure")

    assert good(told, "MIX") == "2024-03-04"
    assert "past its date by 17 days" in told.told("history MIX")
    assert "past its date by 17 days" in " ".join(told.ok("record MIX").split())
    assert "past its date by 17 days" in told.ok("trace MIX")


def test_weak_into_a_strong_bottle_and_back(told):
    told.ok("bottle JBA 1x100ml --when 2024-02-11")
    told.ok("dispense JBA/1 90ml --for C03 --when 2024-02-12")
    told.ok(DILUTE)
    told.ok("refill JBA/1 --from JAA --volume 80ml --when 2024-03-02")  # 10 ml of 60 % in 90: 18 %

    assert good(told, "JBA/1") == "2024-03-04"
    assert ("JBA/1", "weak", "2024-03-01") in due(told, "2024-03-03")
    assert good(told, "JBA") == "2025-02-10"

    told.ok("dispense JBA/1 80ml --for C03 --when 2024-03-03")
    told.ok("refill JBA/1 --from JBA --volume 80ml --when 2024-03-03")  # strong again, in time
    assert good(told, "JBA/1") == "2025-02-10"


def test_halves_of_a_weak_jar_joined_again_are_weak_since_the_first_day(told):
    told.ok('charge yarrow --dried 20g --pour "400 ml 10%" --code JW --when 2024-03-01')
    told.ok("split JW --into 2 --when 2024-03-02")
    halves = [one["code"] for one in told.asked("shelf --on 2024-03-03")]
    told.ok(f"join {' '.join(halves)} --code WHOLE --when 2024-03-03")

    assert ("WHOLE", "weak", "2024-03-01") in due(told, "2024-03-04")


def test_a_hold_says_more_than_weakness_and_hides_nothing_of_the_date(told):
    told.ok(DILUTE)
    told.ok("hold JAA --why cloudy --when 2024-03-01")

    assert ("JAA", "safety", "2024-03-01") in due(told, "2024-03-02")
    assert told.asked("show JAA --on 2024-03-02")["weak_since"] == "2024-03-01"


def test_an_unknown_press_date_is_no_date_in_it_and_in_what_is_blended_of_it(told):
    told.ok('charge yarrow --dried 50g --pour "250 ml 60%" --code JU --when 2024-01-10')
    told.ok("press JU 200ml --when unknown")
    told.ok('blend --part "50 ml JUA" --part "50 ml JBA" --code MIX --when 2024-02-20 --sure')

    assert (good(told, "JUA"), good(told, "MIX")) == (None, None)
    assert "its last good day is not known" in told.ok("due --on 2030-01-01")
    assert "not known" in told.ok("stock --on 2030-01-01")


def test_the_last_good_day_may_be_a_leap_day(told):
    told.ok("bottle JAA 1x50ml --when 2024-02-11")
    told.ok('dilute JAA --pour "600 ml water" --when 2024-02-26')

    assert good(told, "JAA") == "2024-02-29"
    assert good(told, "JAA/1") == "2025-02-10"  # filled before
    assert "1 day before" in told.refused("dispense JAA 5ml --for C03 --when 2024-03-01")
    told.ok("dispense JAA 5ml --for C03 --when 2024-02-29")


def test_an_old_extract_on_new_herb_is_explained_and_the_reason_stays(told):
    line = "recharge JAA --dried 20g --when 2025-03-01"
    assert "its last good day was 10 Feb 2025, 19 days before" in told.refused(line)

    said = told.run(f"{line} --why 'smells and tastes as it should'")

    assert said.code == 0
    assert "smells and tastes" in said.err + said.out
    assert told.asked("show JA")["used_late_why"] == "smells and tastes as it should"
    assert "used past its date, or with none known: smells" in told.told("history JA")
    assert "smells and tastes" in told.ok("show JA")


def test_vinegar_thinned_by_half_is_not_known_to_keep(told):
    told.ok('charge yarrow --dried 9g --pour "100 ml vinegar" --code JV --when 2024-01-10')
    told.ok("press JV 90ml --keeps '12 months' --when 2024-02-10")
    assert good(told, "JVA") == "2025-02-10"
    assert told.asked("show JVA")["keeping"] is None

    said = told.ok('dilute JVA --pour "90 ml water" --when 2024-03-01')

    assert "whether it keeps is not known" in said
    assert told.asked("show JVA")["keeping"] == "unknown"
    assert good(told, "JVA") == "2024-09-01"  # the practice's six months for other preparations


def test_two_writers_who_both_dilute_make_it_weak_since_the_first_that_did(told):
    """Each of them left it strong enough; both together did not: 120 in 580, 20.7 %; 120 in 960."""
    told.ok('dilute JAA --pour "380 ml water" --when 2024-03-01')
    other = Command(told.home, writer="other")
    other.ok('dilute JAA --pour "380 ml water" --when 2024-02-25')

    assert ("JAA", "weak", "2024-03-01") in due(told, "2024-03-01")
    assert good(told, "JAA") == "2024-03-04"


@pytest.fixture
def undated(told) -> Command:
    """Beside the two, JUA: 200 ml of 60 % that nobody knows the pressing of, and a bottle of it."""
    told.ok(f"{STRONG} JU")
    told.ok("press JU 200ml --when unknown")
    told.ok("filter JUA 190ml --when 2024-03-01")
    told.ok("bottle JUA 1x50ml --when 2024-03-01")  # filtering and bottling ask nothing
    return told


UNKNOWN = "how long it keeps is not known"


@pytest.mark.parametrize(
    "line",
    [
        "dispense JUA 5ml --for C03",
        "dispense JUA/1 5ml --for C03",
        'dilute JUA --pour "10 ml water"',
        'dilute JUA --to 160ml --pour "20 ml 60%"',
        'dilute JAA --pour "10 ml JUA"',
        'blend --part "50 ml JUA" --part "50 ml JBA" --code MIX',
        "refill JUA/1 --from JUA --volume 5ml",
        'charge yarrow --dried 10g --pour "50 ml JUA" --code JN',
    ],
)
def test_what_has_no_date_is_asked_about_before_it_is_used(undated, line):
    if line.startswith("refill"):
        undated.ok("dispense JUA/1 9ml --for C03 --when 2024-03-01 --sure")
    assert UNKNOWN in undated.refused(f"{line} --when 2024-03-02")

    at_terminal = undated.at_terminal(f"{line} --when 2024-03-02", typed="n\n")
    assert (at_terminal.code, "not known" in at_terminal.out) == (1, True)
    undated.ok(f"{line} --when 2024-03-02 --sure")


@pytest.mark.parametrize("line", ["recharge JUA --dried 20g", 'steep-again JU --pour "200 ml 40%"'])
def test_what_has_no_date_goes_to_a_new_steep_with_a_reason(undated, line):
    assert UNKNOWN in undated.refused(line)

    undated.ok(f"{line} --why 'the label says January'")

    assert "none known: the label says January" in undated.told("history JU")


def test_diluted_until_it_is_weak_it_has_no_date_for_that(undated):
    """Weak for days or not: it may have been past its date before."""
    undated.ok('dilute JUA --pour "900 ml water" --when 2024-03-02 --sure')

    assert good(undated, "JUA") is None
    assert ("JUA", "weak", "2024-03-02") in due(undated, "2024-03-03")


def test_pressed_again_into_what_is_weak_or_has_no_date_it_says_so(undated):
    undated.ok(DILUTE)

    said = undated.ok("press JA 20ml --again --when 2024-03-02")
    assert "in bulk, good through 4 Mar 2024, as the first pressing" in said
    assert "1 day left" in undated.ok("show JAA --on 2024-03-03")

    assert "how long it keeps is not known, as the first pressing" in undated.ok(
        "press JU 20ml --again"
    )
    assert good(undated, "JUA") is None


def test_what_is_weak_is_by_the_practice_of_the_day(told):
    """120 ml of ethanol in 700 ml, some 17 %: weak for one who warns below 20 %, not below 15 %."""
    told.ok('dilute JAA --pour "500 ml water" --when 2024-03-01')
    assert good(told, "JAA") == "2024-03-04"

    told.practice('zone = "Europe/Berlin"\n["keeping"]\n"warn below" = "15 %"\n')
    assert good(told, "JAA") == "2025-02-10"
    assert [one for one in due(told, "2024-03-20") if one[0] == "JAA"] == []

    told.practice('zone = "Europe/Berlin"\n["keeping"]\n"weak keeps" = "5 days"\n')
    assert good(told, "JAA") == "2024-03-06"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("dispense JAA 5ml --for C03", "JAA"),
        ("bottle JAA 1x50ml", "JAA"),
        ('dilute JAA --pour "10 ml water"', "JAA"),
        ('dilute JAA --to 220ml --pour "20 ml 60%"', "JAA"),
        ('dilute JBA --pour "10 ml JAA"', "JAA"),
        ("refill JBA/1 --from JAA --volume 5ml", "JAA"),
        ('charge yarrow --dried 10g --pour "50 ml JAA" --code JN', "JAA"),
        ("recharge JAA --dried 20g --why 'smells fine'", "JA"),
        ('steep-again JA --pour "200 ml 40%" --why "smells fine"', "JA"),
    ],
)
def test_every_use_past_the_date_says_by_how_many_days(told, line, code):
    told.ok("bottle JBA 1x50ml --when 2024-02-11")
    told.ok("dispense JBA/1 30ml --for C03 --when 2024-02-11")
    told.ok(f"{line} --when 2025-02-13 --sure")

    assert "past its date by 3 days" in told.told(f"history {code}")
    assert 3 in [one["days_past_date"] for one in told.asked(f"history {code}")]
    assert "past its date by 3 days" in " ".join(told.ok("record JA").split())


def test_the_shelf_and_what_is_due_count_the_same_days(told):
    told.ok('charge yarrow --dried 10g --pour "90 ml 60%" --longest 60d --least 7d --code JL'
            " --when 2024-01-10")  # fmt: skip
    told.ok('charge yarrow --dried 10g --pour "300 ml water" --longest none --code JW'
            " --when 2024-03-10")  # fmt: skip

    on = "--on 2024-03-12"  # 60 days after 10 January, in a leap year, is 10 March
    shelf = told.ok(f"shelf {on}")
    assert "2 d over" in shelf
    assert "weak for 2 d" in shelf
    assert "2 days over" in told.ok(f"due {on}")
