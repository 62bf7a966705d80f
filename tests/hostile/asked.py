"""Everything that can be asked of a book, and what holds of every answer whatever the book is."""

import json
import math
import warnings
from collections.abc import Iterable
from pathlib import Path
from xml.etree import ElementTree

import html5lib
from icalendar import Calendar
from pypdf import PdfReader

from tests.command import Answer, Command

# Every verb that asks, on the whole book. `{code}` is asked of some codes of the book.
OF_ALL = (
    "shelf", "shelf --done", "shelf --done --json", "shelf --csv", "shelf --belongs P03",
    "shelf --on 2199-12-31 --done", "shelf --on 1900-01-01 --json", "stock", "stock --json",
    "stock --csv", "stock --cost", "stock --cost --json", "stock --on 2199-12-31", "due",
    "due --json", "due --csv", "due --on 2199-12-31", "due --on 1900-01-01 --json", "lots",
    "lots --all --json", "lots --all --csv", "lots --all", "season", "season --json",
    "season --months 24 --on 2199-12-31", "supply", "supply --json", "supply --on 2199-12-31",
    "yields --by-method", "yields --by-method --json", "yields", "yields --json", "yields --csv",
    "yields Calendula", "yields --on 2199-12-31", "batches calendula",
    "batches calendula --json --last 50", "batches calendula --csv", "trace --for P03",
    "trace --for C03 --json", "recall", "recall --json", "calendar", "page",
    "page --on 2199-12-31", "check", "check --json", "check --digest", "remind --plain",
    "practice --json", "handout --to handout.pdf --title Herbs",
    "stocktake --sheet", "history", "history --json", "history --on 2199-12-31", "undo --list",
    "undo --list --json",
    "shelf --kind tincture --herb calendula", "stock --place cellar --json", "due --all",
    "lots --on 1900-01-01 --json", "trace --for C03 --on 2199-12-31",
    "mix --to 60% --from 96% --from water --volume 1l",
    "size 100g --dried --ratio 1:5 --of Calendula",
)  # fmt: skip
OF_ONE = (
    "show", "show --json", "show --sources", "show --on 2199-12-31",
    "show --on 1900-01-01 --json", "history", "history --json", "timeline", "timeline --json",
    "trace", "trace --json", "trace --csv", "record", "record --json", "strength",
    "strength --json", "record --pdf --to r.pdf", "label --no-record --to l.pdf",
    "label --no-record --bottles --to b.pdf", "handout --to h.pdf",
    "label --no-record --lid --to d.pdf",
)  # fmt: skip
# What records, tried and not written; the pages of `enter` are beside them.
TRIED = (
    ("shake",), ("look", "--sign", "mould"), ("top-up", "--pour", "20 ml 45%"),
    ("add-herb", "--dried", "10g"), ("draw", "20ml"), ("move", "--place", "cellar"),
    ("press", "100ml"), ("press", "100ml", "--when", "2025-03-04"), ("filter", "90ml"),
    ("filter", "90ml", "--poured-off"), ("bottle", "1x10ml"),
    ("steep-again", "--pour", "100 ml 45%"),
    ("recharge", "Calendula", "--dried", "10g"), ("split", "--into", "2"), ("dispense", "1ml"),
    ("count", "50ml"), ("discard", "--why", "spilt"), ("hold", "--why", "see"),
    ("release", "--why", "seen"), ("note", "--note", "a remark"),
    ("dilute", "--pour", "1 ml water"), ("dilute", "--pour", "1 ml water", "--to", "300ml"),
    ("later", "shake", "--until", "2027-01-01"),
    ("correct", "--set", "volume=330ml", "--why", "misread"), ("strike", "--why", "misread"),
    ("undo",), ("undo", "--list"), ("correct", "--set", "herb=Melissa", "--why", "swapped"),
    ("correct", "--set", "day=monday", "--why", "misread"), ("press", "5ml", "--like", "."),
    ("shake", "--all"), ("shake", "--due"), ("move", "--lid", "glass"),
    ("move", "--place", "loft", "--all"), ("hold", "--all", "--why", "see"),
    ("release", "--all", "--why", "seen"), ("note", "--note", "so", "--when", "3 days ago"),
    ("recall", "--why", "called back"), ("dry", "5g"), ("restore", "--why", "found"),
)  # fmt: skip
TRYING = ("--dry-run", "--sure")


class BrokenError(AssertionError):
    """An answer that breaks what holds of every answer."""


def held_to(line: str, answer: Answer) -> None:
    """What holds of an answer, whatever is in the book.

    Raises:
        BrokenError: it ends otherwise than it may, or what it prints is not what it says it is.
    """
    if answer.code not in (0, 1, 2):
        raise BrokenError(f"{line}: ends with {answer.code}")
    if "Traceback" in answer.err:
        raise BrokenError(f"{line}: {answer.err}")
    if answer.code and not answer.err.strip() and not answer.out.strip():
        raise BrokenError(f"{line}: ends with {answer.code} and says nothing")
    if answer.out and "--json" in line:
        _finite(json.loads(answer.out, parse_constant=_no_number), line)
    verb = line.split()[0]
    if verb == "page" and answer.out:
        parser = html5lib.HTMLParser()
        parser.parse(answer.out)
        if parser.errors:
            raise BrokenError(f"{line}: no HTML, {parser.errors[:3]}")
    if verb == "calendar" and answer.out:
        Calendar.from_ical(answer.out)
    said = answer.out.split()
    if verb not in ("page", "history", "record") and any(one in ("nan", "inf") for one in said):
        raise BrokenError(f"{line}: a number that is none\n{answer.out}")


def _no_number(text: str) -> float:
    raise BrokenError(f"{text} in JSON")


def _finite(value: object, line: str) -> None:
    if isinstance(value, float) and not math.isfinite(value):
        raise BrokenError(f"{line}: a number without end")
    for part in value.values() if isinstance(value, dict) else ():
        _finite(part, line)
    for part in value if isinstance(value, list) else ():
        _finite(part, line)


def opened(file: Path) -> None:
    """A file that was written is what its name says."""
    if file.suffix == ".pdf":
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            assert len(PdfReader(file).pages) > 0
    if file.suffix == ".svg":
        ElementTree.parse(file)


def run(command: Command, line: str, *more: str) -> Answer:
    """One run, held to what holds of all; what it wrote is opened and taken away."""
    answer = command.run(line, *more)
    held_to(line, answer)
    for file in (*command.home.glob("*.pdf"), *command.home.glob("*.svg")):
        opened(file)
        file.unlink()
    return answer


def ask_all(command: Command, lines: Iterable[str] = OF_ALL) -> int:
    """Everything that can be asked of the whole book; how much that was."""
    asked = 0
    for line in lines:
        run(command, line)
        asked += 1
    return asked


def ask_of(command: Command, code: str, lines: Iterable[str] = OF_ONE) -> int:
    """Everything that can be asked about one code; how much that was."""
    asked = 0
    for line in lines:
        verb, _, options = line.partition(" ")
        run(command, f"{verb} {options}", "--", code)
        asked += 1
    return asked


def try_on(command: Command, code: str, lines: Iterable[tuple[str, ...]] = TRIED) -> int:
    """Everything that can be recorded about one code, tried and not written; how much that was."""
    tried = 0
    before = command.written()
    for verb, *words in lines:
        places = [one for one in words if not one.startswith("-")]
        own = [] if words[:1] and words[0].startswith("-") else places[:1]
        options = words[len(own) :]
        run(command, verb, *options, *TRYING, "--", code, *own)
        tried += 1
    assert command.written() == before, "what was only tried is in the book"
    return tried
