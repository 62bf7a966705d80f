"""Jars to print labels of. Real plants; every code, person and place is invented."""

from datetime import UTC, date, datetime

from tests.lives import OneJar
from tracker.core.practice.practice import Practice
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
from tracker.outputs.paper.labels.label_lines import Label
from tracker.outputs.paper.labels.label_text import label, lid

TODAY = date(2025, 3, 10)
NOW = datetime(2025, 3, 10, 9, tzinfo=UTC)
PRACTICE = Practice()

# An epithet known for its length (from memory), and names that are long or written otherwise.
LONG_LATIN = "Ornithogalum adseptentrionesvergentulum"
HARD_NAMES = {
    "long": (
        "Great northern woolly-fruited mountain marigold of the upper meadows",
        LONG_LATIN,
    ),
    "one word": (
        "Donaudampfschifffahrtsgesellschaftskräutergartenringelblume",
        "Calendula arvensis",
    ),
    "umlauts": ("Süßer Fenchel für Ärzte in Übersee", "Foeniculum vulgare"),
    "arabic": ("زهرة آذريون الحدائق", "Calendula officinalis"),
    "hebrew": ("ציפורני חתול (מצוי)", "Calendula officinalis"),
    "chinese": ("金盏花药酒长名称测试金盏花药酒长名称测试", "Calendula officinalis"),
    "hindi": ("गेंदे का फूल", "Tagetes erecta"),
    "pdf syntax": ("(Marigold) Tj ET endstream \\) << /JS >> %PDF", "Calendula officinalis"),
}  # fmt: skip


def jar_of(**changes: object) -> Jar:
    """A jar just charged, with other values in its charge."""
    return OneJar.charged(**changes).now()


def thing_of(**changes: object) -> Thing:
    jar = jar_of(**changes)
    return Thing(jar.code, jar)


def label_of(**changes: object) -> Label:
    return label(thing_of(**changes), PRACTICE, TODAY)


def lid_of(**changes: object) -> Label:
    return lid(thing_of(**changes), PRACTICE, TODAY)


def many(count: int) -> list[Label]:
    return [label_of(code=f"JARS-25-{number:03d}") for number in range(1, count + 1)]
