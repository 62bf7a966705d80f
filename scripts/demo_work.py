"""The ordinary work at the jars of the demo book's dispensary, one function a verb."""

from datetime import UTC, date, timedelta
from functools import partial

from demo_house import CORIN, HANNE, LAST, House, Plan

from tracker.core.facts.amendments import Noted
from tracker.core.facts.extracts import Bottled, BottleRun, Filtered, Pressed
from tracker.core.facts.fields import About, Pour, Sign, Verdict
from tracker.core.facts.jars import Charged, LookedAt, Moved, Shaken, ToppedUp
from tracker.core.practice.practice import preparation
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.reckoning import amounts
from tracker.core.rules.reminders import next_shake
from tracker.core.shelf.jar import Jar
from tracker.core.values.times import When, midnight, parse_period
from tracker.pours.reading import pour
from tracker.quantities import bottles, grams, millilitres

# What the marc holds back in this house, ml per gram of herb as charged: within the bands
# `tracker.core.reckoning.amounts` calls usual for dried herb; a fresh one brings water of its own.
_HELD = {
    ("dried", "hand"): (1.08, 1.75),
    ("dried", "screw press"): (0.73, 0.97),
    ("fresh", "hand"): (0.62, 0.84),
    ("fresh", "screw press"): (0.48, 0.66),
}
_REMARKS = (
    "colour of strong tea now",
    "smells of hay and honey",
    "label had come off, written anew",
    "colour of old straw",
    "settles to a third of the jar",
    "photographed for the wall",
    "smells sharp and green",
)


def whole_day(day: date) -> When:
    """A day of which no hour is known."""
    return When(midnight(day, UTC), "day")


def poured(plan: Plan, herb_g: float) -> tuple[Pour, ...]:
    """The pours for that much herb, measured to 10 ml."""
    whole_ml = herb_g * plan.recipe.ratio
    return tuple(
        pour(f"{10 * round(whole_ml * share / 10)} ml {what}")
        for share, what in plan.recipe.menstruum
    )


def charge(house: House, plan: Plan, *, when: When | None = None, slip_g: float = 0.0) -> None:
    """Charge a plan's jar and put its first days on the agenda.

    Args:
        house: the dispensary.
        plan: what is made; it learns its jar.
        when: the date written down, where it is not now.
        slip_g: how far the weight written down is from the true one.
    """
    recipe = plan.recipe
    herb_g = house.near(recipe.grams, 0.12, 5)
    weight = grams(f"{herb_g + slip_g:g} g")
    pours = poured(plan, herb_g)
    kind = preparation([one.liquid for one in pours], recipe.form)
    rules = house.practice.rules[kind]
    fact = Charged(
        code=house.next_code(recipe.herb, (when.start if when else house.now).year),
        herb=recipe.herb,
        common=recipe.common,
        part=recipe.part,
        form=recipe.form,
        herb_g=weight.value,
        herb_written=weight.written,
        herb_water_pct_mass=recipe.water_pct,
        pours=pours,
        preparation=kind,
        lots=(f"herb {house.chance.randint(101, 899)}",),
        jar_ml=millilitres(recipe.jar).value,
        lid=plan.lid,
        barrier=plan.barrier,
        place="window shelf" if kind == "oil" else "day shelf",
        least=(parse_period(plan.least) if plan.least else rules.least).iso,
        longest=rules.longest.iso if rules.longest else None,
        shake=rules.shake if plan.shake is None else parse_shake_plan(plan.shake),
        look_days=rules.look_days,
        ratio_meant=f"1:{recipe.ratio:g}",
    )
    plan.jar_id = house.write(HANNE, fact.code, fact, when)
    house.plans[plan.jar_id] = plan
    _first_days(house, plan)


def _first_days(house: House, plan: Plan) -> None:
    look_days = set(house.jar(plan.jar_id).look_days)
    if house.may(0.55) and plan.recipe.part not in ("root", "fruit", "berry", "rhizome"):
        house.later(plan.charged + timedelta(days=1), 8.6, partial(_herb_has_drunk, house, plan))
        look_days.discard(1)
    for day in sorted(look_days | {16, 38, 65}):
        look_day = plan.charged + timedelta(days=day)
        if look_day < LAST:
            house.later(look_day, 8.6, partial(look, house, CORIN, plan.jar_id))
    house.later(plan.charged + timedelta(days=15), 10, partial(_put_away, house, plan))


def macerating(house: House, jar_id: str) -> Jar | None:
    """The jar, while its herb is in and it is not on hold."""
    jar = house.jar(jar_id)
    return jar if jar.is_macerating and not jar.on_hold else None


def look(
    house: House,
    who: str,
    jar_id: str,
    signs: tuple[Sign, ...] = (),
    verdict: Verdict = "fine",
    note: str | None = None,
    again_on: date | None = None,
) -> str | None:
    """Look at a jar with herb in it; returns the event's id."""
    jar = macerating(house, jar_id)
    if jar is None:
        return None
    if not note and house.may(0.12):
        note = house.chance.choice(_REMARKS)
    fact = LookedAt(
        about=About(jar=jar_id), signs=signs, verdict=verdict, note=note, again_on=again_on
    )
    return house.write(who, jar.code, fact)


def _herb_has_drunk(house: House, plan: Plan) -> None:
    """On the first days the herb stands above the liquid, and is covered again."""
    jar = house.jar(plan.jar_id)
    if jar.extracts or jar.on_hold:
        return
    tomorrow = plan.charged + timedelta(days=2)
    look(house, CORIN, jar.id, ("level",), "watch", "herb stands above the liquid", tomorrow)
    share = house.chance.choice((0.04, 0.06, 0.08))
    more = tuple(
        pour(f"{10 * max(round(one.volume_ml * share / 10), 1)} ml {what}")
        for one, (_, what) in zip(jar.pours, plan.recipe.menstruum, strict=True)
    )
    house.write(HANNE, jar.code, ToppedUp(about=About(jar=jar.id), pours=more))
    house.later(tomorrow, 8.6, partial(look, house, CORIN, jar.id))


def _put_away(house: House, plan: Plan) -> None:
    jar = macerating(house, plan.jar_id)
    if jar is not None and jar.preparation != "oil":
        place = f"cupboard, shelf {house.chance.randint(1, 4)}"
        house.write(HANNE, jar.code, Moved(about=About(jar=jar.id), place=place))


def remark(house: House) -> None:
    """Write a remark about some jar."""
    jars = [jar for jar in house.jars() if jar.is_macerating]
    if jars:
        jar = house.chance.choice(jars)
        note = house.chance.choice(_REMARKS)
        house.write(HANNE, jar.code, Noted(about=About(jar=jar.id), note=note))


def shake_round(house: House, who: str, day: date) -> None:
    """Shake every jar whose turn it is; now and then one is passed over."""
    turn = [
        jar
        for jar in house.jars()
        if (falls := next_shake(jar, day)) and falls <= day and macerating(house, jar.id)
    ]
    shaken = [jar for jar in turn if not house.may(0.04)]
    if shaken:
        subject = " ".join(jar.code for jar in shaken)
        house.write(who, subject, Shaken(jars=tuple(jar.id for jar in shaken)))


def pressing(house: House, jar: Jar, plan: Plan, volume: str) -> Pressed:
    """The fact of a pressing with that yield."""
    amount = millilitres(volume)
    how = plan.recipe.how
    return Pressed(
        about=About(jar=jar.id),
        letter="A",
        volume_ml=amount.value,
        written=amount.written,
        known=amount.known,
        how=how,
        marc="composted",
        keeps=house.practice.rules[jar.preparation].keeps.iso,
    )


def yield_ml(house: House, jar: Jar, plan: Plan) -> int:
    """What comes out: the menstruum and the water of fresh herb, less what the marc holds."""
    held = house.chance.uniform(*_HELD[plan.recipe.form, plan.recipe.how])
    in_ml = amounts.menstruum_ml(jar)
    return 5 * round((in_ml - held * (jar.herb_g or 0.0)) / 5)


def press(house: House, plan: Plan, *, when: When | None = None) -> None:
    """Press a plan's jar and put the filter on the agenda."""
    jar = macerating(house, plan.jar_id)
    if jar is None:
        return
    fact = pressing(house, jar, plan, f"{yield_ml(house, jar, plan)} ml")
    house.write(HANNE, jar.code, fact, when)
    after_pressing(house, plan)


def after_pressing(house: House, plan: Plan) -> None:
    """Put the filter on the agenda."""
    days = house.chance.randint(1, 2)
    house.later(house.now.date() + timedelta(days=days), 10.5, partial(filter_, house, plan))


def filter_(house: House, plan: Plan) -> None:
    """Filter a plan's extract; then it is bottled and put away."""
    jar, extract = house.extract(plan)
    thick = jar.preparation in ("oil", "honey or oxymel", "glycerite")
    amount = millilitres(f"{int(extract.volume_ml * house.chance.uniform(0.958, 0.992))} ml")
    fact = Filtered(
        about=About(jar=jar.id, extract=extract.id),
        volume_ml=amount.value,
        written=amount.written,
        known=amount.known,
        through="cloth" if thick else "paper",
    )
    code = jar.extract_code(extract)
    house.write(HANNE, code, fact)
    share = 0.97 if thick else house.chance.choice((0.35, 0.5, 0.6))
    tomorrow = house.now.date() + timedelta(days=1)
    house.later(tomorrow, 11, partial(bottle, house, plan, share))


def bottle(house: House, plan: Plan, share: float) -> None:
    """Fill bottles from about this share of a plan's extract, and put both on the shelf."""
    jar, extract = house.extract(plan)
    about, code = About(jar=jar.id, extract=extract.id), jar.extract_code(extract)
    to_fill_ml = extract.volume_ml * share
    hundreds = int(to_fill_ml // 100)
    fifties = int((to_fill_ml - 100 * hundreds) // 50)
    runs: list[BottleRun] = []
    if hundreds:
        runs.append(bottles(f"{hundreds}x100ml", 1))
    if fifties:
        runs.append(bottles(f"{fifties}x50ml", hundreds + 1))
    if runs:
        fact = Bottled(about=about, bottles=tuple(runs))
        house.write(HANNE, code, fact)
    place = f"stock shelf {house.chance.randint(1, 5)}"
    house.write(HANNE, code, Moved(about=about, place=place))
