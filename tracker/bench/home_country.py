"""What the system says of where it stands: the name of its time zone, and the country of that."""

import os
from contextlib import suppress
from pathlib import Path

_ZONES = Path("/usr/share/zoneinfo")
_MOST_BYTES = 1 << 20


def system_zone() -> str | None:
    """The name of the zone this machine is set to, as far as it has one."""
    said = os.environ.get("TZ", "").removeprefix(":")
    if said and (_ZONES / said).is_file():
        return said
    if said:
        return None
    with suppress(OSError, ValueError):
        real = Path("/etc/localtime").resolve(strict=True)
        return str(real.relative_to(_ZONES.resolve()))
    return None


def country_code(zone: str | None) -> str | None:
    """The country that the tz database gives a zone to, else that of the language set here."""
    found = {name: code for code, name in _rows()}.get(zone or "")
    return found or _of_language()


def zone_of(code: str) -> str | None:
    """The system's zone if it is one of the country's, else the country's only one."""
    names = [name for one, name in _rows() if one == code]
    own = system_zone()
    if own in names:
        return own
    return names[0] if len(names) == 1 else None


def _rows() -> list[tuple[str, str]]:
    """Each zone of zone.tab with the code of its country; none where there is no such file."""
    with suppress(OSError, ValueError):
        with (_ZONES / "zone.tab").open("rb") as file:
            lines = file.read(_MOST_BYTES).decode().splitlines()
        rows = [line.split("\t") for line in lines if line and not line.startswith("#")]
        return [(row[0], row[2]) for row in rows if len(row) > 2]
    return []


def _of_language() -> str | None:
    said = next(
        filter(None, (os.environ.get(one) for one in ("LC_ALL", "LC_MONETARY", "LANG"))), ""
    )
    code = said.partition(".")[0].partition("_")[2]
    return code if len(code) == 2 and code.isupper() else None
