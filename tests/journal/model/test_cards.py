"""Cards by the code they are shown under: those near a code are found without reading the rest."""

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.journal.model.cards import CARDS_IN_A_DRAWER, Card, Cards

codes = st.text("abAB-1ß", max_size=5)
some_codes = st.lists(codes, max_size=12)


def cards_of(shown):
    """Cards in drawers, every second one live."""
    every = [
        Card(str(at), at * CARDS_IN_A_DRAWER // 2, "jar", live=bool(at % 2), shown=code)
        for at, code in enumerate(shown)
    ]
    drawers = {}
    for one in every:
        drawers.setdefault(one.drawer, []).append(one)
    packed = {number: msgspec.msgpack.encode(own) for number, own in drawers.items()}
    return Cards(dict.fromkeys(packed, 0), lambda number, _: packed[number])


def near(shown, code):
    """The places of the codes that begin with this one, or with which it begins."""
    wanted = code.upper()
    return {
        str(at)
        for at, one in enumerate(shown)
        if one.upper().startswith(wanted) or wanted.startswith(one.upper())
    }


def found(cards, code):
    """The ids of the cards that are like a code, each of them found once."""
    ids = [one.id for one in cards.like(code)]
    assert len(ids) == len(set(ids))
    return set(ids)


@USUAL
@given(some_codes, some_codes)
def test_what_is_like_a_code_begins_with_it_or_is_its_beginning(shown, wanted):
    cards = cards_of(shown)

    for code in [*wanted, *shown]:
        assert found(cards, code) == near(shown, code)


@USUAL
@given(some_codes, st.lists(st.tuples(st.integers(0, 15), codes), max_size=6))
def test_a_card_that_was_put_is_found_under_the_code_it_has_now(shown, put):
    cards = cards_of(shown)
    now = dict(enumerate(shown))

    for at, code in put:
        at = min(at, len(now))
        was = cards.get(str(at)) or Card(str(at), at, "jar")
        cards.put(msgspec.structs.replace(was, shown=code))
        now[at] = code
        assert found(cards, code) == near(now.values(), code)
