"""Every recording verb, done right, through the command and into the book.

The worked book holds CAOF-25-01 (pressed 370 ml, 358 ml filtered, bottles 1 to 4, 8 ml in
bulk), CAOF-25-02 (still on the herb) and MEOF-25-01 (its extract on hold).
"""

import shutil
from datetime import date

import pytest
from dateutil.relativedelta import relativedelta

BESIDE = '--when 2025-05-01 --note "by the window" --json'
DONE = {
    "charge": (
        'charge "Melissa officinalis" --fresh "12 oz" --water 75% --pour "24 fl oz 190 proof"',
        ["12 oz (340 g)", "710 ml 95 %", "(24 fl oz 190 proof)", "1:2.09", "71.5 % vol"],
    ),
    "shake": ("shake CAOF-25-02", ["CAOF-25-02 shaken 1 May 2025"]),
    "look": ("look CAOF-25-02 --sign level --verdict watch", ["looked at: level, watch"]),
    "top-up": ('top-up CAOF-25-02 --pour "1 pint 45%"', ["473 ml", "973 ml in all", "1:9.7"]),
    "move": ('move CAOF-25-02 --to cellar --jar "1 quart"', ["to cellar", "946.353 ml"]),
    "press": ("press CAOF-25-02 0.37l --marc kept", ["pressed 0.37 l of 500 ml", "1.3 ml per g"]),
    "filter": (
        "filter CAOF-25-01A 5ml --through paper",
        ["5 ml through paper", "15 ml lost"],
    ),
    "bottle": ("bottle CAOF-25-01A 2x2ml 2x1ml", ["2 × 2 ml, 2 × 1 ml", "2 ml left"]),
    "dispense": (
        "dispense CAOF-25-01A/4 --for C03",
        ["dispensed all for C03", "that was 50 ml"],
    ),
    "count": ("count CAOF-25-01A 6ml", ["counted 6 ml", "said 8 ml: 2 ml unaccounted"]),
    "discard": ("discard CAOF-25-02 --why mould", ["discarded all: mould"]),
    "note": ('note CAOF-25-01A "clear and golden"', ["note: clear and golden"]),
}
KINDS = {
    "charge": "charged",
    "shake": "shaken",
    "look": "looked_at",
    "top-up": "topped_up",
    "move": "moved",
    "press": "pressed",
    "filter": "filtered",
    "bottle": "bottled",
    "dispense": "dispensed",
    "count": "counted",
    "discard": "discarded",
    "note": "noted",
}


@pytest.mark.parametrize("verb", DONE)
def test_a_verb_says_and_records_what_was_understood(worked, verb):
    line, words = DONE[verb]
    beside = BESIDE.replace('--note "by the window"', "") if verb == "note" else BESIDE
    before = worked.written()
    rehearsed = worked.json(f"{line} --by Ines {beside}", "--dry-run")
    untouched = worked.written() == before
    answer = worked.json(f"{line} --by Ines {beside}")
    (event,) = answer["recorded"]
    written = worked.lines()[-1]

    assert untouched
    assert (rehearsed["dry_run"], answer["dry_run"]) == (True, False)
    assert rehearsed["said"] == answer["said"]
    assert [word for word in words if word not in "\n".join(answer["said"])] == []
    assert event["kind"] == written["type"] == KINDS[verb]
    assert event["id"] == written["id"]
    assert written["data"]["by"] == "Ines"
    assert written["time"].startswith(("2025-05-01T00:00", "2025-04-30T22:00"))
    assert verb == "note" or written["data"]["note"] == "by the window"


def test_what_would_be_recorded_is_said_as_such(worked):
    assert worked.ok("shake CAOF-25-02 --dry-run").startswith(
        "Would record: marigold flower CAOF-25-02 shaken"
    )


def test_with_is_the_method_of_a_pressing_and_by_the_person(worked):
    worked.ok("press CAOF-25-02 370ml --with hand --by Ines --when 2025-04-05")
    data = worked.lines()[-1]["data"]

    assert data["by"] == "Ines"
    assert data["how"] == "hand"
    assert "370 ml by hand" in worked.ok("show CAOF-25-02")


def test_by_is_the_person_of_every_other_verb(worked):
    worked.ok("shake CAOF-25-02 --by Ines --note twice --when 2025-04-05")
    history = worked.told("history CAOF-25-02")

    assert "5 Apr" in history
    assert "shaken – twice" in history
    assert "shaken – twice · by Ines" in history


def test_a_discard_can_be_taken_back(worked):
    worked.ok("discard CAOF-25-01A/1 --why cracked --when 2025-05-01")
    gone = worked.asked("show CAOF-25-01A/1")
    worked.ok('restore CAOF-25-01A/1 --why "wrong bottle" --when 2025-05-02')
    back = worked.asked("show CAOF-25-01A/1 --on 2025-05-02")

    assert (gone["state"], gone["volume_ml"]) == ("discarded", 0)
    assert (back["state"], back["volume_ml"]) == ("in stock", 100)


# When it happened, as exactly as it is known


@pytest.mark.parametrize(
    ("when", "charged", "earliest_press"),
    [
        ("2025-03-03 18:30", "2025-03-03", "2025-03-31"),
        ("2023-06", {"from": "2023-06-01", "to": "2023-06-30"}, "2023-07-28"),
        ("2023-summer", {"from": "2023-06-01", "to": "2023-08-31"}, "2023-09-28"),
        ("2023", {"from": "2023-01-01", "to": "2023-12-31"}, "2024-01-28"),
    ],
)
def test_ready_waits_for_the_late_end_of_an_inexact_charge(worked, when, charged, earliest_press):
    line = 'charge Urtica --dried 100g --pour "500 ml 45%" --least 28d --code UR-1'
    worked.ok(f"{line} --when '{when}'")
    jar = worked.asked("show UR-1")

    assert jar["charged"] == charged
    assert jar["earliest_press"] == earliest_press


def test_good_through_uses_the_early_end_of_an_inexact_pressing(worked):
    worked.ok("press CAOF-25-02 370ml --when 2025-11")
    extract = worked.asked("show CAOF-25-02A")

    assert extract["pressed"] == {"from": "2025-11-01", "to": "2025-11-30"}
    assert extract["good_through"] == "2026-11-01"


def test_days_on_the_herb_are_a_range_where_the_charge_is(worked):
    """An inexact value is a range, one that cannot be known is null."""
    line = 'charge Urtica --dried 100g --pour "500 ml 45%"'
    worked.ok(f"{line} --code UR-1 --when 2023-06")
    worked.ok(f"{line} --code UR-2 --when unknown")

    known = worked.asked("show UR-1 --on 2023-07-10")["days_on_herb"]

    assert known == {"from": 10, "to": 39}
    assert worked.asked("show UR-2")["days_on_herb"] is None


# Several at once


def test_several_jars_are_shaken_in_one_event(worked):
    worked.ok(
        'charge Urtica --dried 100g --pour "500 ml 45%" --count 12 --code UR --when 2025-03-03'
    )
    codes = [f"UR{number:02d}" for number in range(1, 13)]
    answer = worked.json("shake", *codes, "--when", "2025-03-04")
    shelf = {jar["code"]: jar for jar in worked.asked("shelf")}

    assert len(worked.lines()[-1]["data"]["jars"]) == 12
    assert len(answer["recorded"]) == 1
    assert {shelf[code]["last_shaken"] for code in codes} == {"2025-03-04"}


def test_several_jars_are_looked_at_and_moved_at_once(worked):
    worked.ok("look CAOF-25-02 MEOF-25-01A --verdict fine --when 2025-05-01")
    worked.ok("move CAOF-25-02 MEOF-25-01A --to cellar --when 2025-05-01")

    assert [line["type"] for line in worked.lines()[-4:]] == ["looked_at"] * 2 + ["moved"] * 2
    assert worked.asked("show CAOF-25-02")["place"] == "cellar"
    assert worked.asked("show MEOF-25-01A")["place"] == "cellar"
    assert worked.asked("show MEOF-25-01A")["on_hold"] is False


def test_one_code_that_does_not_fit_stops_the_whole_command(worked):
    """All or none: a person who reads one error knows that nothing was recorded."""
    said = worked.refused("shake CAOF-25-02 CAOF-25-01 --when 2025-05-01")

    assert "CAOF-25-01: it was already pressed" in said


def test_a_code_may_be_shortened_while_only_one_thing_fits(worked):
    worked.ok("shake CAOF-25-02 --when 2025-03-04")

    assert "CAOF-25-02" in worked.ok("shake caof-25-02 --when 2025-03-05")
    assert worked.asked("show ME")["code"] == "MEOF-25-01"
    assert worked.asked("show meof-25-01a")["code"] == "MEOF-25-01A"


# Mending


def test_a_correction_stands_beside_what_it_replaced(worked):
    event, number = worked.event("filtered"), worked.number("filtered")
    assert f" {number} 7 Apr A: filtered" in worked.told("history CAOF-25-01")
    said = worked.ok(f"correct {number} --set volume=352ml --why misread --by Ines")
    history = worked.told("history CAOF-25-01")
    filtered = next(one for one in worked.asked("history CAOF-25-01") if one["id"] == event)

    assert f"{number} CAOF-25-01A filtered: volume 358 ml → 352 ml." in said
    assert history.index("filtered to 358 ml") < history.index("filtered to 352 ml")
    assert f"CORRECTED by {worked.number('corrected')}, " in history
    assert ": misread now: filtered to 352 ml" in history
    assert filtered["corrected_by"] == [worked.event("corrected")]
    assert worked.asked("show CAOF-25-01A")["volume_ml"] == pytest.approx(2.0)


def test_an_event_of_the_wrong_jar_is_moved_to_the_right_one(worked):
    worked.ok(
        'charge "Urtica dioica" --dried 50g --pour "250 ml 45%" --code UR-1 --when 2025-03-03'
    )
    worked.ok("shake CAOF-25-02 --when 2025-03-04")
    worked.ok("press CAOF-25-02 180ml --when 2025-04-05")
    for kind in ("pressed", "shaken"):
        worked.ok(f'correct {worked.event(kind)} --set thing=UR-1 --why "wrong jar"')
    wrong, right = worked.asked("show CAOF-25-02"), worked.asked("show UR-1")

    assert (wrong["shakes"], wrong["pressed_ml"], wrong["flags"]) == (0, None, [])
    assert (right["last_shaken"], right["pressed_ml"]) == ("2025-03-04", 180)
    assert right["flags"] == []
    assert "shaken" in worked.told("history UR-1")


def test_a_corrected_day_moves_what_is_reckoned_from_it(worked):
    charge = worked.event("charged", 1)
    worked.ok(f"correct {charge} --set when=2025-03-10 --set least=14d --why misdated")
    jar = worked.asked("show CAOF-25-02")

    assert jar["charged"] == "2025-03-10"
    assert jar["earliest_press"] == "2025-03-24"


def test_a_correction_of_a_correction_and_a_strike_of_a_strike(worked):
    def bulk_ml():
        return worked.asked("show CAOF-25-01A")["volume_ml"]

    bottled = worked.event("bottled")
    worked.ok(f"correct {worked.event('filtered')} --set volume=352ml --why misread")
    worked.ok(f"correct {worked.event('corrected')} --why again --set", "volume=355ml")
    corrected_ml = bulk_ml()
    worked.ok(f"strike {worked.event('corrected', 0)} --why needless")
    first_ml = bulk_ml()
    worked.ok(f"strike {bottled} --why 'not bottled yet'")
    unbottled_ml = bulk_ml()
    worked.ok(f"strike {worked.event('struck')} --why 'it was bottled'")

    assert corrected_ml == pytest.approx(355 - 350)
    assert first_ml == pytest.approx(358 - 350)
    assert unbottled_ml == pytest.approx(358)
    assert bulk_ml() == pytest.approx(358 - 350)


def test_a_struck_event_stays_in_the_history_with_its_reason(worked):
    worked.ok("shake CAOF-25-02 --when 2025-03-04")
    worked.ok(f"strike {worked.event('shaken')} --why 'it was MEOF-25-01'")
    history = worked.told("history CAOF-25-02")

    assert "shaken" in history
    assert "STRUCK by" in history
    assert "it was MEOF-25-01" in history
    assert worked.asked("show CAOF-25-02")["shakes"] == 0


# What is derived, and what is not


def test_deleting_the_read_model_changes_no_answer(worked):
    asked = ("shelf --done", "stock", "show CAOF-25-01", "history CAOF-25-01")
    day = "--on 2025-06-01"
    lines = [line if "history" in line else f"{line} {day}" for line in asked]
    before = [worked.json(line) for line in lines]
    was_there = any(worked.cache.rglob("*.sqlite"))
    shutil.rmtree(worked.cache)
    shutil.rmtree(worked.state, ignore_errors=True)

    assert was_there
    assert [worked.json(line) for line in lines] == before


def test_eight_people_at_once_lose_no_shake_and_no_link(worked):
    runs = [worked.start(f"shake CAOF-25-02 --by P{number}") for number in range(8)]
    for run in runs:
        with run:
            run.communicate(timeout=60)
    shakers = {line["data"].get("by") for line in worked.lines() if line["type"] == "shaken"}

    assert [run.returncode for run in runs] == [0] * 8
    assert shakers == {f"P{number}" for number in range(8)}
    assert worked.asked("show CAOF-25-02")["shakes"] == 8
    assert {"whole": True, "damages": [], "unplaced": []}.items() <= worked.json("check").items()


def test_two_machines_write_two_files_and_one_shelf(worked):
    worked.env["STILLROOM_WRITER"] = "Cellar PC"
    worked.ok("shake CAOF-25-02 --when 2025-03-04")

    assert sorted(path.name for path in (worked.book / "events").iterdir()) == [
        "bench.jsonl",
        "cellar-pc.jsonl",
    ]
    assert worked.asked("show CAOF-25-02")["shakes"] == 1


# Facts of the trade: common practice, no source


def test_spirit_stays_on_the_herb_three_months_by_default(command):
    """Common practice, no source. Months as python-dateutil adds them: clamped."""
    command.ok('charge Urtica --dried 100g --pour "500 ml 45%" --code UR-1 --when 2024-11-30')
    expected = date(2024, 11, 30) + relativedelta(months=3)

    assert command.asked("show UR-1")["earliest_press"] == expected.isoformat() == "2025-02-28"


def test_a_tincture_keeps_about_a_year_from_the_pressing_by_default(worked):
    """Common practice, no source."""
    assert worked.asked("show CAOF-25-01A")["good_through"] == "2026-04-05"


def test_a_jar_kept_for_years_with_the_herb_in_is_left_in_peace(command):
    """Common practice, no source: pressed only when it is wanted."""
    line = 'charge "Hypericum perforatum" --dried 100g --pour "500 ml 45%"'
    command.ok(f"{line} --code HY-1 --when 2019-07-01")
    command.ok(f"{line} --code HY-2 --when 2019")
    (first, _) = command.asked("shelf --on 2025-07-01")

    assert [one["group"] for one in command.asked("due --on 2025-07-01")] == [
        "ready when you want it",
        "ready when you want it",
    ]
    assert (first["ready"], first["state"]) == (True, "ready")
    assert "good through 1 Jul" in command.ok("press HY-1 370ml --when 2025-07-01")


def test_the_glycerin_in_a_jar_is_shown_as_a_share_of_its_volume(command):
    """Common practice, no source: spirit with a tenth of glycerin."""
    command.ok("charge Melissa --dried 50g --pour '225 ml 45%' --pour '25 ml glycerin' --code ME-1")

    share = command.asked("show ME-1")["glycerin_pct_vol"]
    assert share == pytest.approx(10.0, abs=0.3)
    assert "glycerin" in command.ok("show ME-1")


def test_a_round_of_jars_stands_in_a_history_under_its_own_code(worked):
    worked.ok("charge Urtica --dried 50g --pour '250 ml 45%' --code UR-1 --when 2025-04-01")
    worked.ok("shake CAOF-25-02 UR-1 --when 2025-04-02")

    assert " 2 Apr shaken" in worked.told("history UR-1")
