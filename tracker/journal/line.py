"""One event as one line of bytes, and back. The format is written down in FORMAT.md.

What goes in was held to its limits (`core/facts/limits.py`). On the way back a line whose digest
holds is the very line that was written, so msgspec decodes it straight into the same classes.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from hashlib import sha256
from typing import Annotated, Any, Generic, NamedTuple, TypeVar

import msgspec

from tracker.core.facts.bounds import beyond_bounds, is_writer
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import KINDS, Recorded, Unknown
from tracker.core.values.errors import DamagedLineError, MisusedError, StrangeLineError
from tracker.core.values.times import Precision, When

# The longest line that is written or read, line feed included. The longest in practice, one
# shake of every jar of a shelf, has some 60 bytes a jar.
LONGEST_LINE_BYTES = 1 << 20

_HEX = re.compile(rb"[0-9a-f]{64}")
_PLACE = re.compile(r"([1-9]\d{0,8})/([1-9]\d{0,8})")


Data = TypeVar("Data")


class Line(msgspec.Struct, Generic[Data]):
    """The attributes of a CloudEvents 1.0 line, and its data."""

    specversion: str
    id: Annotated[str, msgspec.Meta(min_length=8, max_length=64)]
    source: str
    type: str
    subject: str
    time: Annotated[datetime, msgspec.Meta(tz=True)]
    recordedtime: Annotated[datetime, msgspec.Meta(tz=True)]
    sequence: Annotated[str, msgspec.Meta(min_length=10, max_length=10)]
    data: Data
    precision: Precision = "time"
    unit: str = ""
    unitplace: str = ""
    digest: str = ""


class UnitPlace(NamedTuple):
    """The place of a line among the several that one command recorded."""

    unit: str  # the id of the first of them
    place: int
    size: int

    @property
    def next(self) -> "UnitPlace":
        """The place of the line after it."""
        return self._replace(place=self.place + 1)

    @property
    def is_last(self) -> bool:
        """Whether the unit is whole with this line."""
        return self.place == self.size


_ANY_LINE = msgspec.json.Decoder(Line[msgspec.Raw])


class _Decoders(dict[bytes, "msgspec.json.Decoder[Line[Any]] | None"]):
    """What decodes a line, by its kind; each made when the first line of its kind is read."""

    def __missing__(self, kind: bytes) -> "msgspec.json.Decoder[Line[Any]] | None":
        fact = KINDS.get(kind.decode("latin-1"))
        if fact is None:
            return None
        made = msgspec.json.Decoder(Line[fact])  # type: ignore[valid-type]  # one a kind
        self[kind] = made
        return made


_DECODERS = _Decoders()
BOM = b"\xef\xbb\xbf"
DIGEST = b',"digest":"'
_TYPE = b'","type":"'
# A kind, as any version of this program names one.
_KIND = re.compile(r"[a-z][a-z0-9_]{0,63}")
# What is taken from a fact of a later program: versions below the one, text up to the other.
_LATEST_VERSION, _LONGEST_TEXT = 1_000_000, 2000
_LONGEST_REASON = 200


def bared(line: bytes, number: int) -> bytes:
    """A line without the CR, or on the first one the byte order mark, that an editor added."""
    if number == 1:
        line = line.removeprefix(BOM)
    return line[:-1] if line.endswith(b'"}\r') else line


def link(previous: str, body: bytes) -> str:
    """The digest that joins a line's body to the digest of the line before it."""
    return sha256(previous.encode() + body).hexdigest()


def write_line(entry: Entry, previous: str, at: UnitPlace | None = None) -> tuple[bytes, str]:
    """The bytes of a line, newline included, and its digest.

    Args:
        entry: what it says.
        previous: the digest of the line before.
        at: its place in its unit; None where it stands alone.

    Raises:
        MisusedError: a reader would set such a line apart.
    """
    if beyond := beyond_bounds(entry.when, entry.recorded, entry.fact):
        raise _not_to_be_written(entry, beyond, "correct it, or set the clock of this machine.")
    body = msgspec.json.encode(
        {
            "specversion": "1.0",
            "id": entry.id,
            "source": entry.source,
            "type": entry.kind,
            "subject": entry.subject,
            "time": entry.when.start,
            "precision": entry.when.precision,
            "recordedtime": entry.recorded,
            "sequence": f"{entry.sequence:010d}",
            **({"unit": at.unit, "unitplace": f"{at.place}/{at.size}"} if at else {}),
            "datacontenttype": "application/json",
            "data": plain_data(entry.fact),
        }
    )[:-1]
    digest = link(previous, body)
    line = body + DIGEST + digest.encode() + b'"}\n'
    if len(line) > LONGEST_LINE_BYTES:
        why = f"it is too long for one line of the book ({len(line)} bytes)"
        raise _not_to_be_written(entry, why, "record it in several steps.")
    return line, digest


def _not_to_be_written(entry: Entry, why: str, do: str) -> MisusedError:
    return MisusedError(
        f"That cannot be recorded: {why}.",
        where="nothing was recorded",
        do=do,
    )


def write_unit(entries: Sequence[Entry], previous: str) -> tuple[list[bytes], str]:
    """The lines of what one command recorded, and the digest of the last.

    Several name their unit and their place in it, so that a reader knows whether all are there.
    """
    lines, digest, several = [], previous, len(entries) > 1
    for place, entry in enumerate(entries, 1):
        at = UnitPlace(entries[0].id, place, len(entries)) if several else None
        line, digest = write_line(entry, digest, at)
        lines.append(line)
    return lines, digest


def split_digest(line: bytes) -> tuple[bytes, str]:
    """A line without its newline, as its body and the digest it states.

    Raises:
        DamagedLineError: it does not end in a digest.
    """
    stated = line[-66:-2]
    if line[-77:-66] != DIGEST or line[-2:] != b'"}' or not _HEX.fullmatch(stated):
        raise DamagedLineError(
            "The line does not end in a digest.",
            where="the end of the line",
            do="`stillroom check` says more.",
        )
    return line[:-77], stated.decode()


def read_line(line: bytes) -> Entry:
    """The entry on a line whose digest has been checked.

    Raises:
        DamagedLineError: not an event. One of a kind or version not known here is one.
    """
    return read_placed(line)[0]


def read_placed(line: bytes) -> tuple[Entry, UnitPlace | None]:
    """The entry on a line whose digest has been checked, and its place in its unit.

    Raises:
        DamagedLineError: not an event. One of a kind or version not known here is one.
    """
    kind = line[(start := line.find(_TYPE) + len(_TYPE)) : line.find(b'"', start)]
    try:
        found = _decoded(line, _DECODERS[kind])
        when = _made_when(When, (found.time, found.precision))
        if beyond := beyond_bounds(when, found.recordedtime, found.data):
            raise ValueError(beyond)
        if not (is_writer(found.source) and found.id.isprintable()):
            raise ValueError("its `source` or `id` is not one that a writer gives")
        entry = Entry(
            found.id,
            found.source,
            _number(found.sequence),
            found.subject,
            when,
            found.recordedtime,
            found.data,
        )
        return entry, _unit_place(found) if found.unitplace or found.unit else None
    except (msgspec.MsgspecError, ValueError, RecursionError) as reason:
        raise _not_an_event(reason) from reason


# As the class itself makes one, in a third of the time.
_made_when: "Callable[[type[When], tuple[datetime, Precision]], When]" = tuple.__new__


def _number(sequence: str) -> int:
    if not sequence.isdecimal():  # int takes signs, blanks and low lines as well
        raise ValueError("its `sequence` is not ten digits")
    return int(sequence)


def _unit_place(line: "Line[Any]") -> UnitPlace:
    found = _PLACE.fullmatch(line.unitplace)
    if found is None:
        raise ValueError(f"{line.unitplace!r} is not a place in a unit")
    at = UnitPlace(line.unit, int(found[1]), int(found[2]))
    if at.place > at.size or at.size == 1 or (at.place == 1) != (at.unit == line.id):
        raise ValueError(f"it cannot be {line.unitplace} of unit {line.unit!r}")
    return at


def _not_an_event(reason: Exception) -> StrangeLineError:
    why = str(reason)
    if len(why) > _LONGEST_REASON:  # it may hold what the line says
        why = f"{why[:_LONGEST_REASON]}…"
    return StrangeLineError(
        f"The line is not an event: {why}.",
        where="its JSON",
        do="`stillroom check` says more.",
    )


def _decoded(line: bytes, decoder: "msgspec.json.Decoder[Line[Any]] | None") -> "Line[Any]":
    """The line with its fact, or with an Unknown where a later program wrote it."""
    if decoder is not None:
        try:
            return decoder.decode(line)
        except msgspec.ValidationError:
            if _version(_ANY_LINE.decode(line)) == 1:
                raise
    other = _ANY_LINE.decode(line)
    if not _KIND.fullmatch(other.type):
        raise ValueError("`type` is not a kind of event")
    data = msgspec.json.decode(other.data)
    says = data if isinstance(data, dict) else {}
    return msgspec.structs.replace(
        other,
        data=Unknown(
            kind=other.type,
            v=_version(other),
            jars=tuple(dict.fromkeys(_jars_in(data))),
            by=_text(says.get("by")),
            note=_text(says.get("note")),
        ),
    )


def _version(line: Line[msgspec.Raw]) -> int:
    data = msgspec.json.decode(line.data)
    version = data.get("v", 1) if isinstance(data, dict) else 1
    return version if type(version) is int and 0 < version < _LATEST_VERSION else 1


def _text(value: object) -> str | None:
    return value if isinstance(value, str) and len(value) <= _LONGEST_TEXT else None


def _jars_in(data: object) -> Iterator[str]:
    """Every jar that data of an unknown shape names, as the known shapes name them."""
    if isinstance(data, list):
        for part in data:
            yield from _jars_in(part)
    if isinstance(data, dict):
        named = [data.get("jar"), *(data["jars"] if isinstance(data.get("jars"), list) else ())]
        yield from (one for one in named if isinstance(one, str))
        for part in data.values():
            yield from _jars_in(part)


def sequence_of(line: bytes) -> int:
    """The place of a line in its file, whatever kind it is.

    Raises:
        DamagedLineError: it is not a line of a book.
    """
    try:
        return _number(_ANY_LINE.decode(line).sequence)
    except (msgspec.MsgspecError, ValueError, RecursionError) as reason:
        raise _not_an_event(reason) from reason


def waits_for_more(line: bytes) -> bool:
    """Whether a line says that others of its unit follow."""
    try:
        found = _ANY_LINE.decode(line)
        return bool(found.unitplace) and not _unit_place(found).is_last
    except (msgspec.MsgspecError, ValueError, RecursionError):
        return False


def recorded_of(line: bytes) -> datetime:
    """When a line that `sequence_of` takes was written down."""
    return _ANY_LINE.decode(line).recordedtime


# A strength that is left out is 0, as the earliest lines have it of water; one not known is null.
_NOTHING_IS_SAID = frozenset({"ethanol_pct_vol"})


def plain_data(fact: Recorded) -> dict[str, object]:
    """The data object of a fact: what is not said is left out, as is the kind."""
    data: dict[str, object] = {
        name: value if name == "set" else _without_nothing(value)  # a correction may say null
        for name, value in msgspec.to_builtins(fact).items()
    }
    return {name: value for name, value in data.items() if _is_said(name, value) and name != "kind"}


def _is_said(name: str, value: object) -> bool:
    """Whether a value is written: nothing is left out, but where left out means something else."""
    if value is None:
        return name in _NOTHING_IS_SAID
    return value not in ([], ())


def _without_nothing(value: object) -> object:
    if isinstance(value, dict):
        return {
            name: _without_nothing(part) for name, part in value.items() if _is_said(name, part)
        }
    if isinstance(value, list | tuple):
        return [_without_nothing(part) for part in value]
    return value
