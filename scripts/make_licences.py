#!/usr/bin/env python3
"""Write docs/licences.md: the licence of every package that Stillroom brings along.

Read from what is installed in `.venv`, which has all extras. A test holds the file current; run
this after a dependency has changed, and read the difference.
"""

import re
import sys
from collections.abc import Iterable, Mapping
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

FILE = Path(__file__).resolve().parent.parent / "docs" / "licences.md"
PROJECT = "stillroom"
EXTRAS = ("more-channels",)

# What a package comes along on another system only; its licence from memory.
ELSEWHERE: Mapping[str, str] = {"colorama": "BSD-3-Clause"}
# Where the package's own data says too little or says it in its own way: read in the licence it
# installs, under its dist-info.
READ_IN_FULL: Mapping[str, str] = {
    "click-default-group": "BSD-3-Clause",
    "flexcache": "BSD-3-Clause",
    "jinja2": "BSD-3-Clause",
    "pyphen": "GPL-2.0-or-later OR LGPL-2.1-or-later OR MPL-1.1",
    "requests-oauthlib": "ISC",
    "sqlite-fts4": "Apache-2.0",
    "uharfbuzz": "Apache-2.0",
}
# What a package calls a licence, and the name of it in the SPDX list.
_SPDX: Mapping[str, str] = {
    "apache license 2.0": "Apache-2.0",
    "apache software license": "Apache-2.0",
    "bsd": "BSD-3-Clause",
    "bsd license": "BSD-3-Clause",
    "isc license": "ISC",
    "isc license (iscl)": "ISC",
    "mit license": "MIT",
    "mozilla public license 2.0 (mpl 2.0)": "MPL-2.0",
    "psfl": "PSF-2.0",
    "python software foundation license": "PSF-2.0",
}
# Licences that ask no more than that their text goes along.
PERMISSIVE = re.compile(
    r"(0BSD|Apache-2\.0|BSD-[23]-Clause|CC0-1\.0|ISC|MIT|MIT-CMU|PSF-2\.0|Zlib)"
    r"(?: (?:AND|OR) (?:0BSD|Apache-2\.0|BSD-[23]-Clause|CC0-1\.0|ISC|MIT|PSF-2\.0|Zlib))*"
)

_HEAD = """# Licences of what comes along

Stillroom itself is under the MIT licence, and the fonts in its package under those in
[tracker/outputs/paper/fonts](../tracker/outputs/paper/fonts). Installing it brings the packages
below along, each under its own licence; none of them is part of Stillroom's own files. This page is
written by `scripts/make_licences.py` from what the packages say of themselves.

**Installing and using Stillroom** asks nothing of you. **Passing it on with these packages**
(on a disk, as an image, as one program) includes their licence texts; each lies in the
package's own folder (`*.dist-info`). Four ask more than that, as we read them (this is no legal
advice):

- **fpdf2** (LGPL-3.0) writes the PDFs. Anyone who passes it on says that it is used and under which
  licence, gives its text and that of the GPL, offers the source of the fpdf2 that is passed on, and
  leaves the receiver able to put another version of it in place. An ordinary installation does the
  last, since fpdf2 lies there as files of its own; a single frozen program has to see to it.
  Stillroom uses it unchanged, and its own licence stays MIT.
- **pyphen** (of GPL-2.0, LGPL-2.1 and MPL-1.1 the one you choose) says where words are
  hyphenated; its patterns are those of LibreOffice, under the same three. A changed copy of its
  files has to be offered as source. Stillroom uses it unchanged.
- **certifi** (MPL-2.0, with the extra `more-channels`) is a list of certificates. A changed copy of
  its files has to be offered as source.
- **tzdata** and others under Apache-2.0 want their NOTICE file kept where they have one.

| package | licence | comes with |
|---|---|---|
"""


def needed(name: str, extras: Iterable[str]) -> set[str]:
    """Every package that one brings along on this system, whatever brings it."""
    seen: dict[str, set[str]] = {}
    _follow(canonicalize_name(name), set(extras) | {""}, seen)
    return set(seen)


def _follow(name: str, extras: set[str], seen: dict[str, set[str]]) -> None:
    for text in metadata.requires(name) or []:
        one = Requirement(text)
        if one.marker and not any(one.marker.evaluate({"extra": extra}) for extra in extras):
            continue
        other, wanted = canonicalize_name(one.name), one.extras | {""}
        if not wanted <= seen.get(other, set()):
            seen[other] = seen.get(other, set()) | wanted
            _follow(other, seen[other], seen)


def licence_of(name: str) -> str:
    """The licence of an installed package, by its name in the SPDX list.

    Raises:
        LookupError: the package says it in no way that is known here.
    """
    if name in READ_IN_FULL:
        return READ_IN_FULL[name]
    found = metadata.metadata(name).json
    if expression := found.get("license_expression"):
        return str(expression)
    classified = [
        one.rpartition(" :: ")[2]
        for one in found.get("classifier", [])
        if one.startswith("License :: OSI Approved :: ")
    ]
    for said in [str(found.get("license", "")), *classified]:
        if said in _SPDX.values() or PERMISSIVE.fullmatch(said):
            return said
        if spdx := _SPDX.get(said.strip().lower()):
            return spdx
    raise LookupError(f"{name} says its licence in no known way: name it in {Path(__file__).name}")


def rows() -> dict[str, tuple[str, str]]:
    """Each package, its licence, and with what it comes along."""
    plain = needed(PROJECT, ())
    found = {name: (licence_of(name), "Stillroom") for name in plain}
    for extra in EXTRAS:
        for name in needed(PROJECT, (extra,)) - plain:
            others = found[name][1].split(", ") if name in found else []
            found[name] = (licence_of(name), ", ".join([*others, f"`{extra}`"]))
    for name, licence in ELSEWHERE.items():
        found.setdefault(name, (f"{licence} (from memory)", "on Windows"))
    return dict(sorted(found.items()))


def text() -> str:
    """The whole page."""
    return _HEAD + "".join(
        f"| {name} | {licence} | {comes_with} |\n" for name, (licence, comes_with) in rows().items()
    )


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
    print(f"Wrote {FILE.name}.", file=sys.stderr)
