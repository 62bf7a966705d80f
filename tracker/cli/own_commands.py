"""The last commands recorded here: which one `undo` takes back, and the list of them."""

from collections import Counter
from collections.abc import Iterator, Sequence

import typer

from tracker.cli.desk import Desk
from tracker.cli.printing import echo_json
from tracker.core.facts.entry import Entry
from tracker.core.rules.undoing import is_undo, left_to_undo
from tracker.core.values.command_words import command
from tracker.core.values.errors import RefusedError
from tracker.core.values.kind_words import kind_said
from tracker.core.values.text import shown
from tracker.outputs.words.fact_lines import entry_said
from tracker.outputs.words.past_moments import moment_said

_LISTED = 10
# Lines looked at, about: those of the last commands first, and once these are all taken back, more.
_STEPS = (64, 4096, 1 << 30)


def last_command(desk: Desk) -> list[Entry]:
    """What is left of the last command that is not taken back, its last line first.

    Raises:
        RefusedError: there is none.
    """
    seen: set[str] = set()
    for most in _STEPS:
        for lines in reversed(desk.book.own_commands(most)):
            if lines[0].id in seen:
                continue
            seen.add(lines[0].id)
            if all(is_undo(one.fact) for one in lines):
                continue
            if left := left_to_undo(lines, desk.book.standing_among(lines)):
                return left
    raise RefusedError(
        "undo",
        "nothing recorded here is left to take back",
        do=f"`{command('history', 'CODE')}` shows what others recorded; "
        f"`{command('strike', 'NUMBER')}` takes that out.",
    )


def show_commands(desk: Desk) -> None:
    """Print the last commands recorded here, the newest first, and what became of each."""
    commands = desk.book.own_commands(_STEPS[0])[-_LISTED:]
    commands.reverse()
    told = [_told(desk, lines) for lines in commands]
    if desk.as_json:
        echo_json(told)
        return
    times = [moment_said(lines[0].recorded, desk.bench.now()) for lines in commands]
    wide = max(map(len, times), default=0)
    for at, one in zip(times, told, strict=True):
        state = f"  ({one['state']})" if one["state"] else ""
        typer.echo(shown(f"{one['number']:>6}  {at:<{wide}}  {one['said']}{state}"))


def _told(desk: Desk, lines: Sequence[Entry]) -> dict[str, object]:
    about = desk.book.entries_about(jar for one in lines for jar in one.jars)
    names = desk.book.names_of({one.id: one for one in (*about, *lines)}.values())
    zone = desk.bench.now().tzinfo
    return {
        "number": names[lines[0].id],
        "recorded": f"{lines[0].recorded.astimezone(zone):%Y-%m-%d %H:%M}",
        "lines": len(lines),
        "said": ", ".join(_said(lines, names)),
        "state": _state(desk, lines),
    }


def _said(lines: Sequence[Entry], names: dict[str, str]) -> Iterator[str]:
    """One line as the history has it; of several, how many of each kind."""
    if len(lines) == 1:
        yield entry_said(lines[0], names)
        return
    kinds = Counter(kind_said(one.kind) for one in lines)
    yield f"{len(lines)} lines: " + ", ".join(f"{many} {kind}" for kind, many in kinds.items())


def _state(desk: Desk, lines: Sequence[Entry]) -> str:
    if all(is_undo(one.fact) for one in lines):
        return ""
    left = left_to_undo(lines, desk.book.standing_among(lines))
    if len(left) == len(lines):
        return ""
    return f"{len(lines) - len(left)} of them taken back" if left else "taken back"
