import sys

import pytest

from tests.journal.on_disk import a_bench
from tests.lives import a_charge, on
from tracker.bench.record import record
from tracker.cli import asking
from tracker.cli.asking import until_answered
from tracker.cli.desk import Desk
from tracker.core.facts.amendments import Noted
from tracker.core.facts.fields import About
from tracker.core.rules.recorded import Draft


@pytest.fixture
def bench(tmp_path):
    bench = a_bench(tmp_path)
    record(bench, [Draft("one-charge", "CAOF-25-01", on("2025-03-03"), a_charge())])
    return bench


class Typist:
    """A person at a terminal, who writes in the book from elsewhere before answering."""

    def __init__(self, bench, monkeypatch):
        self.bench, self.asked = bench, []
        monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
        monkeypatch.setattr(asking, "typed_line", self.answer)

    def answer(self, question, *_):
        self.asked.append(question)
        elsewhere = Noted(about=About(jar="one-charge"), note="written elsewhere")
        record(self.bench, [Draft(self.bench.new_id(), "CAOF-25-01", on("2025-03-04"), elsewhere)])
        return "370 ml"


def test_the_book_is_free_while_a_question_stands(bench, monkeypatch):
    """A person may take minutes; the lock would keep every other terminal waiting."""
    typist = Typist(bench, monkeypatch)
    desk, runs = Desk(bench), []

    def verb():
        runs.append(desk.find("CAOF-25-01").code)
        desk.remarks.append("looked")
        return desk.volume(None, "How much came out").value

    assert until_answered(desk, verb) == 370
    assert typist.asked == ["How much came out"]
    assert runs == ["CAOF-25-01"] * 2
    assert desk.remarks == ["looked"]
    assert len(bench.entries_of("one-charge")) == 2


def test_before_the_book_is_opened_a_question_is_asked_in_place(bench, monkeypatch):
    typist = Typist(bench, monkeypatch)
    desk, runs = Desk(bench), []

    def verb():
        runs.append(1)
        return desk.volume(None, "How much came out").value

    assert until_answered(desk, verb) == 370
    assert typist.asked == ["How much came out"]
    assert runs == [1]
