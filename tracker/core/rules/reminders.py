"""What is due: a pure function of the shelf, the practice and the day."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Literal, assert_never, get_args

import msgspec

from tracker.core.practice.practice import Practice
from tracker.core.practice.shake_plan import phase_on
from tracker.core.reckoning import amounts, keeps
from tracker.core.reckoning.lids import lid_in_doubt
from tracker.core.reckoning.signs import spoiling
from tracker.core.rules.reasons import (
    BareLid,
    GoodThrough,
    LidNotKnown,
    LookAgain,
    LookAtIt,
    NoDate,
    NotCounted,
    NotShaken,
    OnHold,
    PastLongest,
    ReadyToPress,
    Reason,
    RecalledInside,
    SpoilageSeen,
    StandsWeak,
)
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.flow import Given
from tracker.core.shelf.hold import Hold, Look
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.misfit import NotHeld
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of, whole
from tracker.core.values.errors import RefusedError
from tracker.core.values.times import LONG_AGO, When

# The most pressing first.
What = Literal[
    "safety", "weak", "past-longest", "expired", "away", "shake", "look", "ready", "expiring",
    "undated", "count",
]  # fmt: skip
ORDER: tuple[What, ...] = get_args(What)


class Manner(msgspec.Struct, frozen=True):
    """How a reminder is given: every day until it is done or once, and if it can wait.

    What is urgent is so on the day it is told first; after that it is told like the rest.
    """

    is_daily: bool
    is_urgent: bool
    can_wait: bool


def manner(what: What) -> Manner:
    """How each kind of reminder is given; mypy fails here where a new one has no arm."""
    match what:
        case "safety" | "weak":  # are never put off
            return Manner(is_daily=True, is_urgent=True, can_wait=False)
        case "past-longest":
            return Manner(is_daily=True, is_urgent=True, can_wait=True)
        case "shake":
            return Manner(is_daily=True, is_urgent=False, can_wait=True)
        # A warning before leaving, which nobody has to answer, and what cannot be answered later.
        case "away" | "undated":
            return Manner(is_daily=False, is_urgent=False, can_wait=False)
        case "expired":
            return Manner(is_daily=False, is_urgent=True, can_wait=True)
        case "ready" | "look" | "expiring" | "count":
            return Manner(is_daily=False, is_urgent=False, can_wait=True)
        case _:
            assert_never(what)


DAILY: frozenset[What] = frozenset(one for one in ORDER if manner(one).is_daily)
URGENT: frozenset[What] = frozenset(one for one in ORDER if manner(one).is_urgent)
CAN_WAIT: frozenset[What] = frozenset(one for one in ORDER if manner(one).can_wait)

# A jar is not said to be ready while one of these stands, told today or not; a shake or a look
# leaves it as ready as it was.
BEFORE_READY: frozenset[What] = frozenset(("safety", "weak", "past-longest"))
_BESIDE_READY: frozenset[What] = frozenset(("shake", "look"))

# A look that nobody took lapses: after a week the herb has settled or shown what is wrong.
LOOK_LAPSES = timedelta(days=7)


class Due(msgspec.Struct, frozen=True):
    """One line: which code, what is due, since which day, and why.

    Attributes:
        again: the day until which it was put off: it is said once more then.
        also: the line that says it is ready, where a shake or a look comes first.
    """

    code: str
    what: What
    since: date
    reasons: tuple[Reason, ...]
    again: date | None = None
    also: "Due | None" = None


def due(
    batches: Iterable[Batch],
    practice: Practice,
    today: date,
    *,
    not_held: Sequence[Flag] = (),
) -> list[Due]:
    """What is due today, one line a code at most, most pressing first.

    Args:
        batches: the shelf.
        practice: the rules in force.
        today: the maker's day.
        not_held: what holds some of a lot called back and is on no hold.
    """
    lines = one_a_code(every_line(batches, practice, today, not_held=not_held))
    return sorted(lines.values(), key=lambda one: (ORDER.index(one.what), one.since, one.code))


def one_a_code(lines: Iterable[Due]) -> dict[str, Due]:
    """The most pressing line of each code; that a jar is ready stands beside a shake or a look."""
    first: dict[str, Due] = {}
    ready: dict[str, Due] = {}
    for line in lines:
        if line.what == "ready":
            ready[line.code] = line
        kept = first.get(line.code)
        if kept is None or ORDER.index(line.what) < ORDER.index(kept.what):
            first[line.code] = line
    for code, line in ready.items():
        if first[code].what in _BESIDE_READY:
            first[code] = msgspec.structs.replace(first[code], also=line)
    return first


def every_line(
    batches: Iterable[Batch],
    practice: Practice,
    today: date,
    *,
    not_held: Sequence[Flag] = (),
) -> Iterator[Due]:
    """Every reason any code is due today, unsorted."""
    for batch in batches:
        if batch.begun.earliest > today:
            continue
        yield from _recalled_inside(batch, not_held, today)
        if isinstance(batch, Jar) and batch.is_macerating:
            for line in _jar_lines(batch, practice, today):
                yield from _unless_put_off(line, batch.put_off, today)
        for extract in batch.extracts:
            if extract.left_ml >= DROP_ML or extract.is_given_on_hold(batch.hold):
                for line in _extract_lines(batch, extract, practice, today):
                    yield from _unless_put_off(line, extract.put_off, today)


def _recalled_inside(batch: Batch, not_held: Sequence[Flag], today: date) -> Iterator[Due]:
    """What of it is on no hold though some of a lot called back is in it; bottles by extract."""
    for flag in not_held:
        misfit = flag.misfit
        if flag.event != batch.id or not isinstance(misfit, NotHeld):
            continue
        inside = RecalledInside(misfit.lot, misfit.recalled)
        for code in misfit.codes:
            is_named = code.rpartition("/")[0] in misfit.codes
            if misfit.recalled.earliest <= today and not is_named:
                yield Due(code, "safety", first_known(misfit.recalled, today), (inside,))


def _unless_put_off(line: Due, put_off: Mapping[str, date], today: date) -> Iterator[Due]:
    until = put_off.get(line.what) if line.what in CAN_WAIT else None
    if until is None or until <= line.since:
        yield line
    elif until <= today:
        yield msgspec.structs.replace(line, again=until)


def _jar_lines(jar: Jar, practice: Practice, today: date) -> Iterator[Due]:
    yield from _held_or_spoiling(jar.code, jar.hold, jar.look, today)
    yield from _weak(whole(jar), jar.steeped, practice, today)
    yield from _lid(jar, today)
    longest = amounts.longest_day(jar)
    if longest is not None and today > longest:
        late = PastLongest((today - longest).days, jar.steep_way)
        yield Due(jar.code, "past-longest", longest + timedelta(days=1), (late,))
    ready = amounts.earliest_press(jar)
    if ready is not None and ready <= today:
        late_since = ReadyToPress(ready if ready < today else None, jar.steep_way)
        yield Due(jar.code, "ready", ready, (late_since,))
    if (shake := next_shake(jar, today)) and shake <= today:
        unshaken = NotShaken(jar.last_shaken, jar.steeped, is_first=jar.since is None)
        yield Due(jar.code, "shake", shake, (unshaken,))
    yield from _look_again(jar.code, jar.look, today)
    yield from _look_due(jar, today)


def _lid(jar: Jar, today: date) -> Iterator[Due]:
    state = lid_in_doubt(jar)
    if state == "bare":
        yield Due(jar.code, "safety", first_known(jar.charged, today), (BareLid(),))
    elif state == "unknown" and jar.lid is not None:
        unsaid = LidNotKnown(jar.lid, jar.barrier)
        yield Due(jar.code, "safety", first_known(jar.charged, today), (unsaid,))


def _held_or_spoiling(
    code: str, hold: Hold | None, look: Look | None, today: date, given: Sequence[Given] = ()
) -> Iterator[Due]:
    if hold is not None and hold.on.earliest <= today:
        out_ml, last = sum(one.ml for one in given), given[-1].on if given else None
        held = OnHold(hold.kind, hold.why, out_ml, last, hold.event)
        yield Due(code, "safety", first_known(hold.on, today), (held,))
    if look is not None and look.verdict == "watch" and (seen := spoiling(look.signs)):
        yield Due(code, "safety", first_known(look.on, today), (SpoilageSeen(tuple(seen)),))


def first_known(when: When, today: date) -> date:
    """The first day it can have been; where nobody knows it, the day it was written down."""
    return min(when.latest, today) if when.precision == "unknown" else when.earliest


def _look_again(code: str, look: Look | None, today: date) -> Iterator[Due]:
    """The day the last look named, until the next look; it does not lapse."""
    if look is not None and look.again_on is not None and look.again_on <= today:
        yield Due(code, "look", look.again_on, (LookAgain(look.on, look.signs),))


def next_shake(jar: Jar, today: date) -> date | None:
    """The day the next shake falls due, or None where the phase in force asks for none.

    A missed shake never piles up: it stays due until the jar is shaken, once. The phase is
    the one in force today; where its turn comes later, the one in force then.
    """
    last = jar.steeped.latest
    if jar.last_shaken is not None:
        last = max(jar.last_shaken.earliest, last)
    day = max(today, last + timedelta(days=1))
    phase = _phase_on(jar, day)
    if phase is None:
        return None
    falls = last + timedelta(days=phase)
    if falls <= day:
        return falls
    later = _phase_on(jar, falls)
    return None if later is None else max(last + timedelta(days=later), falls)


def _phase_on(jar: Jar, day: date) -> int | None:
    number = (day - jar.steeped.earliest).days
    ready = amounts.earliest_press(jar)
    phase = phase_on(jar.shake, number, ready=ready is not None and day >= ready)
    return phase.every_days if phase else None


def _look_due(jar: Jar, today: date) -> Iterator[Due]:
    """The last look the practice asked for, until the jar was touched or the look lapses."""
    wanted = [jar.charged.earliest + timedelta(days=day) for day in jar.look_days]
    passed = [day for day in wanted if day <= today]
    if not passed or today - passed[-1] > LOOK_LAPSES:
        return
    touched = jar.last_touched.latest if jar.last_touched else None
    if touched is None or touched < passed[-1]:
        yield Due(jar.code, "look", passed[-1], (LookAtIt(),))


def _extract_lines(
    batch: Batch, extract: Extract, practice: Practice, today: date
) -> Iterator[Due]:
    code = batch.extract_code(extract)
    is_in = isinstance(batch, Jar) and batch.is_macerating
    hold = extract.hold or (None if is_in else batch.hold)
    given = () if hold is None else extract.given_on_hold(hold)
    yield from _held_or_spoiling(code, hold, extract.look, today, given)
    if extract.left_ml < DROP_ML:
        return
    yield from _look_again(code, extract.look, today)
    for one in extract.bottles:
        if one.volume_ml >= DROP_ML:
            given = () if one.hold is None else extract.given_on_hold(one.hold, one.number)
            yield from _held_or_spoiling(f"{code}/{one.number}", one.hold, None, today, given)
    for thing in _apart(batch, extract):
        opened = extract.pressed if thing.bottle is None else thing.bottle.filled
        yield from _weak(thing, opened, practice, today)
    yield from _dated(batch, extract, practice, today)
    if practice.count_every is not None:
        last, opened = extract.counted, extract.pressed
        began = opened.latest if opened.precision == "unknown" else opened.earliest
        uncounted = NotCounted(last.earliest if last else None, began, extract.left_ml)
        falls = practice.count_every.after(uncounted.last or began)
        if falls <= today:
            yield Due(code, "count", falls, (uncounted,))


def _apart(batch: Batch, extract: Extract) -> Iterator[Thing]:
    """The extract, while there is any of it as it is, and each bottle made of something else."""
    inside = [one for one in extract.bottles if one.volume_ml >= DROP_ML]
    if extract.volume_ml >= DROP_ML or any(one.made is None for one in inside):
        yield extract_of(batch, extract)
    for one in inside:
        if one.made is not None:
            yield bottle_of(batch, extract, one)


def _weak(thing: Thing, opened: When, practice: Practice, today: date) -> Iterator[Due]:
    """It is weak, and nobody made it stronger; who knows no day is reminded all the same."""
    spell = keeps.weak_spell(thing.made, practice)
    if spell is None or spell.pct_vol is None or spell.since > today:
        return
    is_known = spell.since != LONG_AGO
    through = keeps.weak_through(thing, practice)
    stands = StandsWeak(
        spell.pct_vol,
        spell.since if is_known else None,
        through,
        is_past=through is not None and through < today,
    )
    since = spell.since if is_known else first_known(opened, today)
    yield Due(thing.code, "weak", since, (stands,))


def _dated(batch: Batch, extract: Extract, practice: Practice, today: date) -> Iterator[Due]:
    """Its last good day is near or past, or there is none."""
    code = batch.extract_code(extract)
    last, bottle = keeps.first_to_end(batch, extract, practice)
    if last is None:
        yield Due(code, "undated", first_known(extract.pressed, today), (NoDate(extract.left_ml),))
        return
    left = GoodThrough(last, extract.left_ml, bottle.number if bottle else None)
    opens = practice.expiring_before.before(last)
    if today > last:
        yield Due(code, "expired", last + timedelta(days=1), (left,))
    elif today >= opens:
        yield Due(code, "expiring", opens, (left,))


def line_to_put_off(thing: Thing, practice: Practice, today: date, what: str | None = None) -> Due:
    """The reminder of a thing that is put off: the most pressing one, or the one named.

    Raises:
        RefusedError: there is none, or it concerns safety.
    """
    code = thing.batch.extract_code(thing.extract) if thing.extract else thing.code
    lines: list[Due] = []
    for day in (today, today + timedelta(days=1)):  # the day before will do for a shake
        every = every_line([thing.batch], practice, day)
        lines += [line for line in every if line.code == code]
        found = [line for line in lines if line.what in CAN_WAIT and what in (None, line.what)]
        if found:
            return min(found, key=lambda line: ORDER.index(line.what))
    if any(line.what in ("safety", "weak") for line in lines):
        raise RefusedError(
            code,
            "a reminder about safety cannot be put off",
            do="look at it, and record what you saw: `stillroom look`.",
        )
    raise RefusedError(
        code, f"there is no {what or 'reminder'} to put off", do="`stillroom due` lists them."
    )
