"""Where the lines about one jar, blend or lot stand, packed: two numbers for each line."""

from array import array
from collections.abc import Iterable, Iterator, Mapping

import msgspec

from tracker.core.values.times import Order
from tracker.journal.file_marks import Place

# A file's number stands above the offset of a line, and the length of a line above its sum.
_OFFSET_BITS, _SUM_BITS = 44, 32
_OFFSET, _SUM = (1 << _OFFSET_BITS) - 1, (1 << _SUM_BITS) - 1

Packed = tuple[int, int]


class Kin(msgspec.Struct, array_like=True, frozen=True):
    """The lines about one thing, and the place of the last of them in its history.

    `order` is None where a later line is to be folded with all the others.
    """

    order: Order | None
    places: bytes


_KIN = msgspec.msgpack.Decoder(Kin)


def read_kin(body: bytes) -> Kin:
    """What was written by `kin_bytes`."""
    return _KIN.decode(body)


def kin_bytes(order: Order | None, places: "array[int]") -> bytes:
    """The lines about one thing as a part of the model."""
    return msgspec.msgpack.encode(Kin(order, places.tobytes()))


def packed(file: int, offset: int, length: int, total: int) -> Packed:
    """A line's place as two numbers."""
    return file << _OFFSET_BITS | offset, length << _SUM_BITS | total


def numbers(kin: Kin | None) -> "array[int]":
    """The packed places."""
    found = array("Q")
    if kin is not None:
        found.frombytes(kin.places)
    return found


def pairs(found: "array[int]") -> Iterator[Packed]:
    """The places, in the order they were put down."""
    return zip(found[::2], found[1::2], strict=True)


def unpacked(places: Iterable[Packed], files: Mapping[int, str]) -> Iterator[Place]:
    """The places as they are read from."""
    for where, what in places:
        yield Place(files[where >> _OFFSET_BITS], where & _OFFSET, what >> _SUM_BITS, what & _SUM)
