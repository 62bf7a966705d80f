"""What a country settles for a maker: whose pint, which paper, the seasons and the money."""

from collections.abc import Mapping
from typing import Final, Literal

import msgspec

from tracker.core.practice.country_table import ROWS
from tracker.core.practice.practice import Measures, UnitSystem
from tracker.core.values.errors import MisusedError
from tracker.core.values.near_names import near_names
from tracker.core.values.text import shown
from tracker.core.values.times import Hemisphere

Paper = Literal["a4", "letter"]

# Unicode CLDR, territory data, paper sizes (from memory).
_LETTER = frozenset(
    ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"]
) | {"GU", "MP", "VI", "AS"}

# Where a pint was 20 fluid ounces as long as there was one: the United Kingdom, Ireland and what
# is or was of the Commonwealth. From memory; everywhere else a pint is most likely American.
_BRITISH = frozenset(
    [
        "AG",
        "AI",
        "AU",
        "BB",
        "BM",
        "BS",
        "BW",
        "BZ",
        "CA",
        "CK",
        "CY",
        "DM",
        "FJ",
        "FK",
        "GB",
        "GD",
        "GG",
        "GH",
        "GI",
        "GM",
        "GY",
        "HK",
        "IE",
        "IM",
        "IN",
        "JE",
        "JM",
        "KE",
        "KI",
        "KN",
        "KY",
        "LC",
        "LK",
        "LS",
        "MS",
        "MT",
        "MW",
        "MY",
        "NA",
        "NG",
        "NR",
        "NU",
        "NZ",
        "PG",
        "PK",
        "PN",
        "SB",
        "SC",
        "SG",
        "SH",
        "SL",
        "SZ",
        "TC",
        "TO",
        "TT",
        "TV",
        "TZ",
        "UG",
        "VC",
        "VG",
        "VU",
        "WS",
        "ZA",
        "ZM",
        "ZW",
    ]
)

# Where kitchens weigh in ounces and pour in fluid ounces (from memory).
_OUNCES = frozenset(["US", "PR", "GU", "MP", "VI", "AS"])

# South of the equator, or where most people live there (from memory).
_SOUTH = frozenset(
    [
        "AO",
        "AR",
        "AS",
        "AU",
        "BI",
        "BO",
        "BR",
        "BW",
        "CC",
        "CD",
        "CG",
        "CK",
        "CL",
        "CX",
        "EC",
        "FJ",
        "FK",
        "ID",
        "KE",
        "KM",
        "LS",
        "MG",
        "MU",
        "MW",
        "MZ",
        "NA",
        "NC",
        "NF",
        "NR",
        "NU",
        "NZ",
        "PE",
        "PF",
        "PG",
        "PN",
        "PY",
        "RE",
        "RW",
        "SB",
        "SC",
        "SH",
        "SZ",
        "TK",
        "TL",
        "TO",
        "TV",
        "TZ",
        "UY",
        "VU",
        "WF",
        "WS",
        "YT",
        "ZA",
        "ZM",
        "ZW",
    ]
)

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


def _countries() -> dict[str, Country]:
    found = {}
    for row in ROWS.splitlines():
        code, currency, name = row.split(" ", 2)
        found[code] = Country(
            code,
            name,
            currency,
            "british" if code in _BRITISH else "us",
            "ounces" if code in _OUNCES else "metric",
            "letter" if code in _LETTER else "a4",
            "south" if code in _SOUTH else "north",
        )
    return found


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
