"""What is due on which day, and in which order, worked by hand on calendars."""

from datetime import date, timedelta
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, books, jar_after, on
from tracker.core.facts.extracts import Counted, Discarded, Dispensed
from tracker.core.facts.fields import Pour, Waiting
from tracker.core.facts.jars import Joined, LookedAt, Moved, ToppedUp
from tracker.core.practice.practice import Practice
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.reckoning.lids import lid_in_doubt
from tracker.core.replay.replay import replay
from tracker.core.rules.reminders import CAN_WAIT, ORDER, due, every_line, next_shake
from tracker.core.values.times import Period, When
from tracker.outputs.words.due.due_lines import why_due

HOUSE = Practice()


def wants(one: OneJar, day: str, practice: Practice = HOUSE) -> list[str]:
    """What is due about one jar on a day."""
    return [line.what for line in due([one.now()], practice, date.fromisoformat(day))]


def reasons(one: OneJar, day: str, practice: Practice = HOUSE) -> set[str]:
    """Everything that is due about it, the less pressing reasons included."""
    return {one.what for one in every_line([one.now()], practice, date.fromisoformat(day))}


def kitchen_jar() -> OneJar:
    """Charged 3 March 2025, daily for 14 days, then weekly; 28 days at least."""
    one = OneJar.charged("2025-03-03", least="P28D", shake=parse_shake_plan("daily 14d, weekly"))
    one.shake(*(f"2025-03-{day:02d}" for day in range(4, 11)))
    return one


# Shaking


def test_a_missed_shake_stays_due_as_one_line_and_never_piles_up():
    one = kitchen_jar()
    for day in ("2025-03-11", "2025-03-12", "2025-03-13"):
        lines = due([one.now()], HOUSE, date.fromisoformat(day))
        assert [(line.what, line.since) for line in lines] == [("shake", date(2025, 3, 11))]
        assert why_due(lines[0], date.fromisoformat(day)) == "last shaken Mon"

    one.shake("2025-03-13")
    assert wants(one, "2025-03-13") == []


def test_the_weekly_phase_counts_from_the_last_shake():
    one = kitchen_jar()
    one.shake(*(f"2025-03-{day:02d}" for day in range(13, 18)))
    assert [wants(one, f"2025-03-{day}") for day in (18, 23, 24, 25, 26)] == [
        [], [], ["shake"], ["shake"], ["shake"],
    ]  # fmt: skip

    one.shake("2025-03-26")
    assert next_shake(one.now(), date(2025, 3, 26)) == date(2025, 4, 2)
    one.shake("2025-04-02")
    assert next_shake(one.now(), date(2025, 4, 2)) == date(2025, 4, 9)
    one.press("2025-04-05")
    assert "shake" not in reasons(one, "2025-04-09")


def test_a_plan_that_ends_asks_for_nothing_afterwards():
    """Daily for 14 days from 1 July: the last shake is due on the 15th, none on the 16th."""
    one = OneJar.charged("2025-07-01", least="P42D", shake=parse_shake_plan("daily 14d"))

    assert "shake" in reasons(one, "2025-07-15")
    assert "shake" not in reasons(one, "2025-07-16")
    assert next_shake(one.now(), date(2025, 7, 16)) is None


def test_weekly_until_ready_stops_on_the_day_it_is_ready():
    plan = parse_shake_plan("weekly until ready")
    one = OneJar.charged("2025-03-03", least="P28D", shake=plan)

    assert "shake" in reasons(one, "2025-03-30")
    assert "shake" not in reasons(one, "2025-03-31")


def test_no_shake_is_asked_on_the_day_of_the_charge():
    one = OneJar.charged("2025-03-03")

    assert wants(one, "2025-03-03") == []
    assert wants(one, "2025-03-04") == ["shake"]


def test_a_shake_told_late_for_an_earlier_day_does_not_hide_a_later_one():
    one = OneJar.charged("2025-03-03")
    one.shake("2025-03-10", "2025-03-05")

    assert next_shake(one.now(), date(2025, 3, 10)) == date(2025, 3, 11)


@USUAL
@given(st.integers(0, 40), st.integers(0, 3), st.sampled_from(["daily 14d, weekly", "every 3d"]))
def test_the_next_shake_is_a_whole_turn_after_the_last_one(day, missed, words):
    """For every day of six weeks: due when the interval of the phase in force is over."""
    plan = parse_shake_plan(words)
    one = OneJar.charged("2025-03-03", least="P3M", shake=plan)
    last = date(2025, 3, 3) + timedelta(days=day)
    if day:
        one.shake(on(last))
    today = last + timedelta(days=1 + missed)
    number = (today - date(2025, 3, 3)).days
    every = 3 if words == "every 3d" else 1 if number <= 14 else 7

    falls = next_shake(one.now(), today)
    assert (falls <= today) == ((today - last).days >= every)


def test_a_joined_jar_was_shaken_when_the_first_of_its_parts_last_was():
    """Joining shakes nothing, and what was shaken stays so."""
    one = kitchen_jar()  # last shaken on 10 March
    other = OneJar(one.pen)
    other.charge = one.pen.write(replace(one.charge.fact, code="CAOF-25-02"), "2025-03-03")
    other.shake("2025-03-12")
    joint = one.then(
        Joined(code="CAOF-25-03", parts=(one.charge.id, other.charge.id)), "2025-03-12"
    )
    jar = jar_after(one.entries, joint.id)

    assert jar.last_shaken == on("2025-03-10")
    assert next_shake(jar, date(2025, 3, 12)) == date(2025, 3, 11)


# Ready, longest, look


def test_ready_is_due_from_its_day_until_it_is_pressed():
    one = kitchen_jar()
    one.shake("2025-03-28")
    assert [wants(one, day) for day in ("2025-03-30", "2025-03-31", "2025-04-03")] == [
        [], ["ready"], ["ready"],
    ]  # fmt: skip
    (line,) = due([one.now()], HOUSE, date(2025, 4, 3))
    assert (line.since, why_due(line, date(2025, 4, 3))) == (
        date(2025, 3, 31), "ready to press since 31 Mar",
    )  # fmt: skip

    one.press("2025-04-03")
    assert wants(one, "2025-04-03") == []


def test_ready_is_said_beside_a_shake_or_a_look_and_not_beside_what_is_graver():
    one = kitchen_jar()
    one.shake("2025-03-24")
    (shake,) = due([one.now()], HOUSE, date(2025, 4, 3))
    assert (shake.what, shake.also and shake.also.what) == ("shake", "ready")
    assert why_due(shake, date(2025, 4, 3)) == "last shaken 24 Mar; ready to press since 31 Mar"

    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-04-03")
    (held,) = due([one.now()], HOUSE, date(2025, 4, 3))
    assert (held.what, held.also) == ("safety", None)


def test_past_the_longest_time_is_due_the_day_after_and_every_day_until_pressed():
    """Citrus peel, 1 July, at most 7 days: the 8th is its last day, 20 July is 12 past it."""
    one = OneJar.charged("2025-07-01", least="P5D", longest="P7D", shake=())

    assert wants(one, "2025-07-08") == ["ready"]
    assert wants(one, "2025-07-09") == ["past-longest"]
    line = due([one.now()], HOUSE, date(2025, 7, 20))[0]
    assert (line.what, line.since) == ("past-longest", date(2025, 7, 9))
    assert why_due(line, date(2025, 7, 20)) == "12 days over: press it"
    one.press("2025-07-20")
    assert wants(one, "2025-07-20") == []


def test_a_look_is_due_on_its_day_until_the_jar_is_touched():
    one = OneJar.charged("2025-06-21", shake=(), look_days=(1,), least="P10D")

    assert wants(one, "2025-06-21") == []
    assert wants(one, "2025-06-22") == ["look"]
    one.then(ToppedUp(about=one.jar, pours=one.charge.fact.pours), "2025-06-22")
    assert wants(one, "2025-06-22") == []


def test_a_look_nobody_took_lapses_after_a_week():
    one = OneJar.charged("2025-06-21", shake=(), look_days=(1,), least="P30D")

    assert wants(one, "2025-06-29") == ["look"]
    assert wants(one, "2025-06-30") == []


def test_a_look_before_its_day_does_not_count_for_it():
    one = OneJar.charged("2025-06-21", shake=(), look_days=(2, 7), least="P30D")
    one.then(LookedAt(about=one.jar), "2025-06-24")

    assert wants(one, "2025-06-27") == []
    assert wants(one, "2025-06-28") == ["look"]


# Safety


@pytest.mark.parametrize(
    ("liquid", "lid", "barrier", "bare"),
    [
        # Common practice, no source: spirit and vinegar eat a bare metal lid; oil does not.
        ("vinegar", "metal", None, True),
        ("vinegar", "Metal, two-part", None, True),
        ("ethanol", "metal", None, True),
        ("vinegar", "metal", "parchment", False),
        ("vinegar", "glass", None, False),
        ("vinegar", None, None, False),
        ("oil", "metal", None, False),
    ],
)
def test_a_bare_metal_lid_over_spirit_or_vinegar_is_a_matter_of_safety(liquid, lid, barrier, bare):
    pours = (Pour(liquid=liquid, volume_ml=500.0),)
    one = OneJar.charged(pours=pours, lid=lid, barrier=barrier, shake=())

    assert (lid_in_doubt(one.now()) == "bare") is bare
    assert wants(one, "2025-03-04") == (["safety"] if bare else [])


@pytest.mark.parametrize("change", ["look", "move"])
def test_a_new_lid_ends_the_caution(change):
    one = OneJar.charged(preparation="vinegar", lid="metal", shake=())
    kind = LookedAt if change == "look" else Moved
    one.then(kind(about=one.jar, lid="plastic"), "2025-03-14")

    assert wants(one, "2025-03-14") == []


def test_a_new_metal_lid_does_not_inherit_the_old_barrier():
    one = OneJar.charged(preparation="vinegar", lid="metal", barrier="parchment", shake=())
    one.then(Moved(about=one.jar, lid="metal"), "2025-03-14")

    assert lid_in_doubt(one.now()) == "bare"


@pytest.mark.parametrize(
    ("verdict", "signs", "is_due"),
    [
        ("hold", (), True),
        ("hold", ("flecks",), True),
        ("watch", ("mould",), True),
        ("watch", ("cloudy",), False),
        ("fine", ("mould",), False),
    ],
)
def test_a_hold_and_mould_are_said_until_a_later_look_says_otherwise(verdict, signs, is_due):
    one = OneJar.charged(shake=())
    one.then(LookedAt(about=one.jar, verdict=verdict, signs=signs), "2025-03-10")
    assert wants(one, "2025-03-11") == (["safety"] if is_due else [])

    one.then(LookedAt(about=one.jar, verdict="fine"), "2025-03-12")
    assert wants(one, "2025-03-12") == []


def test_mould_in_a_extract_is_said_under_the_extracts_code():
    one = OneJar.charged()
    one.press("2025-06-03")
    one.then(LookedAt(about=one.extract(), verdict="hold", signs=("mould",)), "2025-06-10")
    lines = due([one.now()], HOUSE, date(2025, 6, 11))

    assert [(line.code, line.what, line.since) for line in lines] == [
        ("CAOF-25-01A", "safety", date(2025, 6, 10))
    ]


def test_safety_comes_first_and_each_code_has_one_line():
    one = OneJar.charged("2025-03-03", longest="P7D", lid="metal", look_days=(15,))
    assert reasons(one, "2025-03-18") == {"safety", "past-longest", "shake", "look"}

    assert wants(one, "2025-03-18") == ["safety"]


# The shelf life and the count


def test_a_extract_is_expiring_from_thirty_days_before_and_expired_the_day_after():
    one = OneJar.charged()
    one.press("2025-06-03", keeps="P12M")
    assert [
        wants(one, day) for day in ("2026-05-03", "2026-05-04", "2026-06-03", "2026-06-04")
    ] == [[], ["expiring"], ["expiring"], ["expired"]]

    line = due([one.now()], HOUSE, date(2026, 6, 4))[0]
    assert (line.code, line.since) == ("CAOF-25-01A", date(2026, 6, 4))
    assert why_due(line, date(2026, 6, 4)) == "its date was 3 Jun, 370 ml left"


@pytest.mark.parametrize("days", [1, 30, 45, 60])
def test_expiring_begins_so_many_days_before_the_last_good_one(days):
    one = OneJar.charged()
    one.press("2025-06-03", keeps="P12M")
    practice = Practice(expiring_before=Period(days=days))
    opens = date(2026, 6, 3) - timedelta(days=days)

    assert wants(one, (opens - timedelta(days=1)).isoformat(), practice) == []
    assert wants(one, opens.isoformat(), practice) == ["expiring"]


@pytest.mark.parametrize(
    ("pressed", "months", "opens"),
    [
        # python-dateutil's relativedelta, subtracted: 31 March less a month is 28 February.
        ("2025-03-31", 1, "2026-02-28"),
        ("2025-06-03", 1, "2026-05-03"),
        ("2025-03-01", 1, "2026-02-01"),
        ("2025-05-31", 3, "2026-02-28"),
    ],
)
def test_a_month_before_the_last_good_day_is_a_calendar_month_before_it(pressed, months, opens):
    one = OneJar.charged("2024-01-01")
    one.press(pressed, keeps="P12M")
    practice = Practice(expiring_before=Period(months))
    first = date.fromisoformat(opens)

    assert wants(one, (first - timedelta(days=1)).isoformat(), practice) == []
    assert wants(one, opens, practice) == ["expiring"]


def test_an_empty_extract_wants_nothing():
    one = OneJar.charged()
    one.press("2025-06-03", ml=100.0)
    one.then(Dispensed(about=one.extract()), "2025-07-01")

    assert wants(one, "2027-01-01") == []


def test_a_count_falls_due_after_the_last_one_where_the_practice_asks_for_it():
    counting = Practice(count_every=Period(3))
    one = OneJar.charged()
    one.press("2025-06-03", keeps="P24M")
    assert wants(one, "2025-09-02", counting) == []
    assert wants(one, "2025-09-03", counting) == ["count"]

    one.then(Counted(about=one.extract(), volume_ml=360.0), "2025-09-05")
    assert wants(one, "2025-12-04", counting) == []
    assert wants(one, "2025-12-05", counting) == ["count"]
    assert wants(one, "2025-12-05") == []


def test_a_discarded_jar_wants_nothing():
    one = OneJar.charged(lid="metal", longest="P4M")
    one.then(Discarded(about=one.jar, why="mould"), "2025-04-01")

    assert wants(one, "2026-01-01") == []


def test_a_jar_charged_after_the_day_asked_about_is_not_there_yet():
    assert wants(OneJar.charged("2025-03-03", lid="metal"), "2025-03-02") == []


# The list as a whole


@USUAL
@given(books(), st.dates(date(2025, 2, 1), date(2027, 6, 1)))
def test_the_list_has_one_line_a_code_most_pressing_first_and_nothing_from_the_future(book, day):
    shelf = replay(book)
    lines = due(shelf.batches, HOUSE, day)
    ranks = [ORDER.index(line.what) for line in lines]

    assert ranks == sorted(ranks)
    assert len({line.code for line in lines}) == len(lines)
    assert all(line.since <= day for line in lines)
    assert all(why_due(line, day) for line in lines)


def test_what_has_no_date_is_due_since_no_day_to_come():
    """Asked about a day before the one on which it was written down."""
    lines = due(replay(jar_of_no_date().entries).batches, HOUSE, date(2025, 6, 1))

    assert [(line.what, line.since) for line in lines] == [("undated", date(2025, 6, 1))]


# Every kind of reminder


def pressed_jar() -> OneJar:
    one = OneJar.charged()
    one.press("2025-06-03", keeps="P12M")
    return one


def water_jar() -> OneJar:
    return OneJar.charged(pours=(Pour(liquid="water", volume_ml=500.0),), preparation="water")


def jar_of_no_date() -> OneJar:
    one = OneJar.charged()
    one.press(When(on("2025-06-03").start, "unknown"), keeps="P12M")
    return one


# Of each kind a jar that has it, and the day; `away` is about the days away, not the shelf.
EXAMPLES = {
    "safety": (lambda: OneJar.charged(lid="metal"), "2025-03-04"),
    "past-longest": (lambda: OneJar.charged(longest="P4M"), "2025-07-04"),
    "ready": (lambda: OneJar.charged(least="P28D"), "2025-03-31"),
    "shake": (OneJar.charged, "2025-03-04"),
    "look": (lambda: OneJar.charged(look_days=(7,)), "2025-03-10"),
    "expiring": (pressed_jar, "2026-05-10"),
    "expired": (pressed_jar, "2026-06-04"),
    "weak": (water_jar, "2025-03-03"),
    "undated": (jar_of_no_date, "2026-05-10"),
    "count": (pressed_jar, "2025-09-03"),
}


@pytest.mark.parametrize("what", [what for what in ORDER if what != "away"])
def test_every_kind_of_reminder_is_given(what):
    """A kind that has no example here, or whose example never has it, is no reminder."""
    life, day = EXAMPLES[what]

    assert what in reasons(life(), day, Practice(count_every=Period(3)))


def test_what_can_wait_is_what_the_book_can_say_was_put_off():
    assert set(get_args(Waiting)) == CAN_WAIT
