"""What a label says about a jar, an extract or a bottle, as data without a layout."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal, NamedTuple

from tracker.core.menstruum.liquids import called, strength_said
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.signs import spoiling
from tracker.core.rules.reminders import next_shake
from tracker.core.shelf.contents import Poured
from tracker.core.shelf.end import ended_word
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import NotHeld
from tracker.core.shelf.thing import Thing
from tracker.core.values.day_words import short_day
from tracker.core.values.text import shown
from tracker.outputs.paper.labels.label_cautions import Said, ranked, shortest
from tracker.outputs.paper.weak_line import weak_text
from tracker.outputs.view.made import HerbView
from tracker.outputs.view.thing_view import RowView, ThingView, view_of
from tracker.outputs.words.amount_words import basis_said, meant_text, ratio_number
from tracker.outputs.words.due.due_lines import signs_said
from tracker.outputs.words.holds import hold_mark, hold_text
from tracker.outputs.words.latin_names import is_latin
from tracker.outputs.words.plant_names import common_of
from tracker.outputs.words.short_days import when_in_full
from tracker.outputs.words.ways_of_making import OF_ONE_HERB, press_verb, way_said

Style = Literal["", "B", "I"]
Role = Literal["code", "name", "latin", "body", "care"]

# From this much on, a strength by a default for the herb's water is said beside what was
# poured: measures of a kitchen are no closer. A choice, no source.
_LEAST_SAID_PCT_VOL = 2.0


class Run(NamedTuple):
    """Words in one style: upright, bold or italic.

    `rank` is how soon they are left off of the line: the highest first, 0 never.
    """

    text: str
    style: Style = ""
    rank: int = 0


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
    is_lid: bool = False


def label(thing: Thing, practice: Practice, today: date, not_held: Sequence[Flag] = ()) -> Label:
    """What the label of a jar or bottle says, as things stand today.

    Args:
        thing: what it is for.
        practice: the rules in force.
        today: the maker's day.
        not_held: what holds some of a lot called back and is on no hold.
    """
    view = view_of(thing, practice, today, flags=not_held)
    lines = [
        LabelLine((Run(_code(view), "B"),), "code"),
        *_names(view.row.herbs),
        LabelLine((Run(", ".join(_made(view))),)),
        LabelLine((Run(_dated(view), "B"),)),
        LabelLine((Run(f"Next: {next_step_line(thing, view, practice, today)}"),), rank=6),
    ]
    if view.row.pressed is not None:
        lines.append(LabelLine((Run(_good_through(view), "B"),)))
    if view.past_date_why:
        lines.append(
            LabelLine((Run(f"Used past its date, or with none: {view.past_date_why}"),), rank=2)
        )
    if view.row.belongs_to:
        lines.append(LabelLine((Run(f"Belongs to {view.row.belongs_to}"),), rank=2))
    if view.steep is not None and view.steep.lots:
        lines.append(LabelLine((Run(f"From: {', '.join(view.steep.lots)}"),), rank=8))
    foot = [*_heed(view, today), _care(ranked(view.cautions, named=_has_several(view)))]
    return _plain(Label(thing.code, tuple(lines), tuple(foot), qr_text(thing.code, practice)))


def lid(thing: Thing, practice: Practice, today: date, not_held: Sequence[Flag] = ()) -> Label:
    """What the label of a lid says: the code, the names, the next step, and the cautions."""
    view = view_of(thing, practice, today, flags=not_held)
    lines = (
        LabelLine((Run(thing.code, "B"),), "code"),
        *_names(view.row.herbs, short=True),
        LabelLine((Run(next_step_line(thing, view, practice, today)),)),
    )
    careful = _care(shortest(view.cautions, named=_has_several(view)))
    return _plain(Label(thing.code, lines, (*_heed(view, today), careful), is_lid=True))


def _has_several(view: ThingView) -> bool:
    return len({one.herb for one in view.row.herbs}) > 1


def _care(said: Iterable[Said]) -> LabelLine:
    """The cautions as one paragraph, of which the milder may be left off."""
    runs = [
        Run(f"{' ' if place else ''}{one.text}", rank=one.rank) for place, one in enumerate(said)
    ]
    return LabelLine(tuple(runs), "care")


def qr_text(code: str, practice: Practice) -> str:
    """What the QR code of a label holds: the code, behind the page address if one is set."""
    if not practice.page_address:
        return shown(code)
    from urllib.parse import quote

    return practice.page_address + quote(code, safe="/")


def _made(view: ThingView) -> list[str]:
    """The ratio, how it is made where it does not just macerate, and the menstruum."""
    way = OF_ONE_HERB if view.of_one_herb else way_said(view.row.way, view.row.steep_way)
    return [ratio_line(view), *([way] if way else []), menstruum(view)]


def ratio_line(view: ThingView) -> str:
    """`1:5 (menstruum poured)`: a ratio never stands without its basis."""
    ratio, steep = view.row.ratio, view.steep
    meant = ""
    if steep is not None and steep.ratio_meant_basis == "finished" and view.extract is None:
        meant = f"; meant {meant_text(steep.ratio_meant, 'finished')}"
    if ratio is None:
        return _no_ratio(view) + meant
    return f"{ratio_number(ratio)} ({basis_said(ratio.basis)}{meant})"


def _no_ratio(view: ThingView) -> str:
    if view.made.again:
        return "marc steeped again"
    return "parts of no one ratio" if view.made.basis == "mixed" else "herb not weighed"


def menstruum(view: ThingView) -> str:
    """What was poured, and how strong that is with all that went in where it differs.

    `spirit 45 % vol`, or `spirit 95 % vol; 75.8 % vol in all`. What only a default for the
    herb's water makes different has to be more than `_LEAST_SAID_PCT_VOL`.
    """
    pours, known = view.made.pours, view.row.strength
    poured = " and ".join(dict.fromkeys(_pour(pour) for pour in pours))
    strength = _strength(view.row)
    strengths = {pour.ethanol_pct_vol for pour in pours}
    if strength is None or {f"{one or 0.0:.1f}" for one in strengths} == {strength}:
        return poured
    if known is not None and known.is_guess:
        off = (abs(known.pct_vol - (pour.ethanol_pct_vol or 0.0)) for pour in pours)
        if max(off, default=0.0) < _LEAST_SAID_PCT_VOL:
            return poured
    return f"{poured}; {strength} % vol in all"


def _strength(row: RowView) -> str | None:
    """`45.0`; `about 45` by a default for the herb's water, or by the simple sum."""
    if row.strength is not None:
        pct_vol = row.strength.pct_vol
        text = f"about {pct_vol:.0f}" if row.strength.is_guess else f"{pct_vol:.1f}"
        return text if pct_vol else None
    simple = row.simple_strength_pct_vol
    return f"about {simple:.0f}" if simple else None


def _pour(pour: Poured) -> str:
    if pour.liquid != "ethanol" and pour.ethanol_pct_vol is not None:
        return called(pour.liquid, 0.0, pour.glycerin_pct_mass, pour.name)
    return f"{pour.name or 'spirit'} {strength_said(pour.ethanol_pct_vol)}"


def next_step_line(thing: Thing, view: ThingView, practice: Practice, today: date) -> str:
    """What is due next and when, with the day in full: a label stays for months."""
    row = view.row
    if wrong := _not_safe(view):
        return wrong
    if view.extract is None:
        if row.end is not None:
            return f"{ended_word(row.end)} {when_in_full(row.end.on)}"
        return _next_of_jar(thing, row, today)
    if (view.bottle or view.extract).state == "empty":
        return "empty"
    if row.good_through is None:
        return "find out when it was pressed"
    if today > row.good_through:
        return f"take it off the shelf, past {short_day(row.good_through)}"
    look = _look_again(row, today)
    if row.weak is not None:
        return f"{look}make it stronger or use it up"
    return f"{look}use up from {short_day(practice.expiring_before.before(row.good_through))}"


def _not_safe(view: ThingView) -> str | None:
    """What comes before anything else: a hold, mould, a lid that is eaten."""
    if view.row.hold is not None:
        return hold_text(view.row.hold)
    if (recalled := _recalled_inside(view)) is not None:
        return f"put it on hold: lot {recalled.lot} was called back"
    seen = view.steep if view.extract is None else view.extract
    look = None if seen is None else seen.look
    if look is not None and look.verdict == "watch" and (found := spoiling(look.signs)):
        return f"{signs_said(found)} was found: look again"
    lid = next((one for one in view.cautions if one.kind == "lid"), None)
    return None if lid is None else f"{lid.text}: {lid.do}"


def press_from(row: RowView) -> str:
    """`press from 3 Jun 2025`, and by when at the latest where there is such a day."""
    is_strained = row.preparation in ("oil", "honey or oxymel")
    verb = "strain" if is_strained else press_verb(row.steep_way or "maceration")
    latest = f", {short_day(row.longest)} at the latest" if row.longest else ""
    if row.press_from is None:
        return f"{verb}: the day is not known{latest}"
    return f"{verb} from {short_day(row.press_from)}{latest}"


def _next_of_jar(thing: Thing, row: RowView, today: date) -> str:
    assert thing.jar is not None
    shake, ready = next_shake(thing.jar, today), row.press_from
    look = _look_again(row, today)
    if row.is_ready or shake is None or (ready is not None and shake >= ready):
        return f"{look}{press_from(row)}"
    return f"{look}shake {short_day(max(shake, today))}; {press_from(row)}"


def _look_again(row: RowView, today: date) -> str:
    """`look again 12 Mar 2025; `, or nothing."""
    return "" if row.look_again is None else f"look again {short_day(max(row.look_again, today))}; "


def _code(view: ThingView) -> str:
    code, bottle = view.row.code, view.bottle
    return code if bottle is None else f"{code}, {bottle.size_ml:g} ml"


def _names(herbs: Sequence[HerbView], *, short: bool = False) -> list[LabelLine]:
    """The common names, then the Latin ones with part and form; every herb of a jar."""
    named = [common_of([one]) or one.herb for one in herbs]
    if all(name == one.herb for name, one in zip(named, herbs, strict=True)):
        name = LabelLine(_latin_names(herbs, otherwise="B"), "name")
        return [name] if short else [name, LabelLine((Run(_parts(herbs)),), "latin")]
    common = " + ".join(dict.fromkeys(f"{name[:1].upper()}{name[1:]}" for name in named))
    latin = _latin_names(herbs) if short else _latin_in_full(herbs)
    name = LabelLine((Run(common, "B"),), "name")
    return [name, LabelLine(latin, "latin", rank=7 if short else 0)]


def _latin_names(herbs: Iterable[HerbView], *, otherwise: Style = "") -> tuple[Run, ...]:
    """Every plant once, in italics where its name is Latin."""
    plants = dict.fromkeys(one.herb for one in herbs)
    return _listed([(Run(herb, "I" if is_latin(herb) else otherwise),) for herb in plants])


def _latin_in_full(herbs: Iterable[HerbView]) -> tuple[Run, ...]:
    """Every herb with its part and form."""
    return _listed(
        [
            (Run(one.herb, "I" if is_latin(one.herb) else ""), Run(f" {part_and_form(one)}"))
            for one in herbs
        ]
    )


def _listed(items: Sequence[tuple[Run, ...]]) -> tuple[Run, ...]:
    joined = [items[0], *((Run(" + "), *item) for item in items[1:])]
    return tuple(run for item in joined for run in item)


def part_and_form(one: HerbView) -> str:
    """`flower, dried`."""
    return f"{one.part}, {one.form}" if one.part else one.form


def _parts(herbs: Sequence[HerbView]) -> str:
    """Part and form of each herb, said once where they are the same of all."""
    parts = [part_and_form(one) for one in herbs]
    return parts[0] if len(set(parts)) == 1 else " + ".join(parts)


def _dated(view: ThingView) -> str:
    row, extract = view.row, view.extract
    if row.charged is None:
        return f"blended {when_in_full(row.begun)}"
    guess = " (a guess)" if row.charge_guessed else ""
    charged = f"charged {when_in_full(row.charged)}{guess}"
    if row.pressed is None:
        return charged
    how = "pressed" if extract is None else extract.opened
    return f"{charged}, {how} {when_in_full(row.pressed)}"


def _good_through(view: ThingView) -> str:
    cold = "" if view.weak_since is None else ", kept cold"
    if view.row.good_through is None:
        return f"Good through: not known{cold}"
    return f"Good through {short_day(view.row.good_through)}{cold}"


def _heed(view: ThingView, today: date) -> list[LabelLine]:
    """What comes before the cautions: that it is on hold or should be, and that it is weak."""
    row, state = view.row, None
    if row.hold is not None:
        state = hold_mark(row.hold)
    elif _recalled_inside(view) is not None:
        state = "RECALLED"
    said = [f"{state} on {short_day(today)}: do not use."] if state is not None else []
    if row.weak is not None:
        said.append(weak_text(row.weak, today))
    return [LabelLine((Run(one, "B"),), "care") for one in said]


def _recalled_inside(view: ThingView) -> NotHeld | None:
    """A lot that was called back, of which some is in it while nothing holds it."""
    found = (flag.misfit for flag in view.flags if isinstance(flag.misfit, NotHeld))
    return next((one for one in found if view.row.code in one.codes), None)


def _plain(made: Label) -> Label:
    """The label without control codes, which an old line of the book may hold."""
    return made._replace(lines=_shown(made.lines), foot=_shown(made.foot))


def _shown(lines: tuple[LabelLine, ...]) -> tuple[LabelLine, ...]:
    return tuple(
        line._replace(runs=tuple(run._replace(text=shown(run.text)) for run in line.runs))
        for line in lines
    )
