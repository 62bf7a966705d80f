"""The published tables as they were taken over, with their sources in their first lines."""

import csv
from pathlib import Path

DATA = Path(__file__).with_name("data")


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table by the names of its columns."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))
