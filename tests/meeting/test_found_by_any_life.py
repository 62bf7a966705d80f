"""What the machine of any life found wrong, each as a short example."""

import pytest

from tests.command import Command
from tests.lives import on
from tracker.bench.record import record
from tracker.core.facts.jars import Joined
from tracker.core.rules.recorded import Draft
from tracker.core.values.errors import RefusedError

CALENDULA = (
    'charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%" --least 28d'
)


@pytest.fixture
def pressed(command: Command) -> Command:
    """One jar charged in March and pressed in April 2025: 370 ml in CAOF-25-01A."""
    command.ok(f"{CALENDULA} --when 2025-03-03")
    command.ok("press CAOF-25-01 370ml --when 2025-04-05")
    return command


def test_a_day_without_a_time_comes_after_what_was_written_before_it(pressed):
    """Counted 300 ml that day, after 30 ml had been given out at ten: 300 ml are left."""
    pressed.ok("dispense CAOF-25-01A 30ml --for C03 --when '2025-05-01 10:00'")
    pressed.ok("count CAOF-25-01A 300ml --when 2025-05-01")

    assert pressed.asked("show CAOF-25-01A")["volume_ml"] == 300


def test_what_was_drawn_off_in_the_morning_is_not_drawn_from_the_jar_it_was_joined_into(command):
    command.ok(f"{CALENDULA} --water 0% --count 2 --when 2025-03-03")
    command.ok("draw CAOF-25-01 100ml --when '2025-03-20 08:00'")
    command.ok("join CAOF-25-01 CAOF-25-02 --when 2025-03-20")

    assert command.asked("show CAOF-25-03")["volume_ml"] == pytest.approx(900)


def test_a_back_dated_draw_asks_where_a_jar_that_was_split_off_later_gave_more(command):
    command.ok(f"{CALENDULA} --when 2025-03-03")
    command.ok("split CAOF-25-01 --into 2 --when 2025-03-20")
    command.ok("press CAOF-25-02 240ml --when 2025-04-05")

    assert "pressed 240 ml" in command.refused("draw CAOF-25-01 300ml --when 2025-03-10")


def test_a_code_that_was_corrected_is_the_code_from_then_on(pressed):
    number = pressed.event("charged")
    answer = pressed.json(f"correct {number} --why slip --set code=CAOF-25-09")
    later = pressed.json("look CAOF-25-09 --when 2025-05-01")

    assert not any("relabel" in text for text in (*answer["flags"], *later["flags"]))
    assert any("CAOF-25-09" in text for text in later["said"])


def test_a_correction_of_a_correction_of_a_correction_reaches_the_event(pressed):
    for ml in (350, 340, 330, 320):
        kind = "pressed" if ml == 350 else "corrected"
        pressed.ok(f"correct {pressed.event(kind)} --why misread --set volume={ml}ml")

    assert pressed.asked("show CAOF-25-01A")["volume_ml"] == 320


def test_what_is_put_back_in_a_bottle_mixes_with_what_it_was_refilled_with(pressed):
    """Half of either: 45 % and 60 % come to 52.5 %, good for as long as the earlier of the two."""
    pressed.ok(f"correct {pressed.event('charged')} --why dry --set water=0%")
    pressed.ok(f"{CALENDULA.replace('45%', '60%')} --water 0% --when 2025-03-03")
    pressed.ok("press CAOF-25-02 370ml --when 2025-04-06")
    pressed.ok("bottle CAOF-25-01A 1x100ml --when 2025-04-07")
    pressed.ok("discard CAOF-25-01A/1 50ml --why spilt --when 2025-04-08")
    pressed.ok("dispense CAOF-25-01A/1 50ml --for C03 --when 2025-04-08")
    pressed.ok("refill CAOF-25-01A/1 --from CAOF-25-02A --volume 50ml --when 2025-04-09")
    pressed.ok("restore CAOF-25-01A/1 --when 2025-04-10")
    bottle = pressed.asked("show CAOF-25-01A/1")

    assert bottle["volume_ml"] == 100
    assert bottle["strength_simple_pct_vol"] == pytest.approx(52.5)


def test_a_bottle_that_was_refilled_since_has_no_room_for_what_was_thrown_out(pressed):
    pressed.ok("bottle CAOF-25-01A 1x100ml --when 2025-04-07")
    pressed.ok("discard CAOF-25-01A/1 --why spilt --when 2025-04-08")
    pressed.ok("refill CAOF-25-01A/1 --from CAOF-25-01A --volume 100ml --when 2025-04-09")

    assert "full" in pressed.refused("restore CAOF-25-01A/1 --when 2025-04-10")


def test_a_joined_jar_does_not_take_the_code_of_one_of_its_parts(command):
    command.ok(f"{CALENDULA} --count 2 --when 2025-03-03")
    bench = command.bench()
    fact = Joined(code="CAOF-25-01", parts=tuple(one.id for one in bench.batches()))

    with pytest.raises(RefusedError, match="taken"):
        record(bench, [Draft("joined-0001", fact.code, on("2025-03-20"), fact)])


def test_a_shake_before_the_hour_of_a_split_is_one_of_the_jar_that_was_split_off(command):
    command.ok(f"{CALENDULA} --count 2 --when 2025-03-03")
    command.ok("split CAOF-25-01 --into 2 --when '2025-03-20 14:00'")
    answer = command.json("shake CAOF-25-02 CAOF-25-03 --when '2025-03-20 13:00'")

    assert answer["flags"] == []
    assert command.bench().unplaced() == []


def test_a_strike_that_brings_back_a_code_given_again_shows_the_later_one_under_another(command):
    """The charge that was written down first has the code; the answer knows it."""
    command.ok(f"{CALENDULA} --code ROSE --when 2025-03-03")
    command.ok(f"{CALENDULA} --code LILY --when 2025-03-03")
    first, second = (command.event("charged", place) for place in (0, 1))
    command.ok(f"strike {second} --why slip --sure")
    command.ok(f"correct {first} --why slip --set code=LILY")
    command.ok(f"strike {command.event('struck')} --why back --sure")
    codes = {one.id: one.code for one in command.bench().batches()}

    assert sorted(codes.values()) == ["LILY", "LILYb"]
    assert "LILYb" in command.ok("look LILYb --verdict fine --when 2025-03-20")


def test_herb_that_was_thrown_out_is_not_corrected_to_a_volume(command):
    command.ok("gather Melissa --fresh 500g --when 2025-03-03")
    command.ok("discard LOT-25-01 100g --why spilt --when 2025-03-04")
    line = f"correct {command.event('discarded')} --why misread --set volume=20ml"
    said = command.refused(line, code=2)

    assert "it has: weight, why" in said
