"""Every guided verb in a real terminal: with slips at every question, and stopped at each.

What is asked is learnt from the table of questions; what is answered stands here.
"""

from collections.abc import Iterator, Sequence

import pytest

from tests.command import Command, Talk
from tests.forked_talk import ForkedTalk
from tracker.cli.help.verb_table import SECTIONS
from tracker.cli.questions.asked import Asked
from tracker.cli.questions.guides import GUIDES, questions_of

pytestmark = pytest.mark.thorough

CHARGE = 'charge "Melissa officinalis" --part leaf --dried 100g --pour "500 ml 45%" --jar 750ml '
CHARGE += "--lid glass --place pantry"
BOOK = (
    f"{CHARGE} --when 2025-03-03",
    f"{CHARGE} --longest 200d --when 2025-03-04",
    "press MEOF-25-01 400ml --with hand --marc kept --keeps '90 years' --when 2025-06-10",
    "bottle MEOF-25-01A 2x100ml --when 2025-06-12",
    "dispense MEOF-25-01A/1 30ml --when 2025-06-13",
    f"{CHARGE} --when 2025-03-05",
    f"{CHARGE} --when 2025-03-06",
    "press MEOF-25-04 300ml --keeps '90 years' --when 2025-06-11",
    "hold MEOF-25-03 --why doubt --when 2025-06-14",
    "buy nettle --part leaf --dried 300g --when 2025-06-15",
    "gather nettle --fresh 800g --when 2025-06-16",
    "buy nettle --part leaf --dried 50g --when 2025-06-17",
    "discard LOT-25-03 --why moths --when 2025-06-18",
    f"{CHARGE} --when 2026-11-01",
    f"{CHARGE} --when 2026-11-02",
    "note MEOF-26-01 'smells of hay' --when 2026-11-03",
    "note MEOF-26-01 'of hay' --when 2026-11-03",
)
# What is answered, by the verb and the question; Enter at any other, and behind the last pour.
ANSWERS: dict[str, dict[str, str]] = {
    "charge": {
        "herb": "nettle",
        "lots": "none",
        "part": "leaf",
        "form": "d",
        "weight": "100",
        "pours": "500 ml 45%",
        "jar": "750",
        "lid": "metal",
        "barrier": "wax",
        "place": "loft",
    },
    "press": {"code": "MEOF-25-02", "volume": "350", "how": "hand", "marc": "kept"},
    "filter": {"code": "1", "volume": "190"},
    "bottle": {"code": "1", "sizes": "1x100ml"},
    "shake": {"codes": "MEOF-25-02"},
    "look": {"codes": "1", "signs": "1", "verdict": "watch", "again": "3d"},
    "note": {"code": "1", "text": "smells of hay"},
    "later": {"codes": "MEOF-25-02", "what": "1", "until": "3d"},
    "away": {"first": "tomorrow", "last": "14d"},
    "move": {"codes": "1", "jar": "750", "lid": "metal", "barrier": "wax"},
    "top-up": {"code": "1", "pours": "50 ml water"},
    "label": {"codes": "1"},
    "dispense": {"code": "1", "volume": "30", "reference": "P03"},
    "count": {"code": "1", "amount": "180"},
    "discard": {"code": "MEOF-25-01A", "volume": "20", "why": "spilt"},
    "restore": {"code": "1"},
    "hold": {"codes": "MEOF-25-01A", "why": "doubt"},
    "release": {"codes": "1", "why": "tasted"},
    "buy": {"what": "nettle", "part": "leaf", "form": "d", "weight": "250", "paid": "6.40"},
    "gather": {"herb": "nettle", "part": "leaf", "form": "fresh", "weight": "800"},
    "dry": {"lot": "LOT-25-02", "before": "400", "after": "70"},
    "recall": {"code": "LOT-25-01", "why": "mouldy"},
    "found": {
        "herb": "nettle",
        "part": "leaf",
        "form": "dried",
        "amount": "300",
        "jar": "750",
        "lid": "metal",
        "barrier": "wax",
        "charged": "2023",
    },
    "draw": {"code": "1", "amount": "50"},
    "add-herb": {"code": "1", "form": "d", "weight": "20"},
    "recharge": {"code": "1", "form": "d", "weight": "20", "amount": "150"},
    "steep-again": {"code": "MEOF-25-01", "pours": "300 ml 45%"},
    "split": {"code": "1", "into": "2"},
    "join": {"codes": "MEOF-26-01 MEOF-26-02", "jar": "2 l"},
    "refill": {"code": "MEOF-25-01A/1", "amount": "20"},
    "blend": {"first": "40 ml MEOF-25-01A", "others": "10 ml MEOF-25-04A", "measured": "50"},
    "dilute": {"code": "1", "pours": "10 ml water", "to": "320"},
    "same": {"event": "16", "other": "17"},
}
MOST = 30  # answers; no verb asks as many
SLIP = "§ 9 §"
# Any words do for these; where one has to be answered, the slip is a blank line.
IN_OWN_WORDS = {
    *("place", "to", "how", "through", "where", "their_lot", "text", "why", "lid", "barrier"),
    *("part", "lots"),
}


def spoken(verb: str) -> str:
    return verb.strip("_").replace("_", "-")


NAMES = {spoken(verb): verb for verb in GUIDES}


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Command:
    """A book that something can be done with by every verb; none records anything in it."""
    command = Command(tmp_path_factory.mktemp("kept"))
    for line in BOOK:
        command.ok(line)
    return command


def is_last(talk: Talk) -> bool:
    return talk.asks.startswith("Record")


def asked_in(talk: Talk, questions: Sequence[Asked]) -> Asked | None:
    """The question of the table that ends the screen."""
    found = [one for one in questions if talk.asks.startswith(one.words)]
    return max(found, key=lambda one: len(one.words), default=None)


def answered(talk: Talk, verb: str, questions: Sequence[Asked]) -> Iterator[Asked]:
    """Each question as it comes up; it is answered when the next one is wanted."""
    for _ in range(MOST):
        if is_last(talk):
            return
        one = asked_in(talk, questions)
        if one is None:
            assert talk.asks.startswith("And then"), talk.screen
            talk.type("")
            continue
        yield one
        talk.type(ANSWERS[verb].get(one.name, ""))
    raise AssertionError(talk.screen)


def is_stopped(talk: Talk) -> bool:
    return (
        talk.code == 1
        and "Stopped: nothing was recorded." in talk.screen
        and "Traceback" not in talk.screen
        and talk.before == talk.after
    )


def test_every_guided_verb_is_answered_here_and_stands_in_its_section():
    assert set(NAMES) == set(ANSWERS)
    for heading, rows in SECTIONS.items():
        for verb, _, _ in rows:
            if verb in NAMES:
                assert heading.replace(" ", "_").startswith(GUIDES[NAMES[verb]]), verb


@pytest.mark.parametrize("verb", sorted(NAMES))
def test_each_slip_is_said_and_asked_again_and_nothing_is_lost(kept, verb):
    before, questions, met = kept.written(), questions_of(NAMES[verb]), list[str]()
    with ForkedTalk(kept, verb) as talk:
        for one in answered(talk, verb, questions):
            assert one.name not in met, talk.screen
            met.append(one.name)
            if one.name in IN_OWN_WORDS and one.may_skip:
                continue
            asked, seen = talk.asks, len(talk.screen)
            talk.type("" if one.name in IN_OWN_WORDS else SLIP)
            assert talk.asks == asked, talk.screen
            assert len(talk.screen[seen:].splitlines()) > 2, talk.screen
        assert is_last(talk), talk.screen
        talk.type("\x03")

    assert is_stopped(talk), talk.screen
    assert met == [one.name for one in questions]
    assert kept.written() == before


@pytest.mark.parametrize("verb", sorted(NAMES))
def test_stopped_at_any_question_it_records_nothing(kept, verb):
    """Ctrl-C and the end of input in turn."""
    before, questions = kept.written(), questions_of(NAMES[verb])
    for at, last in enumerate([*questions, None]):
        with ForkedTalk(kept, verb) as talk:
            for one in answered(talk, verb, questions):
                if one is last:
                    break
            talk.type("\x03\x04"[at % 2])

        assert is_stopped(talk), talk.screen
    assert kept.written() == before


@pytest.mark.parametrize("columns", [60, 200])
@pytest.mark.parametrize("verb", sorted(NAMES))
def test_enter_goes_on_to_the_end_and_what_is_offered_fits(kept, verb, columns):
    before, questions = kept.written(), questions_of(NAMES[verb])
    with ForkedTalk(kept, f"{verb} --dry-run", columns, NO_COLOR="1") as talk:
        talk.type("?")
        for _ in range(MOST):
            one = asked_in(talk, questions)
            if not talk.asks:
                break
            talk.type(ANSWERS[verb].get(one.name, "") if one is not None else "")

    assert talk.code == 0, talk.screen
    assert "Would record" in talk.screen
    assert "< goes back" in " ".join(talk.screen.split())
    assert "\x1b" not in talk.screen
    offered = [one for one in talk.screen.splitlines() if one.startswith("  1 ")]
    assert all(len(one) <= columns for one in offered)
    assert kept.written() == before
