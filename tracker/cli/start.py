"""Where the command starts: what is at hand is printed, and else what the line needs is loaded."""

import gc
import os
import sys

from tracker.cli.plain.at_hand import Looked, answer_at_hand, look
from tracker.cli.plain.plain_line import PlainLine, plain_line


def main() -> None:
    """Print the answer that is at hand, or load what the line needs and run it."""
    line = plain_line(sys.argv[1:])
    looked = None if line is None else look(line)
    if looked is None or not _is_answered(looked):
        _run(line, looked)


def _is_answered(looked: Looked) -> bool:
    try:
        answer = answer_at_hand(looked)
        if answer is None:
            return False
        while answer:
            answer = answer[os.write(1, answer) :]
    except KeyboardInterrupt:
        sys.exit(130)
    except BrokenPipeError:
        sys.exit(1)
    except OSError as reason:
        from tracker.cli.run import unprinted

        unprinted(reason)
    return True


def _run(line: PlainLine | None, looked: Looked | None) -> None:
    """Load the rest, while Ctrl-C ends it in silence, and run it."""
    import signal

    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if ours:  # a shell that starts it with & ignores Ctrl-C, and so it stays
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    # Nothing that is loaded is garbage; looking for some takes as long as half of the answer.
    gc.disable()
    if line is None:
        from tracker.cli.main import main as run
    else:
        from functools import partial

        from tracker.cli.plain.plain_answer import answer_plainly

        run = partial(answer_plainly, line, looked)
    gc.freeze()
    gc.enable()
    if ours:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        run()
    finally:
        gc.freeze()  # what is left goes with the process, and need not be looked through
