"""An honest book with a stranger's lines in it: everything that can be asked of it is answered.

The lines fit the chain and the shape of their kind, and never met the gate.
`scripts/fuzz_hostile.py`
asks for longer.
"""

from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hostile.any_line import sent
from tests.hostile.asked import OF_ALL, OF_ONE, TRIED, ask_all, ask_of, try_on
from tests.hostile.books import DEMO, beside, codes_there
from tests.hypothesis_profile import searching
from tests.valid_lives import valid_life
from tracker.core.facts.kinds import KINDS
from tracker.core.replay.replay import replay


def asked_of(home: Path, honest: Path, seed: int, many: int, part: int) -> int:
    """Every `part`-th question about a book with so many of a stranger's lines; how many."""
    chance = Random(seed)
    command, _ = beside(home, honest, chance, many)
    codes = codes_there(command)
    some = chance.sample(codes, min(2, len(codes)))
    asked = ask_all(command, OF_ALL[seed % part :: part])
    asked += sum(ask_of(command, code, OF_ONE[seed % part :: part]) for code in some)
    return asked + try_on(command, some[0], TRIED[seed % part :: part])


@searching(40)
@given(st.randoms(use_true_random=False))
def test_whatever_is_sent_is_replayed_in_any_order(chance):
    entries = sent(chance, valid_life(1, 12).entries, 12, "stranger")
    other = [*entries]
    chance.shuffle(other)

    assert replay(entries) == replay(other)


def test_every_kind_is_sent():
    kinds = {one.kind for one in sent(Random(1), (), 800, "stranger")}

    assert kinds == KINDS.keys()


@pytest.mark.parametrize("seed", range(3))
def test_some_questions_about_a_book_with_a_stranger_in_it(worked, tmp_path, seed):
    assert asked_of(tmp_path / "beside", worked.book, seed, 30, 12) > 8


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(100, 104))
def test_every_question_about_a_book_with_a_stranger_in_it(worked, tmp_path, seed):
    assert asked_of(tmp_path / "beside", worked.book, seed, 60, 1) > 100


@pytest.mark.thorough
def test_some_questions_about_the_demo_book_with_a_stranger_in_it(tmp_path):
    assert asked_of(tmp_path / "beside", DEMO, 7, 100, 6) > 15
