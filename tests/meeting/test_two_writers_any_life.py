"""Any kind after any other, by writers together and apart: what has to hold after every step."""

import random
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule, run_state_machine_as_test

from tests.hypothesis_profile import searching
from tests.meeting.any_draft import MAKERS
from tests.meeting.two_books import House, Tally
from tracker.core.facts.kinds import KINDS

OPENING = ("charged", "bought", "charged", "gathered", "bought_herb", "found")
STEEPING = (
    *(
        "pressed",
        "topped_up",
        "pressed",
        "pressed_again",
        "herb_added",
        "drawn_off",
        "shaken",
        "recharged",
    ),
    *("steeped_again", "split", "joined"),
)
WORKING = (
    *("bottled", "refilled", "filtered", "blended", "bottled", "settled", "made_up", "diluted"),
    *("refilled", "blended"),
)
STOCK = ("dispensed", "counted", "discarded", "restored", "dispensed")
UPKEEP = (
    *("moved", "noted", "labelled", "later", "away", "released", "looked_at", "held", "dried"),
    "recalled",
)
AMENDING = ("corrected", "struck", "same_as", "corrected")

numbers = st.lists(st.integers(0, 47), min_size=24, max_size=24)
desks = st.integers(0, 2)
sure = st.booleans()
MOST = 3_000  # lines of one life


class AnyLife(RuleBasedStateMachine):
    """Two makers at one book and one apart, every kind in any order."""

    tally = Tally()
    full_every = 25

    def __init__(self) -> None:
        super().__init__()
        self.home = Path(tempfile.mkdtemp(prefix="any-life-"))
        self.house = House(self.home)
        self.steps = 0
        self.is_whole = True

    def say(self, desk: int, kind: str, chosen: list[int], is_sure: bool) -> None:
        self.is_whole = False
        self.house.desks[desk].say(kind, chosen, is_sure, self.tally)
        self.steps += 1
        if self.steps % self.full_every == 0:
            self.house.check_all()
        self.is_whole = True

    @rule(desk=desks, kind=st.sampled_from(OPENING), chosen=numbers, is_sure=sure)
    def open(self, desk, kind, chosen, is_sure):
        self.say(desk, kind, chosen, is_sure)

    @rule(desk=desks, kind=st.sampled_from(STEEPING), chosen=numbers, is_sure=sure)
    def steep(self, desk, kind, chosen, is_sure):
        self.say(desk, kind, chosen, is_sure)

    @rule(desk=desks, kind=st.sampled_from(WORKING), chosen=numbers, is_sure=sure)
    def work(self, desk, kind, chosen, is_sure):
        self.say(desk, kind, chosen, is_sure)

    @rule(desk=desks, kind=st.sampled_from(STOCK), chosen=numbers, is_sure=sure)
    def take_stock(self, desk, kind, chosen, is_sure):
        self.say(desk, kind, chosen, is_sure)

    @rule(desk=desks, kind=st.sampled_from(UPKEEP), chosen=numbers, is_sure=sure)
    def keep_up(self, desk, kind, chosen, is_sure):
        self.say(desk, kind, chosen, is_sure)

    @rule(desk=desks, kind=st.sampled_from(AMENDING), chosen=numbers, is_sure=sure)
    def amend(self, desk, kind, chosen, is_sure):
        self.say(desk, kind, chosen, is_sure)

    @rule(
        desk=desks,
        lines=st.lists(st.tuples(st.sampled_from(sorted(MAKERS)), numbers), min_size=2, max_size=3),
        is_sure=sure,
    )
    def page(self, desk, lines, is_sure):
        self.is_whole = False
        self.house.desks[desk].page(lines, is_sure, self.tally)
        self.is_whole = True

    @rule(hours=st.sampled_from((1, 24, 72, 500)))
    def wait(self, hours):
        self.house.wait(hours)

    @rule(there=st.booleans(), back=st.booleans())
    def meet(self, there, back):
        self.is_whole = False
        self.house.meet(there=there, back=back)
        self.is_whole = True

    def teardown(self) -> None:
        try:
            if self.is_whole:
                self.house.check_all()
        finally:
            shutil.rmtree(self.home)


class UndoneLife(AnyLife):
    """The same with second thoughts: what was recorded is taken back, and nothing is left of it."""

    @rule(desk=desks, is_sure=sure)
    def undo(self, desk, is_sure):
        self.is_whole = False
        self.house.desks[desk].undo(is_sure, self.tally)
        self.is_whole = True

    @rule(desk=desks, kind=st.sampled_from(sorted(MAKERS)), chosen=numbers, is_sure=sure)
    def record_and_undo(self, desk, kind, chosen, is_sure):
        self.is_whole = False
        writer = self.house.desks[desk]
        writer.take_back(lambda: writer.say(kind, chosen, is_sure, self.tally), self.tally)
        self.is_whole = True

    @rule(
        desk=desks,
        lines=st.lists(st.tuples(st.sampled_from(sorted(MAKERS)), numbers), min_size=2, max_size=9),
        is_sure=sure,
    )
    def page_and_undo(self, desk, lines, is_sure):
        self.is_whole = False
        writer = self.house.desks[desk]
        writer.take_back(lambda: writer.page(lines, is_sure, self.tally), self.tally)
        self.is_whole = True


def lived(examples: int, steps: int) -> settings:
    return settings(searching(examples), stateful_step_count=steps)


def test_makers_are_there_for_every_kind():
    assert MAKERS.keys() == KINDS.keys()


def test_any_short_life_holds():
    run_state_machine_as_test(AnyLife, settings=lived(60, 100))


def test_any_short_life_with_second_thoughts_holds():
    run_state_machine_as_test(UndoneLife, settings=lived(40, 60))


@pytest.mark.thorough
def test_long_lives_reach_every_kind_and_hold(tmp_path):
    class Counted(AnyLife):
        tally = Tally()

    run_state_machine_as_test(Counted, settings=lived(150, 300))
    live_for_the_rest(Counted.tally, tmp_path)

    assert Counted.tally.kinds.keys() == KINDS.keys()


def live_for_the_rest(tally: Tally, home: Path) -> None:
    """One life more, in which the kinds that none has reached yet are tried most.

    What is searched depends on the modules loaded before, so which kinds are left does too.
    """

    @searching(1)
    @given(st.just(7))
    def live(seed):  # what a writer says is noted, which only a search can
        chance, house = random.Random(seed), House(home)
        for _ in range(MOST):
            missing = sorted(KINDS.keys() - tally.kinds.keys())
            if not missing:
                break
            kind = chance.choice([*OPENING, *STEEPING, *WORKING, *missing * 5])
            chosen = [chance.randrange(48) for _ in range(24)]
            house.desks[chance.randrange(3)].say(kind, chosen, True, tally)
        house.check_all()

    live()


def test_one_life_is_enough_for_every_kind(tmp_path):
    """So that what the long lives have left is reached, whatever it is."""
    tally = Tally()
    live_for_the_rest(tally, tmp_path)

    assert tally.kinds.keys() == KINDS.keys()
