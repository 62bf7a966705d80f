"""Every output of the installed command, as text, of one thing of a book on a day."""

import csv
import io
import json
import re
import tempfile
from collections.abc import Iterator
from datetime import datetime, tzinfo
from pathlib import Path
from unittest.mock import patch
from xml.etree import ElementTree

import msgspec

from tests.command import Command
from tests.journal.on_disk import write
from tests.outputs.paper.reading import text_of
from tests.outputs.reading import page_tree
from tests.outputs.shelves import Told
from tracker import clock
from tracker.cli.desk import Desk
from tracker.cli.verbs.paper.batch_record import batch_record
from tracker.core.rules.morning import Told as Marks
from tracker.daemon.deliver import tell
from tracker.daemon.notify import Chain, Notice

# What is asked of one thing: CODE is its own, JAR that of the jar or blend it is of, HERB its
# first plant, OUT a file to be written.
OUTPUTS = {
    "show": "show CODE",
    "show json": "show CODE --json",
    "history": "history JAR",
    "history json": "history JAR --json",
    "trace": "trace CODE",
    "trace json": "trace CODE --json",
    "batches": "batches HERB",
    "batches json": "batches HERB --json",
    "batches csv": "batches HERB --csv",
    "record": "record JAR",
    "record json": "record JAR --json",
    "record on paper": "record JAR --pdf --to OUT.pdf",
    "timeline": "timeline JAR",
    "timeline json": "timeline JAR --json",
    "timeline svg": "timeline JAR --to OUT.svg",
    "timeline html": "timeline JAR --to OUT.html",
    "label": "label CODE --no-record --to OUT.pdf",
    "lid": "label CODE --lid --no-record --to OUT.pdf",
    "short label": "label CODE --short --no-record --to OUT.pdf",
    "handout": "handout CODE --to OUT.pdf",
    # Of the shelf
    "shelf": "shelf",
    "done": "shelf --done",
    "shelf json": "shelf --done --json",
    "shelf csv": "shelf --done --csv",
    "stock": "stock",
    "stock json": "stock --json",
    "stock csv": "stock --csv",
    "due": "due",
    "due json": "due --json",
    "due csv": "due --csv",
    "season": "season",
    "season json": "season --json",
    "season svg": "season --to OUT.svg",
    "season html": "season --to OUT.html",
    "supply": "supply",
    "supply json": "supply --json",
    "supply svg": "supply --to OUT.svg",
    "supply html": "supply --to OUT.html",
    "pressings": "yields --by-method",
    "pressings json": "yields --by-method --json",
    "pressings svg": "yields --by-method --to OUT.svg",
    "yields": "yields",
    "yields json": "yields --json",
    "yields csv": "yields --csv",
    "pressings html": "yields --by-method --to OUT.html",
    "sheet": "stocktake --sheet",
    "sheet json": "stocktake --sheet --json",
    "page": "page --to OUT.html",
    "calendar": "calendar",
    "message": "",
    "completion": "completion words bash show CODE",
}


class _Phone:
    """A channel that takes every notice and keeps it."""

    name = "phone"

    def __init__(self) -> None:
        self.notices: list[Notice] = []

    def deliver(self, notice: Notice) -> None:
        self.notices.append(notice)


class House:
    """A book with the entries of a shelf, and a clock that stands at nine in the morning."""

    def __init__(self, told: Told, today: str) -> None:
        self.told, self.today = told, today
        self.command = Command(Path(tempfile.mkdtemp()))
        self.command.practice('zone = "Europe/Berlin"\n')
        write(self.command.book, told.entries)
        self.command.ok("shelf")  # a read model that is made while time stands has its own days

    def says(self, output: str) -> str:
        """What one output says, in small letters and with single blanks.

        Of data it is the names and values of all that is set: `on_hold` that is false is left out.
        """
        if output == "message":
            found = self._message()
        elif output == "record json":
            found = self._record_as_json()
        elif output == "completion":  # whose clock does not matter
            found = self._said(OUTPUTS[output])
        else:
            with patch.object(clock, "now", self._now):
                found = self._said(OUTPUTS[output])
        if output.endswith("json"):
            found = " ".join(_flat(json.loads(found), ""))
        if output.endswith("csv"):
            found = " ".join(_flat([*csv.DictReader(io.StringIO(found))], ""))
        return " ".join(found.lower().split())

    def _now(self, where: tzinfo) -> datetime:
        return datetime.fromisoformat(f"{self.today}T07:00Z").astimezone(where)

    def _said(self, line: str) -> str:
        batch = self.told.thing.batch
        out = self.command.home / "out"
        words = {"CODE": self.told.thing.code, "JAR": batch.code, "OUT": str(out)}
        words["HERB"] = f"'{batch.herb}'"
        filled = re.sub("|".join(words), lambda one: words[one[0]], line)
        run = self.command.installed if line.startswith("completion") else self.command.run
        answer = run(filled)
        assert answer.code == 0, (line, answer.err)
        if "OUT" not in line:
            said = answer.out.replace("\r\n ", "").replace("\\,", ",").replace("\\;", ";")
            is_data = line.endswith(("--json", "--csv"))
            return (said or "[]") if is_data else said + answer.err
        (file,) = self.command.home.glob("out.*")
        return _text_of(file)

    def _record_as_json(self) -> str:
        """As the command has it: JSON takes no time of day that was frozen."""
        desk = Desk(self.command.bench(f"{self.today} 09:00"))
        _, record = batch_record(desk, self.told.thing.batch.code)
        return msgspec.json.encode(record).decode()

    def _message(self) -> str:
        phone = _Phone()
        bench = self.command.bench(f"{self.today} 09:00")
        tell(bench, Chain([phone]), bench.today(), remembered=Marks(), once_more=True)
        return "\n".join(f"{one.title}\n{one.body}" for one in phone.notices)


def _text_of(file: Path) -> str:
    """All that is written in a PDF, a page or a picture, which is then taken away."""
    found = file.read_bytes()
    file.unlink()
    if file.suffix == ".pdf":
        return text_of(found)
    tree = page_tree(found) if file.suffix == ".html" else ElementTree.fromstring(found)
    for one in tree.iter():
        if isinstance(one.tag, str) and one.tag.endswith("style"):
            one.text = ""
    return " ".join(tree.itertext())


def _flat(value: object, name: str) -> Iterator[str]:
    """Names and values of all that is set; what is true is its name alone."""
    if isinstance(value, dict):
        for key, one in value.items():
            yield from _flat(one, str(key).replace("_", " "))
    elif isinstance(value, list):
        for one in value:
            yield from _flat(one, name)
    elif value is True or value == "True":
        yield name
    elif value not in (None, False, "", "False"):
        yield f"{name} {value}"
