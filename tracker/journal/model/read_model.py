"""The disposable read model: the state of jars, blends and lots in SQLite.

Asking replays nothing. This half is all that an asking verb needs while the book has not
changed; `refresh` does the rest. Whatever does not fit its sum raises one of `FAULTS`, and
`AskedModel` asks again of a model made new.
"""

import sqlite3
from collections.abc import Callable, Collection, Iterable
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Concatenate, ParamSpec, TypeVar, get_args
from zlib import crc32

import msgspec

from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.codes import relabel
from tracker.core.shelf.contents import Contents, Herb, Poured, Use
from tracker.core.shelf.end import End
from tracker.core.shelf.extract import Bottle, Extract, Thrown
from tracker.core.shelf.fill import Fill
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.flow import Flow, Given
from tracker.core.shelf.hold import Hold, Look
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.late import Late
from tracker.core.shelf.lot import Lot, LotChange
from tracker.core.shelf.misfit import Misfit
from tracker.core.shelf.spell import Spell
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import Period, When
from tracker.journal.file_marks import GENESIS, Damage, Mark, Place, Step, marks
from tracker.journal.model.cards import Card
from tracker.journal.model.file_steps import FileNote, Files
from tracker.journal.model.kin import Kin, numbers, pairs, read_kin, unpacked
from tracker.journal.model.recall_reach import Reach, within_reach
from tracker.journal.model.sealed_model import (
    DAMAGES,
    FAULTS,
    UNPLACED,
    BrokenModelError,
    Seal,
    SealedModel,
    open_model,
)
from tracker.journal.own_head import OwnEnd, own_ends

P = ParamSpec("P")
T = TypeVar("T")

_BATCHES = msgspec.json.Decoder(list[Batch])
_JARS = msgspec.json.Decoder(list[Jar])
_LOTS = msgspec.json.Decoder(list[Lot])
_BATCH: msgspec.json.Decoder[Batch] = msgspec.json.Decoder(Batch)
_LOT = msgspec.json.Decoder(Lot)
_DAMAGES = msgspec.msgpack.Decoder(list[Damage])
_UNPLACED = msgspec.msgpack.Decoder(dict[str, list[Flag]])

_HEADS = "SELECT file, lines, digest FROM heads"
_NONE = (0, GENESIS)

One = TypeVar("One", Jar, Batch, Lot)


# Every shape the stored state is made of; tests/journal/model/test_layout.py finds one left out.
STORED = (
    *(Jar, Blend, Extract, Bottle, Lot, LotChange, Contents, Herb, Poured, Use, Fill, Flow, Given),
    *(Hold, Look, Late, Spell, Thrown, Flag, When, Period, ShakePhase, Mark, Damage, Place),
    *(Step, Card, Seal, FileNote, Kin, Reach),
    *get_args(Misfit),
    *get_args(End),
)


def _layout() -> str:
    """Names the shape of the stored state, so that another version's model is not read."""
    fields = (tuple(shape.__annotations__) for shape in STORED)
    return f"{crc32(repr((14, *fields)).encode()):08x}"


LAYOUT = _layout()


class ReadModel(msgspec.Struct, frozen=True):
    """One book's read model: the book's folder and the file that can be deleted at will.

    `own_ends` is where this machine remembers the last lines it wrote (see `own_head`).
    """

    book: Path
    file: Path
    own_ends: Path | None = None

    def connect(self) -> SealedModel:
        """A connection to a model that holds all that the book holds now."""
        if (connection := self._current()) is not None:
            return connection
        from tracker.journal.model.refresh import refresh

        return refresh(self)

    def open(self, *, write: bool = False) -> SealedModel:
        """A connection to the model that is there, whatever it holds.

        Raises:
            OSError, sqlite3.Error: there is none that can be used.
        """
        return open_model(self.file, LAYOUT, write=write)

    def _current(self) -> SealedModel | None:
        """A connection to the model that is there, if it holds all of the book."""
        try:
            connection = self.open()
        except (OSError, *FAULTS):
            return None
        with suppress(*FAULTS):  # not a model, or not all of one
            if connection.answer(is_current, self):
                return connection
        connection.close()
        return None


class AskedModel:
    """A model while it is asked: one that turns out to be broken is made new and asked again."""

    def __init__(self, model: ReadModel, connection: SealedModel) -> None:
        self._model = model
        self.connection = connection

    def ask(
        self, question: Callable[Concatenate[SealedModel, P], T], *given: P.args, **named: P.kwargs
    ) -> T:
        """The answer to one question."""
        try:
            return self.connection.answer(question, *given, **named)
        except FAULTS:
            self.close()
        from tracker.journal.model.refresh import rebuild

        self.connection = rebuild(self._model)
        return self.connection.answer(question, *given, **named)

    def close(self) -> None:
        """Let go of the model."""
        with suppress(sqlite3.Error):
            self.connection.close()


def is_current(connection: SealedModel, model: ReadModel) -> bool:
    """Whether the model holds all that the book holds now."""
    known, now = read_marks(connection), marks(model.book)
    if unknown_ends(connection, model.own_ends):
        return False
    return known.keys() == now.keys() and all(
        known[name].same_file(mark) for name, mark in now.items()
    )


def unknown_ends(connection: SealedModel, own: Path | None) -> dict[str, OwnEnd]:
    """The last lines written from here that this model has not seen, by file."""
    ends = {} if own is None else own_ends(own)
    if not ends:
        return {}
    if connection.heads_sum() != connection.seal.heads:
        raise BrokenModelError("heads")
    heads = {row[0]: row[1:] for row in connection.execute(_HEADS)}
    beyond = {
        name: end for name, end in ends.items() if end.reaches_beyond(*heads.get(name, _NONE))
    }
    if beyond:  # of a file whose end is missed already nothing more is to be learnt
        for one in damages(connection):
            if one.gone:
                beyond.pop(one.file, None)
    return beyond


def read_marks(connection: SealedModel) -> dict[str, Mark]:
    """How far each file had been read when the model was made."""
    return {mark.file: mark for mark in connection.seal.marks}


def batches(connection: SealedModel, *, live_only: bool = False) -> list[Batch]:
    """Every jar and blend, or those with anything still on the shelf, the first to begin first."""
    cards = _cards(connection, "jar", "blend", live_only=live_only)
    return _decoded(connection, _BATCHES, cards)


def asked_about(connection: SealedModel) -> list[Batch]:
    """The jars and blends that may have a question: with flags, uses of lots, or a code shared."""
    cards = _cards(connection, "jar", "blend")
    return _decoded(
        connection, _BATCHES, [one for one in cards if one.is_asked or one.shown != one.code]
    )


def batches_naming(connection: SealedModel, lot: str) -> list[Batch]:
    """The jars and blends that may have used a lot: those whose state names it."""
    named = msgspec.json.encode(lot)
    cards = [one for one in _cards(connection, "jar", "blend") if one.is_asked]
    near = [one for one in cards if named in connection.part("states", one.at, one.state)]
    return _decoded(connection, _BATCHES, near)


def jars(connection: SealedModel, *, live_only: bool = False) -> list[Jar]:
    """Every jar, or those with anything still on the shelf, in the order of their charges."""
    return _decoded(connection, _JARS, _cards(connection, "jar", live_only=live_only))


def batches_like(connection: SealedModel, code: str, *, live_only: bool = False) -> list[Batch]:
    """Jars and blends whose shown code begins with `code`, or with which `code` begins."""
    near = [one for one in connection.cards.like(code) if one.kind in ("jar", "blend")]
    near = [one for one in near if one.live or not live_only]
    return _decoded(connection, _BATCHES, near)


def batch_by_id(connection: SealedModel, batch_id: str) -> Batch | None:
    """The jar or blend that one event opened."""
    card = connection.cards.get(batch_id)
    if card is None or card.kind not in ("jar", "blend"):
        return None
    return _decoded(connection, _BATCHES, [card])[0]


def batches_of(connection: SealedModel, ids: Collection[str]) -> list[Batch]:
    """Those of these that are jars or blends, the first to begin first."""
    cards = [one for one in _cards(connection, "jar", "blend") if one.id in ids]
    return _decoded(connection, _BATCHES, cards)


def lots(connection: SealedModel) -> list[Lot]:
    """Every lot, in the order they were written down."""
    return _decoded(connection, _LOTS, _cards(connection, "lot"))


def lots_by_id(connection: SealedModel, ids: Iterable[str]) -> dict[str, Lot]:
    """Those of these that are lots, and what they were dried of, by id."""
    lots: dict[str, Lot] = {}
    wanted = set(ids)
    while wanted:
        found = (connection.cards.get(one) for one in sorted(wanted))
        cards = [one for one in found if one is not None and one.kind == "lot"]
        lots |= {one.id: one for one in _decoded(connection, _LOTS, cards)}
        parents = {lots[one.id].parent for one in cards} - {None}
        wanted = {one.jar for one in parents if one is not None} - lots.keys()
    return lots


def _cards(connection: SealedModel, *kinds: str, live_only: bool = False) -> list[Card]:
    cards = connection.cards.front() if live_only else connection.cards.every()
    return [one for one in cards if one.kind in kinds and (one.live or not live_only)]


def batch_of(state: bytes) -> Batch:
    """A jar or blend as it is kept, under the code it was given."""
    return _BATCH.decode(state)


def lot_of(state: bytes) -> Lot:
    """A lot as it is kept."""
    return _LOT.decode(state)


def _decoded(
    connection: SealedModel, decoder: "msgspec.json.Decoder[list[One]]", cards: list[Card]
) -> list[One]:
    """The states that belong to cards, in the order they were written down."""
    cards = sorted(cards, key=lambda one: one.born)
    states = [connection.part("states", one.at, one.state) for one in cards]
    found = decoder.decode(b"[" + b",".join(states) + b"]")
    for one, card in zip(found, cards, strict=True):
        relabel(one, card.shown)
    return found


def newest_jars(connection: SealedModel, herb: str, has: str, most: int) -> list[Jar]:
    """The newest jars of a herb written the same way that were `pressed`, or `filled`."""
    cards = [one for one in _cards(connection, "jar") if one.herb == herb and getattr(one, has)]
    newest = sorted(cards, key=lambda one: one.born, reverse=True)[:most]
    return _decoded(connection, _JARS, newest)[::-1]


def has_recall(connection: SealedModel) -> bool:
    """Whether any lot is called back, in the book or only named by jars; told without decoding."""
    return any(one.recalled for one in connection.cards.front())


def may_hold_recalled(connection: SealedModel) -> tuple[list[Batch], list[Lot]]:
    """What may hold some of a lot called back, and those lots; `not_held` finds no other."""
    cards = within_reach(connection)
    return (
        _decoded(connection, _BATCHES, [one for one in cards if one.kind in ("jar", "blend")]),
        _decoded(connection, _LOTS, [one for one in cards if one.kind == "lot"]),
    )


def codes(connection: SealedModel) -> list[str]:
    """The code of every jar and blend there ever was, as shown."""
    return [one.shown for one in _cards(connection, "jar", "blend")]


def codes_by_id(connection: SealedModel) -> dict[str, str]:
    """The code of every jar and blend there ever was, as shown, by its id, the first first."""
    cards = sorted(_cards(connection, "jar", "blend"), key=lambda one: one.born)
    return {one.id: one.shown for one in cards}


def codes_near(connection: SealedModel, code: str, more: int) -> dict[str, str]:
    """The codes, by id, that are this one, begin with it, or are it without its last letters.

    Args:
        connection: an open read model.
        code: of a jar, blend or lot.
        more: how many letters may be left off.
    """
    least = len(code.upper()) - more
    return {
        one.id: one.shown
        for one in connection.cards.like(code)
        if one.kind and len(one.shown.upper()) >= least
    }


def relabelled(connection: SealedModel, ids: Iterable[str]) -> dict[str, tuple[str, str]]:
    """Of each of these that is shown under another code than its own: both, by its id."""
    found = (connection.cards.get(one) for one in ids)
    return {
        card.id: (card.code, card.shown)
        for card in found
        if card is not None and card.code != card.shown
    }


def last_day(connection: SealedModel) -> date | None:
    """The latest day anything in the book happened on."""
    text = connection.seal.last_day
    return date.fromisoformat(text) if text else None


def places_of(connection: SealedModel, jar_id: str) -> list[Place]:
    """Where the lines of one jar's history stand."""
    card = connection.cards.get(jar_id)
    if card is None:
        return []
    found = numbers(read_kin(connection.part("kin", card.at, card.kin)))
    return list(unpacked(pairs(found), Files(connection).names))


def writers(connection: SealedModel) -> tuple[str, ...]:
    """Everybody whose lines the book holds, in the order of their names."""
    return tuple(sorted(connection.seal.writers))


def last_number(connection: SealedModel, writer: str) -> int:
    """The number of the last line of a writer's own file; 0 where there is none."""
    mark = read_marks(connection).get(f"{writer}.jsonl")
    return mark.lines if mark is not None else 0


def damages(connection: SealedModel) -> list[Damage]:
    """Lines that are not what was written, or not yet whole."""
    held = connection.aside(DAMAGES)
    return _DAMAGES.decode(held) if held else []


def unplaced_of(connection: SealedModel) -> dict[str, list[Flag]]:
    """Events that have no jar to stand on, by the first jar of those they were folded with."""
    held = connection.aside(UNPLACED)
    return _UNPLACED.decode(held) if held else {}


def unplaced(connection: SealedModel) -> list[Flag]:
    """Events that have no jar to stand on, each with how it does not fit."""
    every = unplaced_of(connection).values()
    return list(dict.fromkeys(flag for flags in every for flag in flags))


def taken_out(connection: SealedModel) -> list[str]:
    """The ids of jars, blends and lots that lines name and that nothing in force opens."""
    return [one.id for one in _cards(connection, "")]
