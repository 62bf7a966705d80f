"""Years of daemons at speed: two machines, one book, and clocks, disks and processes that fail.

The real `tick` with a clock that is told what time it is. A jar with a bare metal lid makes every
day one on which something is due; what is expected is reckoned from the clock's own days alone.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from errno import ENOSPC
from pathlib import Path
from random import Random
from shutil import rmtree
from unittest.mock import patch
from zoneinfo import ZoneInfo

from tests.lives import a_charge
from tracker.bench.bench import Bench
from tracker.bench.record import record
from tracker.core.facts.amendments import Struck
from tracker.core.facts.extracts import Discarded
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Shaken
from tracker.core.facts.kinds import AnyFact
from tracker.core.rules.recorded import Draft
from tracker.core.values.errors import TrackerError
from tracker.core.values.times import moment
from tracker.daemon import told
from tracker.daemon.deliver import MARKS
from tracker.daemon.notify import Chain, NotDelivered, Notice
from tracker.daemon.ticker import DaemonMemory, tick

BEGIN = datetime(2024, 2, 1, 6, tzinfo=UTC)
LID = "LID-24-01"
LONGEST = timedelta(days=120)
JARS = 20
ZONES = ("Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Pacific/Apia")
HOURS = (("08:00", "08:00", "21:00"), ("02:30", "02:30", "22:00"), ("18:30", "07:00", "23:00"))
# After which a clock that was set wrongly stands: some days later, so that it seldom stands on one
# day twice; a day whose mark a full disk lost would be told again.
WRONG = (
    datetime(1970, 1, 1, 10, tzinfo=UTC),
    datetime(2013, 5, 5, 10, tzinfo=UTC),
    datetime(2038, 1, 19, 12, tzinfo=UTC),
    datetime(2106, 2, 7, 12, tzinfo=UTC),
    datetime(2031, 6, 1, 12, tzinfo=UTC),
)
DAMAGES: tuple[Callable[[Path, Random], object], ...] = (
    lambda file, chance: file.write_bytes(chance.randbytes(400)),
    lambda file, chance: file.write_bytes(b""),
    lambda file, chance: file.write_bytes(b"[" * 100_000),
    lambda file, chance: file.write_text('{"last_digest": 7, "said": [], "digests": {}}'),
    lambda file, chance: file.write_text('{"last_digest": "2099-01-01", "said": {"a": "x"}}'),
    lambda file, chance: file.mkdir(),
    lambda file, chance: None,  # deleted
)


class Killed(BaseException):
    """The process ended here, as a power cut ends it."""


class MachineBench(Bench):
    """The book as one machine sees it: its own clock, zone and state."""

    machine: "Machine"

    def now(self) -> datetime:
        """What its clock shows."""
        return self.machine.local


@dataclass
class Machine:
    """One machine: its clock, its daemon's memory, and what it told on which of its days."""

    name: str
    zone: ZoneInfo
    bench: MachineBench
    chance: Random
    now: datetime = BEGIN
    ahead: timedelta = timedelta()
    asleep_until: datetime = BEGIN
    kept: DaemonMemory = field(default_factory=DaemonMemory)
    is_disk_full: bool = False
    fault: str = ""
    told: Counter[date] = field(default_factory=Counter)
    excused: Counter[date] = field(default_factory=Counter)
    awake: set[date] = field(default_factory=set)
    bodies: list[tuple[date, str]] = field(default_factory=list)
    recorded_ahead: list[tuple[str, str, datetime]] = field(default_factory=list)

    name_of_channel = "screen"

    @property
    def local(self) -> datetime:
        """What its clock shows, in its zone."""
        return (self.now + self.ahead).astimezone(self.zone)

    @property
    def marks(self) -> Path:
        """Its delivery marks."""
        return self.bench.state / MARKS

    def restart(self) -> None:
        """Another process, which knows only what is on the disk: other days may be told again."""
        self.kept = DaemonMemory()
        on_disk = told.read_told(self.marks).days
        for day, times in self.told.items():
            if day not in on_disk:
                self.excused[day] = max(self.excused[day], times)


class Screen:
    """The channel: takes the notice, or dies before or after it did."""

    name = "screen"

    def __init__(self, machine: Machine) -> None:
        self.machine = machine

    def deliver(self, notice: Notice) -> None:
        """Show it."""
        one = self.machine
        if one.fault == "refused":
            raise NotDelivered(self.name, "nobody is there")
        if one.fault == "channel":
            raise RuntimeError("a channel with a fault of its own")
        if one.fault == "before":
            raise Killed
        day = one.local.date()
        one.told[day] += 1
        one.bodies.append((day, notice.body))
        if one.fault == "after":
            raise Killed


class LongClock:
    """The whole: true time goes on, and everything else goes wrong now and then."""

    def __init__(self, home: Path, seed: int) -> None:
        self.chance = Random(seed)
        self.home, self.book = home, home / "book"
        self.counts: Counter[str] = Counter()
        self.charged: dict[str, tuple[str, date]] = {}
        self.gone: set[str] = set()
        (self.book / "events").mkdir(parents=True)
        digest, first, last = self.chance.choice(HOURS)
        self.hour, self.last = time.fromisoformat(digest), time.fromisoformat(last)
        (self.book / "practice.toml").write_text(
            f'[reminders]\ndigest = "{digest}"\n"waking from" = "{first}"\n'
            f'"waking until" = "{last}"\n'
        )
        self.machines = [self._machine(name) for name in ("anna", "bo")]
        with self._as_writer(self.machines[0]):
            self._charge(self.machines[0], LID, lid="metal")

    def _machine(self, name: str) -> Machine:
        bench = MachineBench(
            self.book, cache=self.home / name / "cache", state=self.home / name / "state"
        )
        one = Machine(name, ZoneInfo(self.chance.choice(ZONES)), bench, self.chance)
        bench.machine = one
        bench.state.mkdir(parents=True)
        return one

    def live(self, days: int) -> None:
        """So many days, hour by hour or so."""
        now = max(one.now for one in self.machines)
        end = now + timedelta(days=days)
        while now < end:
            now += timedelta(minutes=self.chance.randint(40, 260))
            for one in self.machines:
                one.now = now
                if now >= one.asleep_until:
                    self._what_happens(one)
                    self._beat(one)

    # One machine

    def _what_happens(self, one: Machine) -> None:
        chance = self.chance
        if chance.random() < 0.01:
            longest = chance.choice((10, 30, 200, 1500))
            one.asleep_until = one.now + timedelta(hours=chance.randint(5, longest))
        if chance.random() < 0.004:
            wrong = chance.choice(WRONG) - one.now + timedelta(hours=chance.randint(0, 50_000))
            near = timedelta(hours=chance.choice((-30, -5, 5, 30)), days=chance.choice((0, 400)))
            one.ahead = chance.choice((wrong, near))
            self.counts["clock set wrongly"] += 1
        elif one.ahead and chance.random() < 0.12:
            one.ahead = timedelta()
        if chance.random() < 0.01:
            one.restart()
            self.counts["restarted"] += 1
        if chance.random() < 0.006:
            one.is_disk_full = not one.is_disk_full
        if chance.random() < 0.006:
            self._damage(one)
        if chance.random() < 0.15:
            with self._as_writer(one), suppress(TrackerError):
                self._work(one)

    def _damage(self, one: Machine) -> None:
        self._clear(one)
        self.chance.choice(DAMAGES)(one.marks, self.chance)
        self.counts["marks damaged"] += 1
        if one.kept.told is None:  # a process that has told nothing yet knows only these
            one.restart()

    @staticmethod
    def _clear(one: Machine) -> None:
        if one.marks.is_dir():
            rmtree(one.marks)
        one.marks.unlink(missing_ok=True)

    def _beat(self, one: Machine) -> None:
        one.fault = ""
        if self.chance.random() < 0.05:
            faults = ("before", "after", "refused", "channel", "before the mark", "after the mark")
            one.fault = self.chance.choice(faults)
        elif self.chance.random() < 0.02:
            one.fault = "practice"
        if one.marks.is_dir() and self.chance.random() < 0.1:
            self._clear(one)
        if one.fault in ("", "after", "after the mark") and self._is_in_window(one):
            one.awake.add(one.local.date())
        self.counts["beats"] += 1
        try:
            with self._disk(one), self._practice(one):
                tick(one.bench.fresh(), Chain([Screen(one)]), one.kept)
        except Killed:
            self.counts[f"killed {one.fault}"] += 1
            one.restart()

    def _is_in_window(self, one: Machine) -> bool:
        """Well past the hour, even where clocks changed, and well before the night."""
        now = one.local
        since = datetime.combine(now.date(), self.hour, one.zone) + timedelta(hours=1, minutes=1)
        is_there = now.date() >= self.charged[LID][1]
        return is_there and since.time() <= now.time() < self.last

    @contextmanager
    def _disk(self, one: Machine) -> Iterator[None]:
        real = told.write_whole

        def write(file: Path, contents: bytes, *, mode: int = 0o600) -> None:
            if file.name == MARKS and one.fault == "before the mark":
                raise Killed
            if one.is_disk_full:
                raise OSError(ENOSPC, "No space left on device")
            real(file, contents, mode=mode)
            if file.name == MARKS and one.fault == "after the mark":
                raise Killed

        with patch.object(told, "write_whole", write):
            yield

    @contextmanager
    def _practice(self, one: Machine) -> Iterator[None]:
        if one.fault != "practice":
            yield
            return
        file = self.book / "practice.toml"
        text = file.read_text()
        file.write_text(self.chance.choice(("digest = \n", "\x00", "[reminders]\ndigest = 7\n")))
        try:
            yield
        finally:
            file.write_text(text)

    # The book

    @contextmanager
    def _as_writer(self, one: Machine) -> Iterator[None]:
        with patch.dict("os.environ", {"STILLROOM_WRITER": one.name}):
            yield

    def _work(self, one: Machine) -> None:
        alive = [code for code in self.charged if code not in self.gone and code != LID]
        if one.recorded_ahead and not one.ahead:
            code, event, _ = one.recorded_ahead.pop()
            self._record(one, code, Struck(event=event, jars=(self.charged[code][0],), why="clock"))
            self.counts["struck what was dated ahead"] += 1
        elif len(alive) < JARS and not one.ahead:
            self._charge(one, f"JAR-{len(self.charged):05d}")
        elif alive and (one.ahead or self.chance.random() < 0.9):
            code = self.chance.choice(alive)
            event = self._record(one, code, Shaken(jars=(self.charged[code][0],)))
            if one.ahead > timedelta(days=1):
                one.recorded_ahead.append((code, event, one.local))
                self.counts["recorded ahead"] += 1
        elif alive:
            code = self.chance.choice(alive)
            about = About(jar=self.charged[code][0])
            self._record(one, code, Discarded(about=about, why="used for compost"))
            self.gone.add(code)

    def _charge(self, one: Machine, code: str, lid: str | None = None) -> None:
        charge = a_charge(code=code, lid=lid, longest=f"P{LONGEST.days}D", least="P28D")
        self.charged[code] = (self._record(one, code, charge), one.local.date())

    def _record(self, one: Machine, code: str, fact: AnyFact) -> str:
        draft = Draft(one.bench.new_id(), code, moment(one.local), fact)
        record(one.bench, [draft], sure=True)
        self.counts["recorded"] += 1
        return draft.id

    # What came of it

    def broken(self) -> list[str]:
        """What was promised and not kept, in words; empty where all was kept."""
        found = []
        for one in self.machines:
            for day in sorted(one.awake | set(one.told)):
                times, most = one.told[day], 1 + one.excused[day]
                # A clock set back over midnight has told tomorrow's digest already.
                next_day = one.told[day + timedelta(days=1)] > 0
                if day in one.awake and times == 0 and not next_day:
                    found.append(f"{one.name} {day}: nothing was told")
                if times > most:
                    found.append(f"{one.name} {day}: told {times} times, at most {most} allowed")
            found += [
                f"{one.name} {day}: {LID} was not in it"
                for day, body in one.bodies
                if day >= self.charged[LID][1] and f"{LID}:" not in body
            ]
        return found

    def summary(self) -> str:
        """The counts."""
        told_all = sum(sum(one.told.values()) for one in self.machines)
        twice = sum(times - 1 for one in self.machines for times in one.told.values())
        days = sum(len(one.awake) for one in self.machines)
        counts = ", ".join(f"{name} {many}" for name, many in sorted(self.counts.items()))
        zones = ", ".join(str(one.zone) for one in self.machines)
        return f"{zones}: {told_all} digests on {days} days awake, {twice} repeats; {counts}"
