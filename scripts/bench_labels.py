#!/usr/bin/env python3
"""How long 500 labels take, and how often the floor that is: the same texts and codes bare.

The floor is measured in the same run: the PDF library writing every text the labels hold, one
below the other without wrapping or fitting, and the QR library making every code. The verb is a
whole process, which finds 500 jars, prints their labels and records what they say; its floor is
that floor and a process that loads the libraries.
"""

import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).parent))

from bench_page import Home, said, used

from tracker.core.practice.label_sheets import BUILT_IN
from tracker.core.practice.practice import Practice
from tracker.core.shelf.contents import Herb, Poured
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import Period, When
from tracker.outputs.paper.labels.label_lines import Label
from tracker.outputs.paper.labels.label_pdf import printed
from tracker.outputs.paper.labels.label_text import label
from tracker.outputs.paper.pen import Pen
from tracker.outputs.paper.qr import bars

COUNT: Final = 500
MOST_S: Final = 2.0
MOST_TIMES: Final = 3.0
MOST_VERB_S: Final = 1.3 * MOST_S
MOST_VERB_TIMES: Final = 4.0
LIBRARIES: Final = "import fpdf, msgspec, pydantic, segno, typer"
NOW: Final = datetime(2026, 1, 5, 9, tzinfo=UTC)
HERBS: Final = (
    ("Calendula officinalis", "flower", "dried", 45.0),
    ("Melissa officinalis", "herb", "fresh", 95.0),
    ("Hypericum perforatum", "herb", "fresh", 70.0),
    ("Aconitum napellus", "root", "dried", 70.0),
)


def jar(number: int) -> Jar:
    """One of many jars, each with its own code and day."""
    herb, part, form, strength = HERBS[number % len(HERBS)]
    charged = When(datetime(2025, 1 + number % 12, 1 + number % 28, tzinfo=UTC), "day")
    return Jar(
        id=f"charge-{number:04d}",
        code=f"JARS-25-{number:03d}",
        herb=herb,
        part=part,
        form=form,
        charged=charged,
        preparation="spirit on dried herb",
        least=Period(3),
        herbs=(Herb(f"charge-{number:04d}", herb, form, 100.0, part),),
        pours=(Poured(charged, "ethanol", 500.0, strength),),
        lots=(f"lot {number}",),
    )


def contents() -> list[Label]:
    """What each of the labels says."""
    practice = Practice(page_address="https://shelf.example/")
    today = date(2026, 1, 5)
    jars = (jar(number) for number in range(1, COUNT + 1))
    return [label(Thing(one.code, one), practice, today) for one in jars]


def bare(labels: Sequence[Label]) -> None:
    """The same texts and codes by the two libraries alone."""
    with Pen("floor", NOW) as pen:
        for one in labels:
            pen.page(100, 100)
            for place, line in enumerate(one.every_line):
                pen.write(5, 5 + 5 * place, line.text, "", 8)
            assert one.qr is not None
            bars(one.qr, quick=True)
        pen.finished()


def seconds(work: Callable[[], object]) -> float:
    """Processor time, the least of three runs: other work on the machine does not count."""
    took = []
    for _ in range(3):
        began = time.process_time()
        work()
        took.append(time.process_time() - began)
    return min(took)


def verb_seconds(runs: int = 3) -> tuple[float, float]:
    """Processor time of `label` for all of them as a process, and of loading the libraries."""
    with tempfile.TemporaryDirectory() as folder:
        home = Home(Path(folder), COUNT)
        home.stillroom("due")  # makes the read model
        to = str(Path(folder) / "labels.pdf")
        took, loaded = [], []
        for _ in range(runs):
            took.append(home.stillroom("label", *home.codes, "--to", to, "--force")[0])
            loaded.append(used([sys.executable, "-c", LIBRARIES], home.env)[0])
    return min(took), min(loaded)


def figures() -> list[tuple[str, float, float]]:
    """Each figure by name, with its limit."""
    labels = contents()
    worded = seconds(contents)
    made = seconds(lambda: printed(labels, BUILT_IN["a4"], NOW))
    floor = seconds(lambda: bare(labels))
    verb, loaded = verb_seconds()
    return [
        (f"{COUNT} labels worded and printed, s", worded + made, MOST_S),
        (f"{COUNT} labels printed / floor", made / floor, MOST_TIMES),
        (f"label of {COUNT}, s", verb, MOST_VERB_S),
        (f"label of {COUNT} / floor", verb / (floor + loaded), MOST_VERB_TIMES),
    ]


if __name__ == "__main__":
    sys.exit(said(figures()))
