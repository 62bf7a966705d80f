"""The answer to a plain line: the same functions that the verbs of the command call."""

from pathlib import Path

from tracker.cli.plain.plain_line import PlainLine
from tracker.cli.run import bench_of, print_untold, run


def answer_plainly(line: PlainLine) -> None:
    """Print the answer to a plain line, and end."""
    run(lambda: _answer(line))


def _answer(line: PlainLine) -> None:
    bench = bench_of(None if line.book is None else Path(line.book))
    print_untold(bench.state)
    match line.words:
        case ["show", code]:
            from tracker.cli.verbs.looking.thing_shown import show

            show(bench, code)
        case [verb]:
            from tracker.cli.verbs.looking import whole_shelf

            answers = {
                "due": whole_shelf.due,
                "shelf": whole_shelf.shelf,
                "stock": whole_shelf.stock,
            }
            answers[verb](bench)
