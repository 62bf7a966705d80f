"""A year of mornings on the demo book: every digest as the maker would see it, pinned.

    python tests/golden/test_a_year_of_digests.py     writes the file anew; then read it

Each hour of each day is asked whether it is time, and what is said is what a book that ends
on the evening before gives.
"""

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

import pytest  # noqa: E402
from dateutil.relativedelta import relativedelta  # noqa: E402

from tracker.config.practice_file import read_practice  # noqa: E402
from tracker.core.facts.entry import Entry  # noqa: E402
from tracker.core.practice.practice import Practice  # noqa: E402
from tracker.core.replay.families import clusters, families  # noqa: E402
from tracker.core.replay.replay import lives_of, replay  # noqa: E402
from tracker.core.rules.morning import Told, after_telling, is_time, lines_to_say, mark  # noqa: E402
from tracker.core.rules.reminders import DAILY, Due, due  # noqa: E402
from tracker.core.shelf.jar import Jar  # noqa: E402
from tracker.core.shelf.thing import Batch  # noqa: E402
from tracker.daemon.deliver import notice  # noqa: E402
from tracker.daemon.notify import Terminal  # noqa: E402
from tracker.journal.read import read_book  # noqa: E402

BOOK = ROOT / "demo_events"
GOLDEN = Path(__file__).with_name("a_year_of_digests.txt")
FIRST, LAST = date(2025, 11, 20), date(2026, 11, 19)
ZONE = ZoneInfo("Europe/Berlin")
DAY = timedelta(days=1)

# How a shake is asked for: never more than when the last one was.
ASKED = (
    "last shaken ",
    "not shaken since the charge on ",
    "not shaken since it began to steep",
)


@dataclass(frozen=True)
class Morning:
    """One day: the shelf as the evening before left it, and every digest of that day."""

    day: date
    jars: list[Batch]
    told: Told  # before
    digests: list[list[Due]]


def year(practice: Practice) -> Iterator[Morning]:
    """Every day of the year, one remembering what the ones before it said."""
    entries = [one.entry for one in read_book(BOOK)[0]]
    own = families(entries, lambda entry: entry)
    kin = {
        group: [entry for jar_id in group for entry in own[jar_id]]
        for group in clusters(own, entries)
    }
    shelf = {group: _as_of(group, lines, FIRST - DAY) for group, lines in kin.items()}
    told, day = Told(), FIRST
    while day <= LAST:
        # Only what something happened to on the day before can have changed.
        for group, lines in kin.items():
            if any(entry.when.earliest == day - DAY for entry in lines):
                shelf[group] = _as_of(group, lines, day - DAY)
        jars = [jar for group in shelf.values() for jar in group]
        before, digests = told, []
        for hour in range(24):
            now = datetime.combine(day, time(hour, 45), ZONE)
            if is_time(now, practice, told):
                said_now = lines_to_say(jars, practice, day, told)
                told = after_telling(told, said_now, day)
                digests.append(said_now)
        yield Morning(day, jars, before, digests)
        day += DAY


def _as_of(kin: tuple[str, ...], entries: list[Entry], day: date) -> list[Batch]:
    """The jars that flow into each other, as they stood on an evening."""
    return list(lives_of(kin, entries, day).batches.values())


@pytest.fixture(scope="module")
def practice() -> Practice:
    return read_practice(BOOK)


@pytest.fixture(scope="module")
def mornings(practice) -> list[Morning]:
    return list(year(practice))


class _Page:
    """Gathers what a terminal would show."""

    encoding = "utf-8"

    def __init__(self) -> None:
        self.text = ""

    def write(self, text: str) -> None:
        self.text += text

    def flush(self) -> None:
        """Nothing waits."""


def as_text(mornings: list[Morning]) -> str:
    """Every digest under its day; a silent day is one line."""
    page = _Page()
    for morning in mornings:
        page.write(f"{morning.day:%Y-%m-%d}\n")
        for lines in morning.digests:
            if lines:
                Terminal(page).deliver(notice(lines))
            else:
                page.write("(nothing)\n")
    return page.text


def said(morning: Morning) -> list[Due]:
    return [line for lines in morning.digests for line in lines]


def test_the_year_reads_as_it_did(mornings):
    assert as_text(mornings) == GOLDEN.read_text(encoding="utf-8")


@pytest.mark.parametrize("number", [0, 100, 200, 300, 364])
def test_the_shelf_of_a_morning_is_the_whole_book_replayed_through_the_evening(mornings, number):
    """So that nothing is carried on wrongly from one day of the story to the next."""
    entries = [one.entry for one in read_book(BOOK)[0]]
    morning = mornings[number]
    shelf = replay(entries, through=morning.day - DAY)
    replayed = shelf.jars | shelf.blends

    assert {jar.id: jar for jar in morning.jars} == replayed


def test_no_day_has_more_than_one_digest_and_each_has_its_turn(mornings):
    assert {len(morning.digests) for morning in mornings} == {1}
    assert len(mornings) == 365


def test_no_jar_is_named_twice_in_a_digest(mornings):
    for morning in mornings:
        assert max(Counter(line.code for line in said(morning)).values(), default=1) == 1


def test_what_is_said_once_is_said_once(mornings):
    once = Counter(
        mark(line) for morning in mornings for line in said(morning) if line.what not in DAILY
    )

    assert once.most_common(1)[0][1] == 1


def test_no_jar_is_scolded(mornings):
    """A shake that was not done is asked for with the last one named, never counted up."""
    words = " ".join(line.why for morning in mornings for line in said(morning)).lower()

    assert not [
        word
        for word in ("missed", "overdue", "should have", "forgot", "late")
        if word in words.split()
    ]
    for morning in mornings:
        for line in said(morning):
            if line.what == "shake":
                assert line.why.startswith(ASKED)


def test_nothing_due_is_missed(mornings, practice):
    """Each day's due list, made afresh: every line is said that day, or was said before."""
    for morning in mornings:
        today = {(line.code, line.what) for line in said(morning)}
        for line in due(morning.jars, practice, morning.day):
            was_said = line.what not in DAILY and mark(line) in morning.told.said
            assert was_said or (line.code, line.what) in today, (morning.day, line)


def test_every_jar_that_became_ready_on_the_shelf_was_said_to_be(mornings):
    """The day reckoned by dateutil from the charge, not by our own calendar arithmetic."""
    ready_said = {
        line.code: morning.day
        for morning in mornings
        for line in said(morning)
        if line.what == "ready"
    }
    became_ready = {}
    for morning in mornings[1:]:
        for jar in morning.jars:
            if not isinstance(jar, Jar):
                continue
            wait = relativedelta(months=jar.least.months, days=jar.least.days)
            last_herb = jar.charged.latest
            if jar.is_macerating and last_herb + wait == morning.day:
                became_ready[jar.code] = morning.day

    unsaid = {code: day for code, day in became_ready.items() if code not in ready_said}
    on_hold = {line.code for morning in mornings for line in said(morning) if line.what in DAILY}
    assert len(became_ready) > 10
    assert set(unsaid) <= on_hold
    for code in became_ready.keys() - unsaid.keys():
        assert ready_said[code] >= became_ready[code]


if __name__ == "__main__":
    GOLDEN.write_text(as_text(list(year(read_practice(BOOK)))), encoding="utf-8")
