"""One digest: what is due and not yet told, delivered by the first channel that takes it."""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tracker.bench.bench import Bench
from tracker.bench.book_lock import HeldError, held
from tracker.bench.day_shelf import day_shelf
from tracker.core.rules.morning import Told, after_telling, is_urgent, lines_to_say, merged, without
from tracker.core.rules.reminders import CAN_WAIT
from tracker.daemon.deliveries import note_delivered, note_failed
from tracker.daemon.notify import Chain, NotDelivered, Notice
from tracker.daemon.told import MARKS, read_told, write_told
from tracker.daemon.untold import forget_untold, keep_untold
from tracker.outputs.words.due.due_message import MOST_LINES, message_of
from tracker.outputs.words.due.due_names import DueItem, with_names
from tracker.outputs.words.due.message_names import ShelfNames, shelf_names
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


@dataclass(frozen=True, slots=True)
class _ToSay:
    """What is to be said, what the shelf is called, and how much of the book is not as written."""

    lines: tuple[DueItem, ...]
    shelf: ShelfNames
    missing: int


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
    said = _to_say(bench, today, without(told, today) if once_more else told)
    lines, missing = said.lines, said.missing
    if missing and not lines:
        return Telling((), None, told, missing=missing)
    # Made before anything is shown: after that only the disk may fail.
    marks = after_telling(told, [one.line for one in lines], today)
    channel = None
    if lines:
        digest = notice(lines, today, said.shelf, told=told, buttons=buttons, missing=missing)
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


def _to_say(bench: Bench, today: date, told: Told) -> _ToSay:
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
        names = bench.practice.names
        items = with_names(lines, shelf.batches, names)
        others = shelf_names(shelf.batches, names) if items else ShelfNames(names)
        return _ToSay(items, others, bench.missing())


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
    items: Sequence[DueItem],
    today: date,
    shelf: ShelfNames | None = None,
    *,
    told: Told | None = None,
    buttons: bool = False,
    missing: int = 0,
) -> Notice:
    """The lines as one message, the most pressing first; last, that the book is not whole.

    Args:
        items: what is due.
        today: the maker's day.
        shelf: what else goes by the same names.
        told: the marks before it; what they hold is no longer urgent.
        buttons: whether somebody will wait for the answer.
        missing: how many things in the book are not as written.
    """
    message = message_of(items, today, shelf, most=MOST_LINES - bool(missing))
    # A press answers what was read: nobody records a shake of jars that had no line.
    to_shake = [one.line.code for one in items if one.line.what == "shake"]
    can_wait = [one.line.code for one in items if one.line.what in CAN_WAIT]
    words = {
        "shaken": (_shaken(len(to_shake)), to_shake if "shake" in message.groups else []),
        "later": ("Tomorrow" if len(can_wait) == len(items) else "The rest tomorrow", can_wait),
    }
    offered = {key: pair for key, pair in words.items() if buttons and pair[1]}
    heed = [incomplete(missing)] if missing else []
    marks = told or Told()
    return Notice(
        title=message.title,
        body="\n".join([*message.lines, *heed]),
        urgent=any(is_urgent(one.line, marks, today) for one in items),
        key="digest",
        actions=tuple((key, word) for key, (word, _) in offered.items()),
        codes={key: tuple(codes) for key, (_, codes) in offered.items()},
    )


def _shaken(number: int) -> str:
    match number:
        case 1:
            return "Shaken"
        case 2:
            return "Both shaken"
        case _:
            return f"All {number} shaken"
