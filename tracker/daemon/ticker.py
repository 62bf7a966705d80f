"""The daemon: a heartbeat that asks whether it is time, and delivers when it is."""

import logging
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

from tracker import clock
from tracker.bench.bench import Bench
from tracker.bench.book_lock import HeldError, held
from tracker.core.rules.morning import Told, is_time, without
from tracker.core.values.errors import BookError, TrackerError
from tracker.daemon.bell import Bell
from tracker.daemon.clock_doubt import clock_doubt
from tracker.daemon.complaints import Complaints
from tracker.daemon.deliver import marks_of, tell
from tracker.daemon.deliveries import note_failed
from tracker.daemon.notify import Chain, NotDelivered
from tracker.daemon.page_folder import PageMemory as KeptPage
from tracker.daemon.page_folder import keep_page
from tracker.garbage import give_back_memory
from tracker.outputs.words.not_whole import incomplete

if TYPE_CHECKING:
    from apscheduler.schedulers.background import BackgroundScheduler

HEARTBEAT_S = 30.0
LOCK = "daemon.lock"
# Longer than `reminders status` holds it to ask whether it is free.
_LOCK_WAIT_S = 0.5

# A beat on which there was nothing to do takes a hundredth of that.
_LONG_S = 0.1

_log = logging.getLogger("stillroom")


@dataclass
class DaemonMemory:
    """What one daemon remembers from tick to tick beside the marks on disk."""

    told: Told | None = None
    # The day of a digest that was made while the book was not whole.
    partial: date | None = None
    complaints: Complaints = field(default_factory=Complaints)
    doubts: Complaints = field(default_factory=Complaints)
    page: KeptPage = field(default_factory=KeptPage)
    # How long the last beat took.
    worked_s: float = 0.0


def tick(
    bench: Bench,
    channels: Chain | Callable[[Bench], Chain],
    kept: DaemonMemory | None = None,
    *,
    buttons: bool = False,
) -> None:
    """Deliver today's digest if it is time, and keep the page; what fails is tried again.

    Args:
        bench: the book, with the practice as it is now.
        channels: the ways to reach the maker, or what finds them by the practice.
        kept: what one daemon remembers.
        buttons: whether the daemon waits for an answer.
    """
    kept = kept or DaemonMemory()
    complaints = kept.complaints
    try:
        _tick(bench, channels, kept, buttons)
    except NotDelivered as reason:
        complaints.complain(f"the reminder could not be delivered: {reason}")
    except TrackerError as reason:
        complaints.complain(f"no digest: {reason}")
        note_failed(bench.state, clock.now(UTC), reason.what)
    except OSError as reason:  # without the file's name, which may be another each time
        complaints.complain(f"no digest: {reason.strerror or reason}")
    except Exception as reason:  # one bad morning must not end the mornings after it
        complaints.complain(f"no digest: {reason!r}", with_traceback=True)
    else:
        complaints.settled()
    keep_page(bench, kept.page)


def _tick(
    bench: Bench, channels: Chain | Callable[[Bench], Chain], kept: DaemonMemory, buttons: bool
) -> None:
    bench.must_be_begun()
    now = bench.now()
    told = marks_of(bench, now.date(), kept.told)
    # What the book lacked when the digest was made is there now, and may be due.
    once_more = kept.partial == now.date() and not bench.missing()
    if once_more:
        told = without(told, now.date())
    if not is_time(now, bench.practice, told):
        _log.debug("not time at %s", f"{now:%Y-%m-%d %H:%M:%S}")
        return
    if doubt := clock_doubt(told, now.date()):
        kept.doubts.complain(doubt)
    chain = channels if isinstance(channels, Chain) else channels(bench)
    done = tell(
        bench, chain, now.date(), remembered=kept.told, buttons=buttons, once_more=once_more
    )
    if done.missing and not done.lines:
        raise BookError(
            f"Nothing that can be read is due. {incomplete(done.missing)}",
            where=str(bench.book),
            do="bring back what is missing; the digest comes then.",
        )
    kept.told = done.marks
    kept.partial = now.date() if done.missing else None
    _log.info("told %d lines through %s", len(done.lines), done.channel)
    if done.unmarked and done.lines:
        _log.warning("told, but not marked: %s; a restart repeats it", done.unmarked)


def run(
    bench: Bench,
    channels: Callable[[Bench], Chain],
    *,
    heartbeat_s: float = HEARTBEAT_S,
    buttons: bool = False,
) -> None:
    """Tick until a signal says stop, and at once where the book changes. One daemon a book.

    The wall clock jumps, and stands still in sleep. So every beat is a job of its own for the
    scheduler, due at once, and the wait between two of them is on the monotonic clock: however
    far the clock jumps there is one beat to run and no list of missed ones.

    Raises:
        BookError: another daemon has this book.
    """
    from apscheduler.schedulers.background import BackgroundScheduler

    kept = DaemonMemory()

    def beat() -> None:
        began = monotonic()
        tick(bench.fresh(), channels, kept, buttons=buttons)
        kept.worked_s = monotonic() - began
        if kept.worked_s > _LONG_S:
            give_back_memory()

    with Bell(bench.book) as bell, _alone(bench):
        scheduler = BackgroundScheduler(timezone="UTC")
        scheduler.start()
        try:
            while not bell.is_over:
                bell.aim()
                if clock.is_readable():  # else no scheduler and no log works; it may be set right
                    _beat(scheduler, beat)
                bell.wait(heartbeat_s, worked_s=kept.worked_s)
        finally:
            scheduler.shutdown()


def _beat(scheduler: "BackgroundScheduler", work: Callable[[], None]) -> None:
    """Have a beat run at once, and not beside the one before it."""
    scheduler.add_job(
        work,
        "date",
        run_date=clock.now(UTC),
        id="beat",
        replace_existing=True,
        misfire_grace_time=None,
        coalesce=True,
        max_instances=1,
    )


def locks(bench: Bench) -> list[tuple[Path, Path]]:
    """The folders whose locks a daemon holds, and the file beside for each of them."""
    both = (bench.state, bench.state / LOCK), (bench.book, bench.state / f"book-{LOCK}")
    return [one for one in both if one[0].is_dir()]


@contextmanager
def _alone(bench: Bench) -> Iterator[None]:
    """Hold the lock of the book's folder, which the system frees however the process ends.

    By whichever path the book is named, it has one daemon. The state folder is locked as well:
    it is there before there is a book. One that cannot be made costs a lock, and no reminder.
    """
    with ExitStack() as lock:
        try:
            try:
                bench.state.mkdir(mode=0o700, parents=True, exist_ok=True)
            except OSError:
                if not locks(bench):
                    raise
            for folder, beside in locks(bench):
                lock.enter_context(held(folder, beside=beside, timeout_s=_LOCK_WAIT_S))
        except HeldError as reason:
            raise BookError(
                "A daemon already reminds about this book.",
                where=str(bench.book),
                do="leave it running; one is enough.",
            ) from reason
        except OSError as reason:
            raise BookError(
                f"The book cannot be locked: {reason.strerror or reason}.",
                where=f"{reason.filename or bench.book}",
                do="make sure that you may read that folder, then start the daemon again.",
            ) from reason
        yield
