"""The shake plan: how often, in phases counted from the day of the charge."""

import re

import msgspec

from tracker.core.values.errors import MisusedError
from tracker.core.values.times import LONGEST_DAYS, parse_period


class ShakePhase(msgspec.Struct, frozen=True, gc=False):
    """Shake every few days, through a day of the maceration, until ready, or always."""

    every_days: int
    through_day: int | None = None
    until_ready: bool = False

    def __post_init__(self) -> None:
        if self.every_days < 1 or (self.through_day is not None and self.through_day < 1):
            raise ValueError("a shake phase counts whole days, from 1")


ShakePlan = tuple[ShakePhase, ...]

_OFTEN = {
    "twice a week": 3,  # three days apart at most: a whole day is the finest a plan knows
    "every other day": 2,
    "fortnightly": 14,
    "monthly": 30,
    "weekly": 7,
    "daily": 1,
}


def phase_on(plan: ShakePlan, day: int, *, ready: bool) -> ShakePhase | None:
    """The phase in force on a day of the maceration (day 0 is the charge), if any."""
    for phase in plan:
        if phase.through_day is not None and day > phase.through_day:
            continue
        return None if phase.until_ready and ready else phase
    return None


def parse_shake_plan(text: str) -> ShakePlan:
    """A plan such as `daily 14d, weekly`, `every 3d`, `daily 14d, weekly until ready`, `none`.

    Raises:
        MisusedError: a phase that means nothing, or one after a phase without an end.
    """
    if text.strip().lower() in ("none", "never", ""):
        return ()
    phases: list[ShakePhase] = []
    through = 0
    for part in text.lower().split(","):
        if phases and phases[-1].through_day is None:
            raise _misread(text, "nothing can follow a phase that has no end")
        phase = _phase(part.strip(), through, text)
        through = phase.through_day or through
        phases.append(phase)
    return tuple(phases)


def _phase(words: str, after_day: int, text: str) -> ShakePhase:
    words, until_ready = re.subn(r"\s*until ready$", "", words)
    name = next((name for name in _OFTEN if words.startswith(name)), None)
    if name is not None:
        every, rest = _OFTEN[name], words.removeprefix(name)
    else:
        found = re.match(r"every ([0-9]{1,9}) ?d(?:ays?)?\b", words)
        if not found or not int(found[1]):
            raise _misread(text, f"{words!r} is not a phase")
        every, rest = int(found[1]), words[found.end() :]
    if every > LONGEST_DAYS:
        raise _misread(text, f"{words!r} is longer than a hundred years")
    rest = rest.strip().removeprefix("for ").strip()
    if not rest:
        return ShakePhase(every, until_ready=bool(until_ready))
    span = parse_period(rest)
    days = span.days + span.months * 30
    if not days:
        raise _misread(text, f"{rest!r} is no time at all")
    if after_day + days > LONGEST_DAYS:
        raise _misread(text, f"{rest!r} makes it longer than a hundred years")
    return ShakePhase(every, after_day + days, bool(until_ready))


def _misread(text: str, why: str) -> MisusedError:
    return MisusedError(
        f"The shake plan {text!r}: {why}.",
        where="the shake plan",
        do="write it like: daily 14d, weekly until ready. Or: none.",
    )


def plan_text(plan: ShakePlan) -> str:
    """The plan in the words it may be typed in."""
    often = {every: name for name, every in _OFTEN.items()}
    parts, before = [], 0
    for phase in plan:
        text = often.get(phase.every_days, f"every {phase.every_days}d")
        if phase.through_day is not None:
            text += f" {phase.through_day - before}d"
            before = phase.through_day
        parts.append(text + (" until ready" if phase.until_ready else ""))
    return ", ".join(parts) or "none"
