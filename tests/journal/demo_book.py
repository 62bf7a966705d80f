"""The demo book for its tests: as it was made, and as it is on whatever day it is opened."""

from datetime import date, datetime
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

from tracker.core.replay.replay import replay
from tracker.journal.demo_copy import moved
from tracker.journal.read import read_book

ROOT = Path(__file__).parents[2]
HOME = ROOT / "demo_events"
LAST = date(2026, 11, 20)
BERLIN = ZoneInfo("Europe/Berlin")


def lines():
    """The lines of every writer's file."""
    return [
        line
        for file in sorted((HOME / "events").glob("*.jsonl"))
        for line in file.read_bytes().splitlines()
    ]


@cache
def opened_on(day, zone=BERLIN, hour=12):
    """Its entries, opened at an hour of a day."""
    return tuple(moved(lines(), datetime(day.year, day.month, day.day, hour, tzinfo=zone)))


@cache
def shelf_on(day):
    """The shelf on a day."""
    return replay(opened_on(day))


@cache
def as_made():
    """Its entries as the files have them."""
    placed, damages = read_book(HOME)
    assert not damages
    return tuple(one.entry for one in placed)
