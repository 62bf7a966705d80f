"""Where the command starts: Ctrl-C ends it in silence while the rest of it is loaded."""

import signal


def main() -> None:
    """Load the command and run it."""
    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if ours:  # a shell that starts it with & ignores Ctrl-C, and so it stays
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    from tracker.cli.main import main as run

    if ours:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    run()
