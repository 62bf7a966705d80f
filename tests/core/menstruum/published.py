"""The published tables beside these tests; each file's head names its source."""

import csv
import json
from pathlib import Path

DATA = Path(__file__).parent / "data"


def rows(name):
    """The rows of one table as tuples of numbers, without its head."""
    lines = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    table = csv.reader(line for line in lines if line and not line.startswith("#"))
    next(table)
    return [tuple(float(cell) for cell in row) for row in table]


def oiml_r22():
    """Coefficients of the general formula of OIML R 22, as transcribed."""
    return json.loads((DATA / "oiml_r22.json").read_text(encoding="utf-8"))
