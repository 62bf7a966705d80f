"""Writes demo_events/: a book of an invented dispensary, the same bytes every time.

    python scripts/make_demo.py [FOLDER] [--through DAY] [--loft-only]

Three years of work pass in it, through the same facts and the same Bench as the verbs use;
what the drying loft does goes through the verbs themselves. A book made through an earlier
day is the beginning of the whole one.
"""

import argparse
import shutil
import tempfile
from collections.abc import Iterator
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from random import Random

import demo_counter as counter
import demo_mishaps as mishaps
import demo_work as work
from demo_house import CORIN, FIRST, HANNE, LAST, House, Plan, ago
from demo_loft import write_loft
from demo_recipes import (
    BALM,
    BALM_GLYCERITE,
    BURDOCK,
    CHAMOMILE_GLYCERITE,
    CONEFLOWER,
    DANDELION,
    ELDER_OXYMEL,
    ELECAMPANE,
    FENNEL,
    GINGER,
    GOLDENROD,
    HAWTHORN,
    HIP_VINEGAR,
    MARIGOLD,
    MARIGOLD_OIL,
    MOTHERWORT,
    NETTLE,
    OAT,
    PLANTAIN_OIL,
    RECIPES,
    ROSEMARY_VINEGAR,
    SAGE_HONEY,
    THYME,
    VALERIAN,
    VERVAIN,
    WET_ST_JOHNS_WORT_OIL,
)

from tracker.core.practice.practice import preparation

SEED = 20231120
ROOT = Path(__file__).resolve().parent.parent

PRACTICE = """\
# The rules of the invented dispensary of the demo book that differ from the built-in ones.

["honey or oxymel"]
least = "6 weeks"

[reminders]
digest = "07:30"
"count every" = "3 months"
"""

# The first jars: one a day.
OPENING = (
    CONEFLOWER, SAGE_HONEY, VALERIAN, MARIGOLD_OIL, THYME, ELDER_OXYMEL, HAWTHORN,
    BALM_GLYCERITE, MARIGOLD, DANDELION,
)  # fmt: skip

# Two jars of one recipe, charged on one day: the second is the one mistaken for the first.
TWINS = [Plan(MARIGOLD, ago(820), ago(715)), Plan(MARIGOLD, ago(820), ago(690))]
MOULDY = [Plan(WET_ST_JOHNS_WORT_OIL, ago(480)), Plan(WET_ST_JOHNS_WORT_OIL, ago(480))]
ON_HOLD = Plan(OAT, ago(24))

# What must be on the shelf on the last day, whatever chance did before it. Spans that must
# end on the very day are in days, because months differ in length when the book is shifted.
STANDING = [
    *TWINS,
    *MOULDY,
    ON_HOLD,
    Plan(GINGER, ago(700), ago(590), mishap="volume"),
    Plan(MOTHERWORT, ago(640), ago(530), mishap="date"),
    Plan(THYME, ago(520), ago(410), mishap="weight"),
    Plan(CONEFLOWER, ago(300), ago(190), mishap="behind"),
    # good for about three more weeks, for one more, for four more; and past
    Plan(FENNEL, ago(450), ago(345), keep_ml=160),
    Plan(SAGE_HONEY, ago(410), ago(357), keep_ml=140),
    Plan(HIP_VINEGAR, ago(385), ago(338), keep_ml=210),
    Plan(VERVAIN, ago(490), ago(379), keep_ml=85),
    # not found at the last count
    Plan(DANDELION, ago(310), ago(205), keep_ml=300, counted=False),
    Plan(CHAMOMILE_GLYCERITE, ago(230), ago(180), keep_ml=200, counted=False),
    # what the shelf is stocked from
    Plan(THYME, ago(250), ago(140)),
    Plan(GINGER, ago(220), ago(110)),
    Plan(MARIGOLD, ago(200), ago(95)),
    Plan(ELDER_OXYMEL, ago(190), ago(130)),
    Plan(BALM, ago(171), ago(66)),
    Plan(MARIGOLD_OIL, ago(136), ago(88)),
    Plan(OAT, ago(141), ago(39)),
    # ready for some time, and pressed when the stock is wanted
    Plan(HAWTHORN, ago(205)),
    Plan(ELECAMPANE, ago(131)),
    Plan(GOLDENROD, ago(118)),
    # ready on the last day
    Plan(ROSEMARY_VINEGAR, ago(42), least="42d"),
    Plan(BALM_GLYCERITE, ago(49), least="49d"),
    # on the herb too long; under bare metal
    Plan(MARIGOLD_OIL, ago(79)),
    Plan(BURDOCK, ago(40), lid="metal"),
    # on the herb
    Plan(VALERIAN, ago(74)),
    Plan(CONEFLOWER, ago(63)),
    Plan(MOTHERWORT, ago(51), lid="metal", barrier="parchment"),
    Plan(THYME, ago(33)),
    Plan(ELDER_OXYMEL, ago(27)),
    Plan(GINGER, ago(12)),
    Plan(VALERIAN, ago(8)),
    Plan(PLANTAIN_OIL, ago(7), shake="none"),
    Plan(NETTLE, ago(1)),
]


def chance_plans(house: House) -> Iterator[Plan]:
    """What the dispensary makes year by year, each recipe in its months, until summer."""
    chance = house.chance
    for place, recipe in enumerate(OPENING):
        day = FIRST + timedelta(days=1 + place)
        yield Plan(recipe, day, _pressing_day(house, Plan(recipe, day)))
    for year in range(FIRST.year, LAST.year + 1):
        for recipe in RECIPES:
            for month in recipe.months:
                day = date(year, month, chance.randint(2, 26))
                if FIRST < day < ago(135) and not house.may(0.45):
                    yield Plan(recipe, day, _pressing_day(house, Plan(recipe, day)))


def _pressing_day(house: House, plan: Plan) -> date | None:
    """Some days after it is ready; now and then much later; None if that is not yet."""
    kind = preparation([one.liquid for one in work.poured(plan, 100)], plan.recipe.form)
    wait = 150 if kind.startswith("spirit") and house.may(0.05) else 0
    wait += house.chance.randint(5, 20 if kind == "oil" else 40)
    day = house.practice.rules[kind].least.after(plan.charged) + timedelta(days=wait)
    return day if day < ago(14) else None


def schedule(house: House, plan: Plan) -> None:
    """Put a plan's charge and pressing on the agenda, with the mishap it may meet."""
    charges = {
        "date": mishaps.charge_dated_a_month_early,
        "weight": mishaps.charge_with_a_slip_of_weight,
    }
    presses = {"volume": mishaps.press_with_a_slip_of_volume}
    house.later(plan.charged, 9.3, partial(charges.get(plan.mishap, work.charge), house, plan))
    if plan.pressed is None:
        return
    if plan is TWINS[0]:
        step = partial(mishaps.press_under_the_wrong_code, house, plan, TWINS[1])
        house.later(plan.pressed, 14, step)
    elif plan.mishap in presses:
        house.later(plan.pressed, 14, partial(presses[plan.mishap], house, plan))
    elif house.may(0.12):
        # Pressed in the evening, written down before the next morning's round.
        when = work.whole_day(plan.pressed)
        morning = plan.pressed + timedelta(days=1)
        house.later(morning, 6.8, partial(work.press, house, plan, when=when))
    else:
        house.later(plan.pressed, 14, partial(work.press, house, plan))
    if plan.mishap == "behind":
        morning = plan.pressed + timedelta(days=1)
        house.later(morning, 8, partial(mishaps.shake_what_was_pressed, house, plan))


def schedule_mishaps(house: House) -> None:
    """Put what goes wrong on the agenda."""
    house.later(ago(760), 8, partial(mishaps.shake_the_wrong_jar, house))
    house.later(ago(790), 9, partial(mishaps.shake_one_too_many, house))
    wrong_look = partial(mishaps.look_at_the_wrong_jar, house, TWINS[1], TWINS[0])
    house.later(ago(770), 9, wrong_look)
    house.later(ago(330), 12, partial(mishaps.give_out_with_a_slip, house))
    house.later(ago(247), 12, partial(mishaps.discard_and_restore, house))
    house.later(ago(160), 16, partial(mishaps.strike_and_take_back, house))
    house.later(ago(470), 9, partial(mishaps.batch_goes_mouldy, house, MOULDY))
    house.later(ago(468), 9, partial(mishaps.batch_is_thrown_out, house, MOULDY))
    house.later(ago(980), 15, partial(mishaps.jar_is_found, house, date(2022, 6, 1)))
    house.later(ago(3), 9, partial(hold, house, ON_HOLD))


def hold(house: House, plan: Plan) -> None:
    """A smell that should not be there: the jar is held until it is clear what it is."""
    note = "smells of yeast; kept apart until we know"
    mishaps.judge(house, house.jar(plan.jar_id), ("smell", "cloudy"), "hold", note)


def schedule_days(house: House) -> None:
    """Put the daily, weekly and quarterly work on the agenda."""
    day = FIRST + timedelta(days=1)
    while day <= LAST:
        is_sunday, is_closed = day.weekday() == 6, _is_closed(day)
        who = CORIN if house.may(0.4) else HANNE
        skips = house.may(0.5 if is_sunday else 0.66 if is_closed else 0.04)
        if day < LAST and not skips:
            house.later(day, 7.4, partial(work.shake_round, house, who, day))
        if not is_sunday and not is_closed:
            for _ in range(_askings(house, day)):
                hour = house.chance.uniform(9.5, 17)
                house.later(day, hour, partial(counter.serve, house))
        if day.weekday() == 0:
            house.later(day, 9, partial(counter.clear, house, day))
        if house.may(0.05) and day < LAST:
            house.later(day, 16, partial(work.remark, house))
        day += timedelta(days=1)
    counts = [ago(52 + 91 * quarter) for quarter in range(11)]
    for day in counts:
        step = partial(counter.count_shelf, house, is_last=day == counts[0])
        house.later(day, 17.5, step)


def _askings(house: House, day: date) -> int:
    """How often something is asked for on a day; on the last the counter has just opened."""
    if day == LAST:
        return 1
    return house.chance.choices((0, 1, 2, 3, 4, 5), (6, 16, 24, 26, 16, 12))[0]


def _is_closed(day: date) -> bool:
    """A week at midsummer and the days between the years."""
    return (day.month == 8 and 3 <= day.day <= 10) or (day.month == 12 and day.day >= 24)


def write_house(book: Path, scratch: Path, through: date) -> None:
    """Let the years pass in the stillroom and at the counter, and write what is done there."""
    house = House(book, scratch, Random(SEED))
    for plan in [*chance_plans(house), *STANDING]:
        schedule(house, plan)
    schedule_mishaps(house)
    schedule_days(house)
    house.work_through(through)


def begin(book: Path) -> Path:
    """Make a book with the dispensary's rules and no events; returns its folder of events."""
    (book / "events").mkdir(parents=True)
    (book / "practice.toml").write_text(PRACTICE, encoding="utf-8", newline="\n")
    return book / "events"


def main() -> None:
    """Make the book in a scratch folder and put it where it belongs."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path, default=ROOT / "demo_events")
    parser.add_argument("--through", type=date.fromisoformat, default=LAST)
    parser.add_argument("--loft-only", action="store_true")
    said = parser.parse_args()
    folder: Path = said.folder
    # Each part of the dispensary has a book of its own until both are done.
    writes = {"loft": write_loft}
    if not said.loft_only:
        writes["house"] = write_house
    (folder / "events").mkdir(parents=True, exist_ok=True)
    (folder / "practice.toml").write_text(PRACTICE, encoding="utf-8", newline="\n")
    with tempfile.TemporaryDirectory() as scratch:
        for name, write in writes.items():
            room = Path(scratch) / name
            events = begin(room / "book")
            write(room / "book", room, said.through)
            for file in sorted(events.iterdir()):
                shutil.copyfile(file, folder / "events" / file.name)
    print(f"The demo book is in {folder}.")


if __name__ == "__main__":
    main()
