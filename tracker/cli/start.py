"""Where the command starts: what is at hand is printed, and else what the line needs is loaded."""

import gc
import os
import sys

from tracker.cli.plain.at_hand import Looked, answer_at_hand, look
from tracker.cli.plain.plain_line import PlainLine, plain_line
from tracker.cli.screen import columns

_SELDOM = 20_000  # objects made between two looks for garbage: most lines make fewer
_WIDTH_OF_PAGES = 80  # cells: on a narrower screen their lines have to be parted
TYPE_CHECKING = False  # typing loads as slowly as all the rest of this
if TYPE_CHECKING:
    from collections.abc import Sequence


def main() -> None:
    """Print the answer that is at hand, or load what the line needs and run it."""
    if page := _page(sys.argv[1:]):
        _print(page)
        return
    if sys.argv[1:3] == ["completion", "words"]:  # asked by a shell, at every Tab
        gc.disable()  # it reads much and ends: looking for garbage would take a third of the time
        _load_msgspec()
        from tracker.cli.completion.offers import print_offers

        print_offers(sys.argv[3:])
        return
    line = plain_line(sys.argv[1:])
    looked = None if line is None else look(line)
    if looked is None or not _is_answered(looked):
        _run(line, looked)


def _page(words: "Sequence[str]") -> bytes | None:
    """What is always the same: the page of all verbs, the short one, the script of a shell."""
    if len(words) == 2 and words[0] == "completion":
        from tracker.cli.completion.shell_script import SHELLS, script_of

        return script_of(words[1]) if words[1] in SHELLS else None
    if words and (len(words) > 1 or words[0] not in ("--help", "-h")):
        return None
    if sys.stdout is not None and columns() < _WIDTH_OF_PAGES:
        return None
    from tracker.cli.help.help_pages import short_page, whole_page

    return (whole_page() if words else short_page()).encode()


def _is_answered(looked: Looked) -> bool:
    answer = answer_at_hand(looked)
    if answer is not None:
        _print(answer)
    return answer is not None


def _print(answer: bytes) -> None:
    try:
        while answer:
            answer = answer[os.write(1, answer) :]
    except KeyboardInterrupt:
        sys.exit(130)
    except BrokenPipeError:
        sys.exit(1)
    except OSError as reason:
        from tracker.cli.run import unprinted

        unprinted(reason)


def _load_msgspec() -> None:
    """Load it as where there is no `typing_extensions`.

    It takes what Python itself has then; loading the other takes a tenth of a short answer.
    """
    name = "typing_extensions"
    sys.modules.setdefault(name, None)  # type: ignore[arg-type]  # Python's sign for not there
    try:
        import msgspec  # noqa: F401
    finally:
        if sys.modules[name] is None:
            del sys.modules[name]


def _run(line: PlainLine | None, looked: Looked | None) -> None:
    """Load the rest, while Ctrl-C ends it in silence, and run it."""
    import signal

    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if ours:  # a shell that starts it with & ignores Ctrl-C, and so it stays
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    # Nothing that is loaded is garbage; looking for some takes as long as half of the answer.
    gc.disable()
    gc.set_threshold(_SELDOM)
    _load_msgspec()
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
