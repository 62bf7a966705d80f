"""The answer to a plain line: the same functions that the verbs of the command call."""

from collections.abc import Callable
from pathlib import Path

from tracker.bench.bench import Bench
from tracker.cli import streams
from tracker.cli.plain.at_hand import Looked
from tracker.cli.plain.plain_line import PlainLine
from tracker.cli.run import bench_of, print_untold, run


def answer_plainly(line: PlainLine, looked: Looked | None) -> None:
    """Print the answer to a plain line, keep it at hand where that can be, and end."""
    run(lambda: _answer(line, looked))


def _answer(line: PlainLine, looked: Looked | None) -> None:
    bench = bench_of(None if line.book is None else Path(line.book))
    if looked is None:
        _print(line, bench)
        return
    from tracker.cli.plain.keep_at_hand import keep, what_may_change

    before = what_may_change(looked, bench)
    _print(line, bench)
    if (printed := streams.printed()) is not None:
        keep(looked, before, bench, printed)


def _print(line: PlainLine, bench: Bench) -> None:
    print_untold(bench.state)
    match line.words:
        case ["show", code]:
            from tracker.cli.verbs.looking.thing_shown import show

            show(bench, code)
        case [verb]:
            from tracker.cli.verbs.looking import whole_shelf

            answers: dict[str, Callable[[Bench], None]] = {
                "due": whole_shelf.due,
                "shelf": whole_shelf.shelf,
                "stock": whole_shelf.stock,
            }
            answers[verb](bench)
