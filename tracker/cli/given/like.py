"""`--like`: an earlier charge or pressing as the options of its verb, for another one like it."""

import inspect
import re
from collections.abc import Callable, Mapping
from functools import wraps
from typing import Annotated, Any

import typer

from tracker.cli.asking import until_told
from tracker.cli.desk import Desk
from tracker.cli.screen import say
from tracker.core.facts.extracts import Pressed
from tracker.core.facts.fields import Pour
from tracker.core.facts.jars import Charged
from tracker.core.facts.kinds import AnyFact
from tracker.core.practice.shake_plan import plan_text
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.acted_on import any_of
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.values.errors import RefusedError
from tracker.core.values.text import shown
from tracker.core.values.times import parse_period

_PAID = re.compile(r"\s*@\s*[^\s@]+\s*$")
# Either of the two weighs the herb, and each of these is said in one way alone.
_WEIGHTS = ("fresh", "dried")

Fill = Callable[[Desk, str, Mapping[str, Any]], Mapping[str, Any]]


def takes_like(
    fill: Fill, what: str
) -> Callable[[Callable[..., Recorded]], Callable[..., Recorded]]:
    """Give a verb `--like CODE`: whatever is not given is as it was of that jar.

    Args:
        fill: the options of the verb, from the code and what was given.
        what: the help of the option.
    """

    def with_option(verb: Callable[..., Recorded]) -> Callable[..., Recorded]:
        kind = Annotated[str | None, typer.Option("--like", help=what)]
        own = inspect.signature(verb)
        option = inspect.Parameter(
            "like", inspect.Parameter.POSITIONAL_OR_KEYWORD, default=None, annotation=kind
        )

        @wraps(verb)
        def filled(desk: Desk, *, like: str | None = None, **given: object) -> Recorded:
            return verb(desk, **(given if like is None else fill(desk, like, given)))

        parameters = [*own.parameters.values(), option]
        filled.__signature__ = own.replace(parameters=parameters)  # type: ignore[attr-defined]  # typer reads it
        return filled

    return with_option


def charged_like(desk: Desk, code: str, given: Mapping[str, Any]) -> dict[str, Any]:
    """The options given to `charge`, and all others as a jar was charged.

    Raises:
        RefusedError: it was not charged, but found, split or joined.
    """
    jar = desk.jar(code, "charged like", any_of)
    charged = charge_of(desk, jar)
    if charged is None:
        raise RefusedError(
            jar.code,
            f"it was {jar.opened}, so there is no charge to repeat",
            do="name another jar.",
        )
    weighed = next((one for one in _WEIGHTS if given.get(one) is not None), charged.form)
    is_alike = given.get("herb") is None and weighed == charged.form
    words = charge_options(desk, charged, pours=not given.get("pours"), is_alike=is_alike)
    if given.get("herb") is not None:
        words |= dict.fromkeys(("common", "part"))
    if weighed != charged.form:
        del words[charged.form]
    return words | {name: value for name, value in given.items() if _is_said(value)}


def pressed_like(desk: Desk, code: str, given: Mapping[str, Any]) -> dict[str, Any]:
    """The options given to `press`, and how, marc and keeps as those of a jar's last pressing.

    Raises:
        RefusedError: it was not pressed.
    """
    thing = desk.find(code, any_of)
    pressed = None if thing.jar is None else _last(desk, thing.jar, Pressed)
    if not isinstance(pressed, Pressed):
        raise RefusedError(thing.code, "it was not pressed", do="name a jar that was.")
    words = {"how": pressed.how, "marc": pressed.marc, "keeps": pressed.keeps}
    return words | {name: value for name, value in given.items() if _is_said(value)}


_FILLS: Mapping[str, Fill] = {"charge": charged_like, "press": pressed_like}


def as_another(desk: Desk, verb: str, given: Mapping[str, Any]) -> dict[str, Any]:
    """What a verb is given with `--like`, with all that it takes from the other jar in its place.

    What was understood by the code is printed, and so is a lot that is not taken once more.
    """
    words = dict(given)
    like = str(words.pop("like"))
    found = until_told(desk, lambda: _FILLS[verb](desk, like, words))
    for remark in desk.remarks:
        say(shown(remark), err=True)
    desk.remarks.clear()
    return {**words, **found}


def _is_said(value: object) -> bool:
    return value not in (None, [], False)


def charge_of(desk: Desk, jar: Jar) -> Charged | None:
    """How a jar was charged, with what was corrected since; None of one that was found or split."""
    fact = _last(desk, jar, Charged)
    return fact if isinstance(fact, Charged) else None


def _last(desk: Desk, jar: Jar, kind: type[AnyFact]) -> object:
    entries = [
        one
        for one in desk.book.entries_of(jar.id)
        if isinstance(one.fact, kind) and one.jars[0] == jar.id
    ]
    for one in reversed(entries):
        try:
            return desk.book.standing(one).fact
        except RefusedError:  # it was struck
            continue
    return None


def charge_options(
    desk: Desk, charged: Charged, *, pours: bool = True, is_alike: bool = True
) -> dict[str, Any]:
    """A charge as the options of `charge`: without its code, day and note.

    A lot is named only where enough of it is left; where not, a remark says so.

    Args:
        desk: takes the remark.
        charged: the charge.
        pours: whether what was poured is wanted.
        is_alike: whether the herb is of the same kind: else neither its lot nor its water is.
    """
    lots = {one.id: one for one in desk.book.lots()}
    weight = charged.herb_written or (f"{charged.herb_g:g} g" if charged.herb_g else "unknown")
    words: dict[str, Any] = {
        "herb": charged.herb,
        "common": charged.common,
        "part": charged.part,
        charged.form: weight,
        "jar": _said_ml(charged.jar_ml),
        "lid": charged.lid,
        "barrier": charged.barrier,
        "place": charged.place,
        "belongs": charged.belongs_to,
        "least": str(parse_period(charged.least)),
        "longest": str(parse_period(charged.longest)) if charged.longest else "none",
        "shake": plan_text(charged.shake),
        "meant": charged.ratio_meant,
        "finished": charged.ratio_basis == "finished",
        "way": charged.way,
    }
    if pours:
        words["pours"] = [pour_typed(desk, one, lots) for one in charged.pours]
    if not is_alike:
        return words
    lot = lots.get(charged.herb_lot or "")
    if lot is not None and _is_enough(desk, lot, charged.herb_g or 0.0):
        words["lots"] = [lot.code]
    if charged.herb_water_pct_mass is not None:
        words["water"] = f"{charged.herb_water_pct_mass:g}%"
    return words


def _said_ml(volume_ml: float | None) -> str | None:
    return None if volume_ml is None else f"{volume_ml:g} ml"


def _is_enough(desk: Desk, lot: Lot, needed: float) -> bool:
    """Whether so much of a lot is left; a remark says where there is not."""
    left = desk.book.left_of(lot)
    if left >= needed and left > 0 and lot.hold is None:
        return True
    why = "is on hold" if lot.hold is not None else "does not have enough left"
    desk.remarks.append(f"{lot.code} {why}: {shown(lot.what)} is taken without a lot.")
    return False


def pour_typed(desk: Desk, pour: Pour, lots: Mapping[str, Lot]) -> str:
    """A pour as it may be typed once more; without its price, which is that of one bottle."""
    lot = lots.get(pour.lot or "")
    if lot is not None:
        much = f"{pour.volume_ml:g} ml"
        return f"{much} {lot.code}" if _is_enough(desk, lot, pour.volume_ml) else _plainly(pour)
    return _PAID.sub("", pour.written) if pour.written else _plainly(pour)


def _plainly(pour: Pour) -> str:
    strength = f" {pour.ethanol_pct_vol:g}%" if pour.ethanol_pct_vol else ""
    name = pour.name or {"ethanol": "", "extract": ""}.get(pour.liquid, pour.liquid)
    return f"{pour.volume_ml:g} ml{strength} {name}".strip()
