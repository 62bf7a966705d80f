"""What a country settles: whose pint, which paper, the seasons, the money, how 3/4 is read."""

from collections.abc import Mapping
from typing import Final, Literal

import msgspec

from tracker.core.practice import country_table as table
from tracker.core.practice.practice import Measures, UnitSystem
from tracker.core.values.errors import MisusedError
from tracker.core.values.near_names import near_names
from tracker.core.values.text import shown
from tracker.core.values.times import DateOrder, Hemisphere

Paper = Literal["a4", "letter"]

# Other names that people type, in small letters.
_ALSO: Final[Mapping[str, str]] = {
    "usa": "US", "america": "US", "united states of america": "US", "u.s.": "US", "u.s.a.": "US",
    "uk": "GB", "great britain": "GB", "britain": "GB", "england": "GB", "scotland": "GB",
    "wales": "GB", "northern ireland": "GB", "eire": "IE", "éire": "IE",
    "deutschland": "DE", "österreich": "AT", "schweiz": "CH", "suisse": "CH", "svizzera": "CH",
    "france": "FR", "españa": "ES", "italia": "IT", "holland": "NL", "the netherlands": "NL",
    "nederland": "NL", "belgië": "BE", "belgique": "BE", "polska": "PL", "sverige": "SE",
    "norge": "NO", "danmark": "DK", "suomi": "FI", "česko": "CZ", "czech republic": "CZ",
    "brasil": "BR", "méxico": "MX", "turkey": "TR", "burma": "MM", "korea": "KR",
    "ivory coast": "CI", "aotearoa": "NZ",
}  # fmt: skip


class Country(msgspec.Struct, frozen=True):
    """A country or territory, and what is usual there."""

    code: str
    name: str
    currency: str
    units: UnitSystem
    measures: Measures
    paper: Paper
    hemisphere: Hemisphere
    dates: DateOrder | None  # None: people there write both, or the year first


def _countries() -> dict[str, Country]:
    letter, british, south = (_codes(one) for one in (table.LETTER, table.BRITISH, table.SOUTH))
    american, unsettled = _codes(table.AMERICAN), _codes(table.UNSETTLED_DATES)
    found = {}
    for row in table.ROWS.splitlines():
        code, currency, name = row.split(" ", 2)
        order: DateOrder = "month first" if code in american else "day first"
        found[code] = Country(
            code,
            name,
            currency,
            "british" if code in british else "us",
            "ounces" if code in american else "metric",
            "letter" if code in letter else "a4",
            "south" if code in south else "north",
            None if code in unsettled else order,
        )
    return found


def _codes(text: str) -> frozenset[str]:
    return frozenset(text.split())


COUNTRIES: Final[Mapping[str, Country]] = _countries()


def country(text: str) -> Country:
    """The country of a code or a name.

    Raises:
        MisusedError: there is none.
    """
    typed = " ".join(text.split())
    by_name = {one.name.casefold(): one for one in COUNTRIES.values()}
    found = COUNTRIES.get(typed.upper()) or by_name.get(typed.casefold())
    found = found or COUNTRIES.get(_ALSO.get(typed.casefold(), ""))
    if found is None:
        near = (
            near_names(typed, [one.name for one in COUNTRIES.values()]) if len(typed) < 60 else []
        )
        hint = f"did you mean {near[0]}? Or " if near else ""
        raise MisusedError(
            f"{shown(typed[:60])!r} is not a country known here.",
            where="the country",
            do=f"{hint}write its name in English or its code, such as DE.",
        )
    return found
