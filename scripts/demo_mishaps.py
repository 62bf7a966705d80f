"""What goes wrong in the demo book's dispensary, and how the book answers it."""

from datetime import UTC, date, datetime, timedelta

from demo_counter import count, give_out, in_stock
from demo_house import CORIN, HANNE, House, Plan
from demo_recipes import CONEFLOWER
from demo_work import after_pressing, charge, look, pressing, whole_day, yield_ml

from tracker.core.facts.amendments import Corrected, Noted, Struck
from tracker.core.facts.extracts import Discarded, Restored
from tracker.core.facts.fields import About, Pour, Sign, Verdict
from tracker.core.facts.jars import Charged, LookedAt, Moved, Shaken
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import When


def _correct(
    house: House,
    event: str,
    jars: tuple[str, ...],
    code: str,
    values: dict[str, object],
    why: str,
) -> None:
    house.pass_minutes(8, 40)
    house.write(HANNE, code, Corrected(event=event, jars=jars, set=values, why=why))


def _strike(house: House, event: str, jars: tuple[str, ...], subject: str, why: str) -> str:
    house.pass_minutes(3, 15)
    return house.write(HANNE, subject, Struck(event=event, jars=jars, why=why))


def charge_dated_a_month_early(house: House, plan: Plan) -> None:
    """The date on the charge is last month's; corrected."""
    right = whole_day(plan.charged)
    charge(house, plan, when=whole_day(plan.charged - timedelta(days=31)))
    jar = house.jar(plan.jar_id)
    _correct(
        house,
        jar.id,
        (jar.id,),
        jar.code,
        {"time": right.start.isoformat(), "precision": right.precision},
        "wrote last month's date",
    )


def charge_with_a_slip_of_weight(house: House, plan: Plan) -> None:
    """The weight was written down with the bowl; corrected."""
    charge(house, plan, slip_g=85)
    jar = house.jar(plan.jar_id)
    right_g = (jar.herb_g or 0.0) - 85
    _correct(
        house,
        jar.id,
        (jar.id,),
        jar.code,
        {"herb_g": right_g, "herb_written": f"{right_g:g} g"},
        "weighed with the bowl, which is 85 g",
    )


def press_with_a_slip_of_volume(house: House, plan: Plan) -> None:
    """Two digits of the volume change places; corrected before the filter."""
    jar = house.jar(plan.jar_id)
    right_ml = yield_ml(house, jar, plan)
    digits = str(right_ml)
    wrong = digits[:-3] + digits[-2] + digits[-3] + digits[-1]
    event = house.write(HANNE, jar.code, pressing(house, jar, plan, f"{wrong} ml"))
    _correct(
        house,
        event,
        (jar.id,),
        jar.code,
        {"volume_ml": float(right_ml), "written": f"{right_ml} ml"},
        "two digits changed places; read off the measure again",
    )
    after_pressing(house, plan)


def press_under_the_wrong_code(house: House, plan: Plan, twin: Plan) -> None:
    """The pressing is written down under the jar beside it, struck, and written again."""
    other, jar = house.jar(twin.jar_id), house.jar(plan.jar_id)
    volume = f"{min(yield_ml(house, jar, plan), yield_ml(house, other, twin))} ml"
    event = house.write(HANNE, other.code, pressing(house, other, twin, volume))
    _strike(house, event, (other.id,), other.code, f"wrong jar: it was {jar.code}")
    house.write(HANNE, jar.code, pressing(house, jar, plan, volume))
    after_pressing(house, plan)


def shake_the_wrong_jar(house: House) -> None:
    """A shake is written down under the wrong code, struck, and written again."""
    wrong, right = [jar for jar in house.jars() if jar.is_macerating][:2]
    event = house.write(CORIN, wrong.code, Shaken(jars=(wrong.id,)))
    _strike(house, event, (wrong.id,), wrong.code, f"not this jar but {right.code}")
    house.write(CORIN, right.code, Shaken(jars=(right.id,)))


def shake_what_was_pressed(house: House, plan: Plan) -> None:
    """The one intended flag: the counter did not have the stillroom's file yet."""
    jar = house.jar(plan.jar_id)
    note = "my copy of the book was a day behind"
    house.write_apart(CORIN, jar.code, Shaken(jars=(jar.id,), note=note))


def shake_one_too_many(house: House) -> None:
    """A round names a jar that stood elsewhere; its subject and jars are corrected."""
    jars = [jar for jar in house.jars() if jar.is_macerating][:3]
    event = house.write(
        HANNE, " ".join(jar.code for jar in jars), Shaken(jars=tuple(jar.id for jar in jars))
    )
    values: dict[str, object] = {
        "subject": " ".join(jar.code for jar in jars[:2]),
        "jars": [jar.id for jar in jars[:2]],
    }
    why = f"{jars[2].code} stood in the other room and was not shaken"
    code = " ".join(jar.code for jar in jars)
    _correct(house, event, tuple(jar.id for jar in jars), code, values, why)


def look_at_the_wrong_jar(house: House, plan: Plan, twin: Plan) -> None:
    """A look is written down under the twin's code; its subject is corrected."""
    event = look(house, CORIN, twin.jar_id, ("flecks",), "watch", "leaf dust on the glass")
    assert event is not None
    about: dict[str, object] = {"jar": plan.jar_id, "extract": None, "bottle": None}
    _correct(
        house,
        event,
        (twin.jar_id, plan.jar_id),
        house.jar(twin.jar_id).code,
        {"subject": house.jar(plan.jar_id).code, "about": about},
        "wrong jar",
    )


def give_out_with_a_slip(house: House) -> None:
    """The volume given out is written down wrong; corrected."""
    jar, extract = next(one for one in in_stock(house) if one[1].volume_ml > 250)
    event = give_out(house, jar, extract, None, 100)
    _correct(
        house,
        event,
        (jar.id,),
        jar.extract_code(extract),
        {"volume_ml": 50.0, "written": "50 ml"},
        "it was the small measure",
    )


def discard_and_restore(house: House) -> None:
    """A bottle is thought broken, and is found whole."""
    jar, extract, bottle = next(
        (jar, extract, bottle)
        for jar, extract in in_stock(house)
        for bottle in extract.bottles
        if bottle.volume_ml >= bottle.size_ml - DROP_ML
    )
    about = About(jar=jar.id, extract=extract.id, bottle=bottle.number)
    code = f"{jar.extract_code(extract)}/{bottle.number}"
    event = house.write(CORIN, code, Discarded(about=about, why="broken in the crate"))
    house.pass_minutes(60, 120)
    why = "it was another crate; this one is whole"
    house.write(CORIN, code, Restored(about=about, discard=event, why=why))


def strike_and_take_back(house: House) -> None:
    """A count is struck, and the strike is struck: the count was right."""
    jar, extract = next(one for one in in_stock(house) if one[1].volume_ml > 100)
    thing = Thing(jar.extract_code(extract), jar, extract)
    event = count(house, CORIN, thing, extract.volume_ml)
    strike = _strike(house, event, (jar.id,), thing.code, "thought the carboy was not drained")
    _strike(house, strike, (jar.id,), thing.code, "it was drained; the count stands")


def judge(house: House, jar: Jar, signs: tuple[Sign, ...], verdict: Verdict, note: str) -> None:
    """Look at a jar and say what is to become of it."""
    fact = LookedAt(about=About(jar=jar.id), signs=signs, verdict=verdict, note=note)
    house.write(HANNE, jar.code, fact)


def batch_goes_mouldy(house: House, plans: list[Plan]) -> None:
    """Mould on both jars of one lot: they are held."""
    for plan in plans:
        note = "grey fur where the herb stood above the oil"
        judge(house, house.jar(plan.jar_id), ("mould", "smell"), "hold", note)


def batch_is_thrown_out(house: House, plans: list[Plan]) -> None:
    """The batch is discarded, all of it."""
    for plan in plans:
        jar = house.jar(plan.jar_id)
        why = "mould; the whole batch thrown out, jars boiled"
        house.write(HANNE, jar.code, Discarded(about=About(jar=jar.id), why=why))


def jar_is_found(house: House, season: date) -> None:
    """An old jar turns up; only the season of its charge is written on it."""
    when = When(datetime(season.year, season.month, season.day, tzinfo=UTC), "season")
    fact = Charged(
        note="found behind the carboys; the label has the herb and the season, no weight",
        code=house.next_code(CONEFLOWER.herb, season.year),
        herb=CONEFLOWER.herb,
        common=CONEFLOWER.common,
        part=CONEFLOWER.part,
        form="dried",
        herb_known="unknown",
        pours=(
            Pour(
                liquid="ethanol",
                volume_ml=900,
                ethanol_pct_vol=45,
                written="about 900 ml 45%",
                known="by eye",
            ),
        ),
        preparation="spirit on dried herb",
        jar_ml=1500,
        lid="glass",
        place="cupboard, top",
        least="P3M",
    )
    plan = Plan(CONEFLOWER, season)
    plan.jar_id = house.write(HANNE, fact.code, fact, when)
    house.plans[plan.jar_id] = plan
    about = About(jar=plan.jar_id)
    house.write(HANNE, fact.code, Noted(about=about, note="keep for teaching; not for stock"))
    house.write(HANNE, fact.code, Moved(about=about, place="teaching shelf"))
