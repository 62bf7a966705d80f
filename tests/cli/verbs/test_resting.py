"""`away` and `later`: a fortnight without reminders, and one reminder put off."""

import pytest

from tests.command import Command
from tracker.core.rules.morning import Told, after_telling, lines_to_say
from tracker.outputs.words.due.due_lines import why_due

HERB = '--dried 50g --pour "250 ml 45%"'
# Invented, Europe/Berlin 2025; the answers are worked by hand.
STORY = (
    f'charge "citrus" --part peel {HERB} --least 5d --longest 7d --shake none --code A1 '
    "--when 2025-07-01",
    f'charge "bitterleaf" {HERB} --least 28d --shake none --code B1 --when 2025-06-12',
    f'charge "cowherb" {HERB} --least 42d --shake "daily 14d" --code C1 --when 2025-07-01',
)
AWAY = "away 2025-07-05 2025-07-19 --when 2025-07-03"


@pytest.fixture
def three(command) -> Command:
    command.practice('zone = "Europe/Berlin"\n')
    for line in STORY:
        command.ok(line)
    return command


def said(command: Command, day: str, told: Told | None = None) -> dict[str, str]:
    """What a digest says on a day, code by code."""
    bench = command.bench(f"{day} 08:00")
    lines = lines_to_say(
        bench.batches(), bench.practice, bench.today(), told or Told(), stays=bench.stays()
    )
    return {line.code: f"{line.what}: {why_due(line, bench.today())}" for line in lines}


def test_away_says_at_once_what_will_happen_meanwhile(command):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f'charge "citrus" {HERB} --least 3650d --longest 3660d --code A1')
    out = command.ok("away 2020-01-01 2060-01-01")

    assert "Away 1 Jan 2020 through 1 Jan 2060: no reminders." in out
    assert "citrus, dried, A1: becomes ready" in out
    assert "and passes its longest time" in out


def test_stays_that_touch_are_one_and_a_struck_one_is_none(three):
    three.ok("away 2025-07-05 2025-07-10")
    three.ok("away 2025-07-11 2025-07-19")
    joined = three.bench().stays()
    three.ok(f'strike {three.number("away")} --why "stayed home"')
    (left,) = three.bench().stays()

    assert [(str(one.first), str(one.last)) for one in joined] == [("2025-07-05", "2025-07-19")]
    assert (str(left.first), str(left.last)) == ("2025-07-05", "2025-07-10")
    assert three.asked("check")["unplaced"] == []


def test_a_stay_can_be_corrected(three):
    three.ok("away 2025-07-05 2025-07-10")
    three.ok(f'correct {three.event("away")} --set last=2025-07-19 --why "longer"')
    (stay,) = three.bench().stays()

    assert str(stay.last) == "2025-07-19"


def test_the_warning_survives_a_machine_that_was_never_told_anything(three):
    three.ok(AWAY)

    assert said(three, "2025-07-04")["A1"].startswith("away: becomes ready 6 Jul")
    assert said(three, "2025-07-12") == {}
    assert said(three, "2025-07-20")["B1"].startswith("ready: ready to press since 10 Jul")


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("away 2025-07-19 2025-07-05", "5 Jul 2025 comes before 19 Jul 2025"),
        ("away 2025-07 2025-08-01", "is not one day"),
        ("later C1 2025-07-10", "has come already"),
    ],
)
def test_days_that_mean_nothing_are_refused(three, line, why):
    assert why in three.refused(line, code=2)


def test_a_reminder_put_off_is_silent_until_its_day_and_then_said_again_once(command):
    """B1 was ready on 2 Jan 2026 and said so; put off, it is said anew on the day."""
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f'charge "bitterleaf" {HERB} --least 1d --shake none --code B1 --when 2026-01-01')
    out = command.ok("later B1 2099-03-05")
    told, says = Told(), {}
    bench = command.bench("2099-03-01 08:00")
    for day in (1, 4, 5, 6):
        today = bench.today().replace(day=day)
        lines = lines_to_say(bench.batches(), bench.practice, today, told)
        told = after_telling(told, lines, today)
        says[day] = [(line.code, line.what) for line in lines]

    assert "reminder put off until 5 Mar 2099: ready" in out
    assert says == {1: [], 4: [], 5: [("B1", "ready")], 6: []}


def test_only_the_one_reminder_is_put_off(three):
    three.ok("later A1 2099-01-01 --what ready")

    assert "past-longest" in {
        one["what"] for one in three.asked("due --on 2025-07-20") if one["code"] == "A1"
    }


def test_a_reminder_that_is_put_off_is_called_as_due_calls_it(three):
    said = three.ok("later A1 2099-01-01 --what past-longest")

    assert said.endswith("reminder put off until 1 Jan 2099: past its longest.\n")
    assert "past its longest" in three.ok("history A1")
    assert "past-longest" not in three.ok("show A1") + three.run("correct A1").err


def test_what_concerns_safety_cannot_be_put_off(three):
    three.ok("press B1 180ml --when 2025-07-21")
    three.ok("look A1 --sign mould --verdict hold")
    three.ok("later A1 2099-01-01")  # its longest time can wait, the hold cannot

    assert {one["code"]: one["what"] for one in three.asked("due")}["A1"] == "safety"
    assert "a reminder about safety cannot be put off" in three.refused("later A1 3d --what shake")


def test_nothing_to_put_off_is_refused(three):
    three.ok("press B1 180ml --when 2025-07-21")

    assert "there is no reminder to put off" in three.refused("later B1 3d")
