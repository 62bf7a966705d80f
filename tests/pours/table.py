"""The table of pours: what each text is to be read as, and why."""

import csv
from dataclasses import dataclass
from pathlib import Path

from tracker.core.practice.practice import UnitSystem


@dataclass(frozen=True)
class Row:
    """One text, and what it is: read, asked about with readings, or refused."""

    text: str
    units: UnitSystem
    outcome: str
    liquid: str
    ml: float
    pct_vol: float | None
    glycerin_pct_mass: float | None
    name: str | None
    says: str

    @property
    def readings(self) -> list[str]:
        return self.says.split(" / ")


def _row(found: dict[str, str]) -> Row:
    pct = found["pct_vol"]
    return Row(
        text=found["text"],
        units="british" if found["units"] == "british" else "us",
        outcome=found["outcome"],
        liquid=found["liquid"],
        ml=float(found["ml"] or 0),
        pct_vol=None if pct == "unknown" else float(pct or 0),
        glycerin_pct_mass=float(found["glycerin_pct_mass"] or 0) or None,
        name=found["name"] or None,
        says=found["says"],
    )


with Path(__file__).with_name("pours.csv").open(encoding="utf-8", newline="") as _file:
    ROWS = [_row(found) for found in csv.DictReader(_file)]


def rows(outcome: str) -> list[Row]:
    return [one for one in ROWS if one.outcome == outcome]
