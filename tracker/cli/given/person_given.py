"""Who did it: `--by`, else the person named earlier this evening, else the one of `begin`."""

from tracker.bench.bench import Bench
from tracker.bench.own_person import named, own_person, remember, remembered


def who_did_it(bench: Bench, given: str | None) -> tuple[str | None, str | None]:
    """The person, and what is said where that is somebody who was not named this time.

    Raises:
        MisusedError: `--by me`, and nobody said who that is.
    """
    if given:
        return named(given), None
    own, last = own_person(), remembered(bench.state, bench.now())
    if last is None or last.name == own:
        return own, None
    back = "`--by me` is you again" if own else "`--by` names another"
    return last.name, f"By {last.name}, as at {last.at:%H:%M}; {back}."


def remember_for_the_evening(bench: Bench, given: str | None) -> None:
    """Keep who was named for the commands that follow; what fails is a remark."""
    if not given:
        return
    try:
        remember(bench.state, named(given), bench.now())
    except OSError as reason:
        why = reason.strerror or str(reason)
        bench.remarks.append(f"{given} is not remembered for the next command: {why}.")
