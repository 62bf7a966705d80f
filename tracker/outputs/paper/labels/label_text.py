"""What a label says about a jar, an extract or a bottle, as data without a layout."""

from datetime import date
from typing import Literal, NamedTuple

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import amounts
from tracker.core.reckoning.cautions import cautions
from tracker.core.rules.reminders import due, next_shake
from tracker.core.shelf.contents import Poured
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer
from tracker.outputs.paper.labels.label_cautions import short, shortest
from tracker.outputs.paper.short_days import day_text, iso_day, when_text
from tracker.outputs.view.answers import ratio_text, strength_text, summary
from tracker.outputs.words.due_lines import why_due
from tracker.outputs.words.plant_names import common_name, is_latin

Style = Literal["", "B", "I"]
Role = Literal["code", "name", "latin", "body", "care"]

_BASIS = {"poured": "menstruum poured", "finished": "finished volume"}


class Run(NamedTuple):
    """Words in one style: upright, bold or italic."""

    text: str
    style: Style = ""


class LabelLine(NamedTuple):
    """One thing a label says; it may take several lines of the paper.

    `rank` is how soon it is left off where there is no room: the highest first, 0 never.
    """

    runs: tuple[Run, ...]
    role: Role = "body"
    rank: int = 0

    @property
    def text(self) -> str:
        """Its words."""
        return "".join(run.text for run in self.runs)


class Label(NamedTuple):
    """All one label says: lines from its top, cautions at its foot, what its QR code holds."""

    code: str
    lines: tuple[LabelLine, ...]
    foot: tuple[LabelLine, ...]
    qr: str | None = None


def label(thing: Thing, practice: Practice, today: date) -> Label:
    """What the label of a jar or bottle says, as things stand today."""
    batch, known_of = thing.batch, summary(thing, today)
    lines = [
        LabelLine((Run(_code(thing), "B"),), "code"),
        *_names(batch, known_of),
        LabelLine((Run(f"{ratio_line(thing, known_of)}, {menstruum(thing)}"),)),
        LabelLine((Run(_dated(thing, known_of), "B"),)),
        LabelLine((Run(f"Next: {next_step_line(thing, practice, today)}"),), rank=1),
    ]
    if through := _good_through(thing, known_of):
        lines.append(LabelLine((Run(through, "B"),)))
    if thing.jar is not None and thing.jar.lots:
        lines.append(LabelLine((Run(f"From: {', '.join(thing.jar.lots)}"),), rank=3))
    held = [_hold(today)] if known_of["on_hold"] else []
    foot = [*held, LabelLine((Run(" ".join(short(cautions(batch)))),), "care")]
    return _plain(Label(thing.code, tuple(lines), tuple(foot), qr_text(thing.code, practice)))


def lid(thing: Thing, practice: Practice, today: date) -> Label:
    """What the label of a lid says: the code, the name, the next step, and the cautions."""
    names = _names(thing.batch, summary(thing, today), short=True)
    foot = [_hold(today)] if summary(thing, today)["on_hold"] else []
    return _plain(
        Label(
            thing.code,
            (
                LabelLine((Run(thing.code, "B"),), "code"),
                *names,
                LabelLine((Run(next_step_line(thing, practice, today)),)),
            ),
            (*foot, LabelLine((Run(shortest(cautions(thing.batch))),), "care")),
        )
    )


def qr_text(code: str, practice: Practice) -> str:
    """What the QR code of a label holds: the code, behind the page address if one is set."""
    if not practice.page_address:
        return code
    from urllib.parse import quote

    return practice.page_address + quote(code, safe="/")


def ratio_line(thing: Thing, known_of: Answer) -> str:
    """`1:5 (menstruum poured)`: a ratio never stands without its basis."""
    text, jar = ratio_text(thing.batch, thing.made), thing.jar
    if jar is not None and jar.again and thing.extract in (None, jar.pressing):
        return "marc steeped again"
    if text == "–":
        return "herb not weighed"
    return f"{text.removesuffix('.0')} ({_BASIS.get(str(known_of['ratio_basis']), 'poured')})"


def menstruum(thing: Thing) -> str:
    """What was poured, and how strong that is with all that went in where it differs.

    `spirit 45 % vol`, or `spirit 95 % vol; 75.8 % vol in all`.
    """
    poured = " and ".join(dict.fromkeys(_pour(pour) for pour in thing.made.pours))
    strength = strength_text(thing.made).replace("~", "about ")
    as_poured = {f"{pour.ethanol_pct_vol:.1f}" for pour in thing.made.pours}
    if strength == "–" or as_poured == {strength}:
        return poured
    return f"{poured}; {strength} % vol in all"


def _pour(pour: Poured) -> str:
    if pour.liquid != "ethanol":
        return pour.name or pour.liquid
    return f"{pour.name or 'spirit'} {pour.ethanol_pct_vol:g} % vol"


def next_step_line(thing: Thing, practice: Practice, today: date) -> str:
    """What is due next and when, with the day in full: a label stays for months."""
    jar, extract = thing.jar, thing.extract
    if jar is not None and extract is None:
        extract = jar.pressing
    code = thing.code if extract is None else thing.batch.extract_code(extract)
    lines = due([thing.batch], practice, today)
    wanted = {line.what: line for line in reversed(lines) if line.code == code}
    if "safety" in wanted:
        return why_due(wanted["safety"])
    if jar is not None and extract is None:
        return _next_of_jar(jar, today)
    assert extract is not None
    last = thing.good_through or extract.good_through
    if extract.pressed.precision == "unknown":
        return "find out when it was pressed"
    if today > last:
        return f"take it off the shelf, past {day_text(last)}"
    return f"use up from {day_text(practice.expiring_before.before(last))}"


def press_from(jar: Jar) -> str:
    """`press from 3 Jun 2025`, and by when at the latest where there is such a day."""
    verb = "strain" if jar.preparation in ("oil", "honey or oxymel") else "press"
    longest = amounts.longest_day(jar)
    latest = f", {day_text(longest)} at the latest" if longest else ""
    return f"{verb} from {day_text(amounts.earliest_press(jar))}{latest}"


def _next_of_jar(jar: Jar, today: date) -> str:
    shake = next_shake(jar, today)
    if amounts.is_ready(jar, today) or shake is None or shake >= amounts.earliest_press(jar):
        return press_from(jar)
    return f"shake {day_text(max(shake, today))}; {press_from(jar)}"


def _code(thing: Thing) -> str:
    return f"{thing.code}, {thing.bottle.size_ml:g} ml" if thing.bottle else thing.code


def _names(batch: Batch, known_of: Answer, *, short: bool = False) -> list[LabelLine]:
    """The common name, then the Latin one with part and form."""
    style: Style = "I" if is_latin(batch.herb) else ""
    part = f"{known_of['part']}, {batch.form}" if known_of["part"] else batch.form
    common = common_name(batch)
    if common is None or common == batch.herb:
        name = LabelLine((Run(batch.herb, style or "B"),), "name")
        return [name] if short else [name, LabelLine((Run(part),), "latin")]
    latin = (Run(batch.herb, style),) if short else (Run(batch.herb, style), Run(f" {part}"))
    name = LabelLine((Run(f"{common[:1].upper()}{common[1:]}", "B"),), "name")
    return [name, LabelLine(latin, "latin", rank=2 if short else 0)]


def _dated(thing: Thing, known_of: Answer) -> str:
    if thing.jar is None:
        return f"blended {when_text(known_of['blended'])}"
    charged = f"charged {when_text(known_of['charged'])}"
    pressed = known_of["pressed"]
    if thing.extract is not None and thing.extract.opened == "drawn off":
        return f"{charged}, drawn off {when_text(pressed)}"
    return charged if pressed is None else f"{charged}, pressed {when_text(pressed)}"


def _good_through(thing: Thing, known_of: Answer) -> str | None:
    last = iso_day(known_of, "good_through")
    if last is not None:
        return f"Good through {day_text(last)}"
    return "Good through: not known" if known_of["pressed"] is not None else None


def _hold(today: date) -> LabelLine:
    return LabelLine((Run(f"ON HOLD on {day_text(today)}: do not use.", "B"),), "care")


def _plain(made: Label) -> Label:
    """The label without control codes, which an old line of the book may hold."""
    return made._replace(lines=_shown(made.lines), foot=_shown(made.foot))


def _shown(lines: tuple[LabelLine, ...]) -> tuple[LabelLine, ...]:
    return tuple(
        line._replace(runs=tuple(run._replace(text=shown(run.text)) for run in line.runs))
        for line in lines
    )
