#!/usr/bin/env python3
"""How long 500 labels take, and how often the floor that is: the same texts and codes bare.

The floor is measured in the same run: the PDF library writing every text the labels hold, one
below the other without wrapping or fitting, and the QR library making every code. Fails above
five seconds or ten times the floor.
"""

import sys
import time
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from typing import Final

from tracker.core.practice.label_sheets import BUILT_IN
from tracker.core.practice.practice import Practice
from tracker.core.shelf.contents import Herb, Poured
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import Period, When
from tracker.outputs.paper.labels.label_pdf import printed
from tracker.outputs.paper.labels.label_text import Label, label
from tracker.outputs.paper.pen import Pen
from tracker.outputs.paper.qr import bars

COUNT: Final = 500
MOST_S: Final = 5.0
MOST_TIMES: Final = 10.0
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
            for place, line in enumerate((*one.lines, *one.foot)):
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


def main() -> int:
    """Measure and say; 1 where a limit is passed."""
    labels = contents()
    said = seconds(contents)
    made = seconds(lambda: printed(labels, BUILT_IN["a4"], NOW))
    floor = seconds(lambda: bare(labels))
    whole = said + made
    print(f"{COUNT} labels: {said:.2f} s to word, {made:.2f} s to print, {whole:.2f} s in all")
    print(f"floor {floor:.2f} s; printing is {made / floor:.1f} times that")
    return int(whole > MOST_S or made / floor > MOST_TIMES)


if __name__ == "__main__":
    sys.exit(main())
