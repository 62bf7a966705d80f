"""The same jars with the library eventsourcing: an aggregate each, stored in SQLite by it.

    python scripts/speed/eventsourced_shelf.py write EVENTS_FOLDER DATABASE
    python scripts/speed/eventsourced_shelf.py replay DATABASE

Written the way its own documentation does: methods that are events, an application, its SQLite
recorder and its JSON transcoder. Replaying answers less than `due` does: which jars stand, and when
each was shaken last.
"""

import json
import os
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any
from uuid import UUID

from eventsourcing.application import Application
from eventsourcing.domain import Aggregate, event

_AT_ONCE = 200  # jars saved in one transaction


class Jar(Aggregate):
    """A jar, from its charge on."""

    @event("Charged")
    def __init__(self, code: str, herb: str, herb_g: float, when: str) -> None:
        self.code, self.herb, self.herb_g, self.charged = code, herb, herb_g, when
        self.shaken = ""
        self.stands = True
        self.others = 0

    @event("Shaken")
    def shake(self, when: str) -> None:
        """It was shaken."""
        self.shaken = when

    @event("Pressed")
    def press(self, when: str, volume_ml: float) -> None:
        """It was pressed, and stands no longer."""
        self.stands, self.pressed, self.pressed_ml = False, when, volume_ml

    @event("Recorded")
    def record(self, when: str, kind: str, data: Mapping[str, Any]) -> None:
        """Something else about it was recorded."""
        self.others += 1


class Shelf(Application[UUID]):
    """Every jar."""

    def last_shaken(self, jars: Iterable[UUID]) -> dict[str, str]:
        """When each jar that stands was shaken last."""
        found: Iterable[Jar] = (self.repository.get(one) for one in jars)
        return {jar.code: jar.shaken for jar in found if jar.stands}


def write(events: Path, shelf: Shelf) -> list[UUID]:
    """Store the events of a plain book; returns the ids of its jars."""
    jars: dict[str, Jar] = {}
    for path in sorted(events.glob("*.jsonl")):
        with path.open("rb") as file:
            for line in file:
                _take(jars, json.loads(line))
    kept = list(jars.values())
    for start in range(0, len(kept), _AT_ONCE):
        shelf.save(*kept[start : start + _AT_ONCE])
    return [one.id for one in kept]


def _take(jars: dict[str, Jar], said: dict[str, Any]) -> None:
    data, when = said["data"], said["time"]
    match said["type"]:
        case "charged":
            jars[said["id"]] = Jar(data["code"], data["herb"], data["herb_g"], when)
        case "shaken":
            for jar_id in data["jars"]:
                jars[jar_id].shake(when)
        case "pressed":
            jars[data["about"]["jar"]].press(when, data["volume_ml"])
        case kind:
            jars[data["about"]["jar"]].record(when, kind, data)


def main() -> None:
    """Write or replay."""
    verb, *places = sys.argv[1:]
    database = Path(places[-1])
    ids = database.with_suffix(".ids")
    os.environ |= {
        "PERSISTENCE_MODULE": "eventsourcing.sqlite",
        "SQLITE_DBNAME": str(database),
    }
    shelf = Shelf()
    if verb == "write":
        ids.write_text(" ".join(map(str, write(Path(places[0]), shelf))))
    else:
        print(len(shelf.last_shaken(map(UUID, ids.read_text().split()))), "jars stand")


if __name__ == "__main__":
    main()
