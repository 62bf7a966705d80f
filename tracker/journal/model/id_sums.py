"""Whether a line's id was given before, told without reading the lines: a sum of every id."""

from array import array
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING
from zlib import adler32, crc32

import msgspec

from tracker.journal.model.sealed_model import ID_SUMS

if TYPE_CHECKING:
    from tracker.journal.model.sealed_model import SealedModel

# So many ids stand on a page, if the book stays as long as it is.
_ON_A_PAGE = 2048
_LEAST_BYTES = 256  # of a line


class _Pages(msgspec.Struct, array_like=True):
    """By how many leading bits of a sum its page is found, and the sum of each page."""

    bits: int
    sums: dict[int, int] = {}


_PAGES = msgspec.msgpack.Decoder(_Pages)


def id_sum(event: str) -> int:
    """64 bits that stand for an id. Of a million, two share theirs by chance one time in 500."""
    body = event.encode(errors="surrogatepass")
    return crc32(body) << 32 | adler32(body)


class IdSums:
    """The sums of the ids that a model has seen, those of fresh lines among them.

    Args:
        model: where they are kept.
        size: how many bytes the book has, for one that is made new.
    """

    def __init__(self, model: "SealedModel", size: int) -> None:
        self._model = model
        held = model.aside(ID_SUMS)
        bits = max(0, (size // _LEAST_BYTES // _ON_A_PAGE).bit_length())
        self._pages = _PAGES.decode(held) if held else _Pages(bits)
        self._fresh: list[array[int]] = [array("Q") for _ in range(1 << self._pages.bits)]
        self._shift = 64 - self._pages.bits

    def add(self, events: Iterable[str]) -> None:
        """Take in the ids of fresh lines."""
        fresh, shift = self._fresh, self._shift
        for one in map(id_sum, events):
            fresh[one >> shift].append(one)

    def doubles(self) -> set[int]:
        """The sums of fresh ids that stand on several lines; what was added is kept from then."""
        found: set[int] = set()
        for page, fresh in enumerate(self._fresh):
            if fresh:
                known = self._page(page)
                found.update(_twice(known, fresh))
                known.extend(fresh)
                self._pages.sums[page] = self._model.put("ids", page, known.tobytes())
                self._fresh[page] = array("Q")
        if found or self._pages.sums:
            self._model.put_aside(ID_SUMS, self._pages)
        return found

    def has(self, event: str) -> bool:
        """Whether a line of that id was ever kept; seldom one that only has the same sum."""
        one = id_sum(event)
        return one in self._page(one >> self._shift)

    def _page(self, page: int) -> "array[int]":
        known = array("Q")
        if (fits := self._pages.sums.get(page)) is not None:
            known.frombytes(self._model.part("ids", page, fits))
        return known


def _twice(known: "array[int]", fresh: "array[int]") -> Iterator[int]:
    """Those among the fresh ones that are there more than once."""
    if len(fresh) == 1:
        yield from (one for one in fresh if one in known)
        return
    met = set(known)
    for one in fresh:
        if one in met:
            yield one
        met.add(one)
