"""Where the command starts: Ctrl-C ends it in silence while the rest of it is loaded."""

import gc
import signal
import sys

from tracker.cli.plain.plain_line import plain_line


def main() -> None:
    """Load what the line needs, and run it."""
    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if ours:  # a shell that starts it with & ignores Ctrl-C, and so it stays
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    # Nothing that is loaded is garbage; looking for some takes as long as half of the answer.
    gc.disable()
    line = plain_line(sys.argv[1:])
    if line is None:
        from tracker.cli.main import main as run
    else:
        from functools import partial

        from tracker.cli.plain.plain_answer import answer_plainly

        run = partial(answer_plainly, line)
    gc.freeze()
    gc.enable()
    if ours:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        run()
    finally:
        gc.freeze()  # what is left goes with the process, and need not be looked through
