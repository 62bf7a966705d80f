"""One digest: what is due and not yet told, delivered by the first channel that takes it."""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tracker.bench.bench import Bench
from tracker.bench.book_lock import HeldError, held
from tracker.bench.day_shelf import day_shelf
from tracker.core.rules.morning import Told, after_telling, lines_to_say, merged, without
from tracker.core.rules.reminders import CAN_WAIT, URGENT
from tracker.daemon.deliveries import note_delivered, note_failed
from tracker.daemon.notify import Chain, NotDelivered, Notice
from tracker.daemon.told import MARKS, read_told, write_told
from tracker.daemon.untold import forget_untold, keep_untold
from tracker.outputs.words.due.due_message import message_lines, message_title
from tracker.outputs.words.due.due_names import DueItem, with_names
from tracker.outputs.words.not_whole import incomplete

# As long as one channel after another may take to refuse.
_TELLING_S = 60.0

__all__ = ["MARKS", "Telling", "marks_of", "notice", "tell"]


@dataclass(frozen=True, slots=True)
class Telling:
    """What a digest said, and through which channel; no channel where nothing was due.

    `marks` are the marks after it; `unmarked` is why the disk did not take them. Where `missing`
    things are not as written in the book, they may be due as well, unseen.
    """

    lines: tuple[DueItem, ...]
    channel: str | None
    marks: Told
    unmarked: str | None = None
    missing: int = 0


def tell(
    bench: Bench,
    channels: Chain,
    today: date,
    *,
    remembered: Told | None = None,
    buttons: bool = False,
    once_more: bool = False,
) -> Telling:
    """Deliver what is due and not yet told, then mark it.

    Marking comes after delivery: killed between the two, a digest repeats once and is never
    lost. What no channel took is left for the next command to print. A book that is not whole
    and has nothing to say is not marked: what is missing may have.

    Args:
        bench: the book.
        channels: the ways to reach the maker, best first.
        today: the maker's day.
        remembered: marks that a full disk refused earlier.
        buttons: whether the daemon will wait for the answer.
        once_more: say what was said today as well.

    Raises:
        NotDelivered: no channel took it; nothing is marked.
    """
    with _one_at_a_time(bench.state):
        told = marks_of(bench, today, remembered)
        return _told(bench, channels, today, told, buttons=buttons, once_more=once_more)


@contextmanager
def _one_at_a_time(state: Path) -> Iterator[None]:
    """Keep `remind` and a daemon from delivering the same in the same second.

    Where no lock is to be had both do: a repeat is better than a line that is lost.
    """
    with ExitStack() as lock:
        with suppress(HeldError, OSError):
            folder, beside = state / "telling", state / "telling.lock"
            lock.enter_context(held(folder, beside=beside, timeout_s=_TELLING_S, make=True))
        yield


def _told(
    bench: Bench, channels: Chain, today: date, told: Told, *, buttons: bool, once_more: bool
) -> Telling:
    lines, missing = _to_say(bench, today, without(told, today) if once_more else told)
    if missing and not lines:
        return Telling((), None, told, missing=missing)
    # Made before anything is shown: after that only the disk may fail.
    marks = after_telling(told, [one.line for one in lines], today)
    channel = None
    if lines:
        digest = notice(lines, today, buttons=buttons, missing=missing)
        channel = _delivered(bench, channels, digest, lines, today)
    unmarked = None
    try:
        write_told(bench.state / MARKS, marks)
    except OSError as reason:
        unmarked = reason.strerror or str(reason)
    if channel is not None:
        forget_untold(bench.state)
        note_delivered(bench.state, bench.now(), channel, len(lines))
    return Telling(lines, channel, marks, unmarked, missing)


def _delivered(
    bench: Bench, channels: Chain, digest: Notice, lines: Sequence[DueItem], today: date
) -> str:
    """The channel that took the digest; its lines are left for the next command where none did."""
    try:
        channel = channels.deliver(digest)
    except NotDelivered as reason:
        note_failed(bench.state, bench.now(), reason.why)
        if unkept := _leave_for_the_next_command(bench, lines, today):
            both = f"{reason.why}; nor could it be kept for the next command: {unkept}"
            raise NotDelivered(reason.channel, both) from reason
        raise
    except Exception:  # a fault of ours in a channel must not hide the line as well
        _leave_for_the_next_command(bench, lines, today)
        raise
    return channel


def _to_say(bench: Bench, today: date, told: Told) -> tuple[tuple[DueItem, ...], int]:
    """What is to be said, and how many things in the book are not as written."""
    with bench.asking():
        shelf = day_shelf(bench, today)
        lines = lines_to_say(
            shelf.batches,
            bench.practice,
            today,
            told,
            stays=bench.stays(),
            not_held=bench.not_held(),
            ahead=shelf.ahead,
        )
        return with_names(lines, shelf.batches, bench.practice.names), bench.missing()


def marks_of(bench: Bench, today: date, remembered: Told | None = None) -> Told:
    """The delivery marks on disk, with those that a full disk refused."""
    on_disk = read_told(bench.state / MARKS)
    return on_disk if remembered is None else merged(on_disk, remembered, today)


def _leave_for_the_next_command(bench: Bench, lines: Sequence[DueItem], today: date) -> str | None:
    """Why it could not be left there, or None."""
    try:
        keep_untold(bench.state, lines, today)
    except (OSError, ValueError) as reason:
        return getattr(reason, "strerror", None) or str(reason)
    return None


def notice(
    items: Sequence[DueItem], today: date, *, buttons: bool = False, missing: int = 0
) -> Notice:
    """The lines as one message, the most pressing first; last, that the book is not whole."""
    lines = [one.line for one in items]
    to_shake = tuple(line.code for line in lines if line.what == "shake")
    can_wait = tuple(line.code for line in lines if line.what in CAN_WAIT)
    words = {"shaken": ("Shaken", to_shake), "later": ("Tomorrow", can_wait)}
    offered = {key: pair for key, pair in words.items() if buttons and pair[1]}
    said = message_lines(items, today)
    if missing:
        said.append(incomplete(missing))
    return Notice(
        title=message_title(items),
        body="\n".join(said),
        urgent=any(line.what in URGENT for line in lines),
        key="digest",
        actions=tuple((key, word) for key, (word, _) in offered.items()),
        codes={key: codes for key, (_, codes) in offered.items()},
    )
