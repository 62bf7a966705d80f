"""What was found wrong where two features meet; each was recorded, or answered, falsely once."""

import json
import re
import shutil

import pytest

from tests.command import Command

CALENDULA = (
    'charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%" --least 28d'
)


@pytest.fixture
def pressed(command: Command) -> Command:
    """One jar charged in March and pressed in April 2025: 370 ml in CAOF-25-01A."""
    command.ok(f"{CALENDULA} --when 2025-03-03")
    command.ok("press CAOF-25-01 370ml --when 2025-04-05")
    return command


@pytest.fixture
def two_machines(command: Command) -> Command:
    """Two writers gave CAOF-25-01 while apart: the later one is shown as CAOF-25-01b."""
    command.ok(f"{CALENDULA} --when 2025-03-03")
    (command.home / "other").mkdir()
    other = Command(command.home / "other", writer="loft", zone="Europe/Berlin")
    other.ok(f"{CALENDULA} --when 2025-03-04")
    (there,) = (other.book / "events").glob("*.jsonl")
    (command.book / "events" / there.name).write_bytes(there.read_bytes())
    return command


# Two machines


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("press CAOF-25-01b 300ml --when 2025-04-05", "CAOF-25-01b"),
        ("shake CAOF-25-01b --when 2025-03-10", "CAOF-25-01b"),
        ("look CAOF-25-01b --verdict watch --when 2025-03-10", "CAOF-25-01b"),
        ('top-up CAOF-25-01b --pour "20 ml 45%" --when 2025-03-10', "CAOF-25-01b"),
        ("draw CAOF-25-01b 50ml --when 2025-03-20", "CAOF-25-01b"),
        ("add-herb CAOF-25-01b --dried 5g --when 2025-03-10", "CAOF-25-01b"),
        ("move CAOF-25-01b --to cellar --when 2025-03-10", "CAOF-25-01b"),
        ("hold CAOF-25-01b --why smell --when 2025-03-10", "CAOF-25-01b"),
        ("note CAOF-25-01b hello --when 2025-03-10", "CAOF-25-01b"),
        ("discard CAOF-25-01b --why spilt --when 2025-03-10", "CAOF-25-01b"),
    ],
)
def test_every_answer_names_the_jar_that_was_meant(two_machines, line, code):
    answer = two_machines.json(line)
    jar = next(one for one in two_machines.asked("shelf --done") if one["code"] == code)

    assert all(re.search(rf"\b{code}", text) for text in answer["said"])
    assert not any(re.search(r"CAOF-25-01(?![bB])", text) for text in answer["said"])
    assert jar["code"] == code


def test_the_other_jar_stays_as_it_was(two_machines):
    two_machines.ok("press CAOF-25-01b 300ml --when 2025-04-05")

    assert two_machines.asked("show CAOF-25-01")["state"] in ("macerating", "ready")
    assert two_machines.asked("show CAOF-25-01bA")["volume_ml"] == 300


# Corrections pass the gate


def of(command: Command, kind: str) -> str:
    return command.event(kind)


@pytest.mark.parametrize(
    ("done", "kind", "value"),
    [
        ("dispense CAOF-25-01A 30ml --for C03", "dispensed", "reference=Mrs Aldous Penhale"),
        ("dispense CAOF-25-01A 30ml --for C03", "dispensed", "volume=3000ml"),
        ("press CAOF-25-01 370ml --when 2025-04-05", "pressed", "volume=5000ml"),
    ],
)
def test_a_correction_is_held_to_what_the_fact_itself_is(pressed, done, kind, value):
    if kind != "pressed":
        pressed.ok(f"{done} --when 2025-05-01")
    answer = pressed.run(f'correct {of(pressed, kind)} --why "read again" --set', value)

    assert answer.code in (1, 2)
    assert answer.out == ""


def test_bottles_beyond_what_there_was_are_not_corrected_in(pressed):
    pressed.ok("bottle CAOF-25-01A 3x100ml --when 2025-04-07")
    pressed.refused(f"correct {of(pressed, 'bottled')} --why more --set", "sizes=9x1l")


@pytest.mark.parametrize("value", ["code=LOT-25-01", "code=CAOF-25-02A", "herb=155g"])
def test_a_correction_makes_no_jar_unreachable_and_no_plant_of_a_weight(pressed, value):
    pressed.ok(f"{CALENDULA} --when 2025-03-05")
    number = pressed.event("charged", 0)
    answer = pressed.run(f"correct {number} --why slip --set {value}")

    assert answer.code in (1, 2)
    assert pressed.asked("show CAOF-25-01")["herb"] == "Calendula officinalis"


def test_a_second_correction_starts_from_the_first(pressed):
    number = of(pressed, "pressed")
    pressed.ok(f"correct {number} --why misread --set volume=350ml")
    said = pressed.json(f"correct {number} --why misread --set volume=340ml")["said"]

    assert "volume 350 ml → 340 ml" in said[0]


def test_after_a_correction_moved_an_event_the_jar_can_be_corrected_again(pressed):
    pressed.ok(f"{CALENDULA} --when 2025-03-05")
    number = of(pressed, "pressed")
    pressed.ok(f'correct {number} --why "wrong jar" --set thing=CAOF-25-02')
    answer = pressed.run(f"correct {pressed.event('charged', 1)} --why misread --set dried=90g")

    assert answer.code == 0, answer.err
    assert "not in the book" not in answer.out + answer.err
    assert pressed.asked("show CAOF-25-02A")["volume_ml"] == 370


def test_what_no_longer_fits_after_a_correction_is_named(pressed):
    pressed.ok("bottle CAOF-25-01A 3x100ml --when 2025-04-07")
    answer = pressed.run(f"correct {of(pressed, 'pressed')} --why misread --set volume=200ml")

    assert answer.code == 0
    assert "bottled 300 ml" in answer.err


def test_a_strike_of_a_charge_that_much_came_of_asks_first(pressed):
    number = of(pressed, "charged")
    said = pressed.refused(f"strike {number} --why slip")
    assert "CAOF-25-01A" in said

    pressed.ok(f"strike {number} --why slip --sure")


# Amounts and codes


@pytest.mark.parametrize(
    "line",
    [
        'dilute CAOF-25-01A --pour "100 ml water" --when 2025-05-01',
        'dilute CAOF-25-01A --to 450ml --pour "80 ml 45%" --when 2025-05-01',
    ],
)
def test_what_was_poured_in_may_be_counted(pressed, line):
    pressed.ok(line)
    pressed.ok("count CAOF-25-01A 440ml --when 2025-05-02")

    assert pressed.asked("show CAOF-25-01A")["volume_ml"] == 440


@pytest.mark.parametrize("code", ["CAOF-25-01A", "caof-25-01b", "CAOF-25-02AB", "LOT-25-01"])
def test_a_code_of_ones_own_never_becomes_that_of_an_extract_or_lot(pressed, code):
    pressed.ok(f"{CALENDULA} --when 2025-03-05")

    pressed.refused(f"{CALENDULA} --code {code} --when 2025-03-06")


def test_a_code_that_a_jar_was_given_with_letters_stays_its_own(command):
    """FOO's second extract would be FOOB, which is a jar."""
    command.ok(f"{CALENDULA} --code FOOB --when 2025-03-03")

    command.refused(f"{CALENDULA} --code FOO --when 2025-03-03")


def test_the_code_of_an_extract_is_no_plant(pressed):
    pressed.refused('charge CAOF-25-01A --fresh 99g --pour "500 ml 45%"', code=2)


# Ended jars, and days before there was anything


@pytest.mark.parametrize(
    "ending",
    [
        "press CAOF-25-01 300ml --when 2025-04-05",
        "split CAOF-25-01 --into 2 --when 2025-04-05",
        "join CAOF-25-01 CAOF-25-02 --when 2025-04-05",
        "discard CAOF-25-01 --why mould --when 2025-04-05",
    ],
)
@pytest.mark.parametrize(
    "line",
    [
        "shake CAOF-25-01",
        'top-up CAOF-25-01 --pour "20 ml 45%"',
        "add-herb CAOF-25-01 --dried 5g",
        "draw CAOF-25-01 20ml",
        "press CAOF-25-01 100ml",
    ],
)
def test_a_jar_that_ended_takes_nothing_more_on_the_same_day(command, ending, line):
    command.ok(f"{CALENDULA} --count 2 --when 2025-03-03")
    command.ok(ending)

    command.refused(f"{line} --when 2025-04-05")


@pytest.mark.parametrize(
    "line",
    [
        "look CAOF-25-01",
        "shake CAOF-25-01",
        "press CAOF-25-01 100ml",
        "move CAOF-25-01 --to cellar",
        "note CAOF-25-01 hello",
        "hold CAOF-25-01 --why smell",
        "discard CAOF-25-01 --why mould",
        "split CAOF-25-01 --into 2",
        'top-up CAOF-25-01 --pour "20 ml 45%"',
        "add-herb CAOF-25-01 --dried 5g",
        "draw CAOF-25-01 20ml",
    ],
)
def test_nothing_happens_to_a_jar_before_its_charge(command, line):
    command.ok(f"{CALENDULA} --when 2025-03-03")

    assert "3 Mar 2025" in command.refused(f"{line} --when 2025-03-01")


@pytest.mark.parametrize(
    "line",
    [
        "dispense CAOF-25-01A 10ml",
        "filter CAOF-25-01A 300ml --poured-off",
        "filter CAOF-25-01A 300ml",
        "bottle CAOF-25-01A 1x100ml",
        "count CAOF-25-01A 300ml",
        "look CAOF-25-01A",
        'dilute CAOF-25-01A --pour "20 ml water"',
    ],
)
def test_nothing_happens_to_an_extract_before_its_pressing(pressed, line):
    assert "5 Apr 2025" in pressed.refused(f"{line} --when 2025-04-01")


def test_a_back_dated_settling_leaves_no_more_than_there_was(pressed):
    pressed.ok("dispense CAOF-25-01A 100ml --when 2025-05-01")

    pressed.refused("filter CAOF-25-01A 400ml --poured-off --when 2025-04-10")


def test_a_back_dated_draw_that_leaves_too_little_for_later_asks_first(command):
    command.ok(f"{CALENDULA} --when 2025-03-03")
    command.ok("draw CAOF-25-01 400ml --when 2025-03-20")

    command.refused("draw CAOF-25-01 300ml --when 2025-03-10")


# Holds


@pytest.mark.parametrize("held", ["hold CAOF-25-01 --why smell", "look CAOF-25-01 --verdict hold"])
@pytest.mark.parametrize(
    "line",
    [
        "press CAOF-25-01 300ml",
        "draw CAOF-25-01 20ml",
        "split CAOF-25-01 --into 2",
        'top-up CAOF-25-01 --pour "20 ml 45%"',
    ],
)
def test_a_hold_stops_work_on_a_jar(command, held, line):
    command.ok(f"{CALENDULA} --when 2025-03-03")
    command.ok(f"{held} --when 2025-03-10")

    assert "on hold" in command.refused(f"{line} --when 2025-04-05")


@pytest.mark.parametrize("held", ["CAOF-25-01", "CAOF-25-01A"])
@pytest.mark.parametrize(
    "line",
    [
        'dilute CAOF-25-01A --to 400ml --pour "30 ml 45%"',
        'dilute CAOF-25-01A --pour "30 ml water"',
        "filter CAOF-25-01A 300ml --poured-off",
        "filter CAOF-25-01A 300ml",
        "bottle CAOF-25-01A 1x100ml",
        "dispense CAOF-25-01A 30ml",
        "recharge CAOF-25-01A --dried 50g",
    ],
)
def test_a_hold_stops_work_on_an_extract(pressed, held, line):
    pressed.ok(f"hold {held} --why smell --when 2025-04-10")

    assert "on hold" in pressed.refused(f"{line} --when 2025-05-01")


def test_a_hold_set_by_a_look_is_still_seen_on_what_was_pressed(pressed):
    pressed.ok("look CAOF-25-01 --sign mould --verdict hold --when 2025-04-10")

    assert pressed.asked("show CAOF-25-01A")["on_hold"] is True
    codes = {(one["code"], one["what"]) for one in pressed.asked("due --on 2025-05-01")}
    assert any(what == "safety" and code.startswith("CAOF-25-01") for code, what in codes)


def test_a_release_of_a_lot_says_which_jars_stay_on_hold(command):
    command.ok('buy "2 l 45%" --when 2025-03-01')
    command.ok(
        'charge "Melissa officinalis" --dried 50g --pour "250 ml LOT-25-01" --when 2025-03-03'
    )
    command.ok("recall LOT-25-01 --why cloudy --when 2025-03-10")
    answer = command.json("release LOT-25-01 --why cleared --when 2025-03-11")

    assert any("MEOF-25-01" in text for text in (*answer["said"], *answer["flags"]))


def test_a_blend_on_hold_says_so_wherever_it_is_listed(pressed):
    pressed.ok(f"{CALENDULA} --when 2025-03-05")
    pressed.ok("press CAOF-25-02 300ml --when 2025-04-05")
    parts = '--part "50 ml CAOF-25-01A" --part "50 ml CAOF-25-02A"'
    pressed.ok(f"blend {parts} --when 2025-05-01")
    pressed.ok("hold BLEND-25-01 --why smell --when 2025-05-02")

    (in_stock,) = [one for one in pressed.asked("stock") if one["code"] == "BLEND-25-01"]
    assert in_stock["on_hold"] is True
    assert pressed.asked("show BLEND-25-01")["on_hold"] is True


# Answers


def test_a_back_dated_shake_answers_with_its_own_day(command):
    command.ok(f"{CALENDULA} --when 2025-03-03")
    command.ok("shake CAOF-25-01 --when 2025-03-20")

    assert "10 Mar 2025" in command.ok("shake CAOF-25-01 --when 2025-03-10")


def test_a_page_that_is_only_tried_writes_no_file(pressed):
    (pressed.home / "page.txt").write_text(f"label CAOF-25-01A --to {pressed.home}/labels.pdf\n")
    pressed.ok("enter page.txt --dry-run")

    assert not (pressed.home / "labels.pdf").exists()


def test_giving_out_everything_is_asked_about(pressed):
    said = pressed.refused("dispense CAOF-25-01A --for C03 --when 2025-05-01")
    assert "370" in said

    pressed.ok("dispense CAOF-25-01A --for C03 --sure --when 2025-05-01")
    assert pressed.asked("show CAOF-25-01A")["volume_ml"] == 0


def test_giving_out_everything_is_asked_about_at_a_terminal(pressed):
    line = "dispense CAOF-25-01A --for C03 --when 2025-05-01"
    pressed.at_terminal(line, typed="n\n")
    assert pressed.asked("show CAOF-25-01A")["volume_ml"] == 370

    pressed.at_terminal(line, typed="y\n")
    assert pressed.asked("show CAOF-25-01A")["volume_ml"] == 0


def test_a_bottle_that_a_count_found_missing_is_on_the_list_of_a_recall(command):
    command.ok('buy "2 l 45%" --when 2025-03-01')
    command.ok(
        'charge "Melissa officinalis" --dried 50g --pour "250 ml LOT-25-01" --when 2025-03-03'
    )
    command.ok("press MEOF-25-01 180ml --when 2025-04-05")
    command.ok("bottle MEOF-25-01A 1x50ml --when 2025-04-05")
    command.ok("count MEOF-25-01A/1 0ml --when 2025-05-01")
    answer = command.json("recall LOT-25-01 --why cloudy --when 2025-05-02")

    assert any("MEOF-25-01A/1" in json.dumps(one) for one in answer["left"])


def test_after_a_second_steep_the_first_extract_keeps_its_strength(pressed):
    pressed.ok('steep-again CAOF-25-01 --pour "300 ml 60%" --when 2025-04-06')
    pressed.ok("press CAOF-25-01 250ml --when 2025-06-01")
    first = pressed.asked("show CAOF-25-01A")

    # 44.1: 500 ml of 45 % and 10 ml of water from the herb (10 %, common practice, no source)
    assert first["strength_pct_vol"] == pytest.approx(45.0 * 500 / 510, abs=0.2)
    assert first["herb_known"] == "weighed"
    second = pressed.asked("show CAOF-25-01B")
    assert second["strength_pct_vol"] > 50
    assert second["herb_known"] == "reckoned"


def test_a_blend_with_a_part_of_unknown_strength_can_be_shown(pressed):
    pressed.ok("found Melissa --volume 200ml --when 2025-04-01")
    pressed.ok("release MEOF-25-01 --why tasted --when 2025-04-02")
    pressed.ok("press MEOF-25-01 150ml --when 2025-04-05")
    parts = '--part "50 ml CAOF-25-01A" --part "50 ml MEOF-25-01A"'
    pressed.ok(f"blend {parts} --when 2025-05-01")
    blend = pressed.asked("show BLEND-25-01")

    assert blend["strength_pct_vol"] is None
    assert pressed.ok("show BLEND-25-01")


def test_what_is_not_known_of_a_found_jar_is_null(command):
    command.ok("found Melissa --volume 200ml --when 2025-04-01")
    found = command.asked("show MEOF-25-01")

    assert found["strength_pct_vol"] is None
    assert found["strength_simple_pct_vol"] is None


@pytest.mark.parametrize("how", ["hand, pressed through cloth", "percolation"])
def test_a_method_of_ones_own_is_not_learnt_as_another(command, how):
    for day in range(3, 6):
        command.ok(f"{CALENDULA} --when 2025-03-0{day}")
        command.ok(f"press CAOF-25-0{day - 2} 200ml --when 2025-04-05 --with", how)

    (usual,) = [one for one in command.asked("yields") if one["herb"].startswith("Calendula")]
    assert "screw" not in json.dumps(usual)
    assert not any(isinstance(value, dict) and value.get("own") for value in usual.values())


def test_of_two_extracts_given_one_letter_apart_only_the_second_goes_by_another(command, tmp_path):
    """The third keeps its letter: what its bottles say stays true."""
    command.ok(
        'charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --least 28d '
        "--when 2025-03-03"
    )
    (tmp_path / "loft").mkdir()
    loft = Command(tmp_path / "loft", writer="loft")
    shutil.copytree(command.book, loft.book)
    command.ok("draw CAOF-25-01 50ml --when 2025-03-12")
    command.ok("draw CAOF-25-01 40ml --when 2025-03-15")
    loft.ok("draw CAOF-25-01 30ml --when 2025-03-10")
    shutil.copy(loft.book / "events" / "loft.jsonl", command.book / "events")

    left = {end: command.asked(f"show CAOF-25-01{end}")["volume_ml"] for end in ("A", "Ab", "B")}
    assert left == {"A": 30, "Ab": 50, "B": 40}
    assert "relabel this one as Ab" in command.run("check").out
