"""Every guided verb in a real terminal: to its end by Enter, with slips, and stopped."""

import pytest

from tests.command import Command, Talk
from tracker.cli.questions.guides import GUIDES

pytestmark = pytest.mark.thorough

CHARGE = 'charge "Melissa officinalis" --part leaf --dried 100g --pour "500 ml 45%" --jar 750ml '
BOOK = (
    CHARGE + "--lid glass --place pantry --when 2025-03-03",
    CHARGE + "--lid glass --place pantry --when 2025-03-04",
    "press MEOF-25-01 400ml --with hand --marc kept --keeps '90 years' --when 2025-06-10",
    "bottle MEOF-25-01A 2x100ml --when 2025-06-12",
    "dispense MEOF-25-01A/1 30ml --when 2025-06-13",
    CHARGE + "--lid glass --place pantry --when 2025-03-05",
    CHARGE + "--lid glass --place pantry --when 2025-03-06",
    "press MEOF-25-04 300ml --keeps '90 years' --when 2025-06-11",
    "hold MEOF-25-03 --why doubt --when 2025-06-14",
    "buy nettle --part leaf --dried 300g --when 2025-06-15",
    "gather nettle --fresh 800g --when 2025-06-16",
)
# What each asks at least: the first answers, after which Enter goes on to the end.
FIRST = {
    "charge": ["nettle", "none", "leaf", "d", "100", "500 ml 45%"],
    "press": ["MEOF-25-02", "350"],
    "filter": ["1", "190"],
    "bottle": ["1", "1x100ml"],
    "shake": ["MEOF-25-02"],
    "look": ["1", "1"],
    "move": ["1", "cellar"],
    "top-up": ["1", "50 ml water"],
    "label": ["1"],
    "note": ["1", "smells of hay"],
    "dispense": ["1", "30"],
    "count": ["1", "180 ml"],
    "discard": ["MEOF-25-01A", "20 ml", "spilt"],
    "hold": ["MEOF-25-01A", "doubt"],
    "release": ["1", "tasted"],
    "buy": ["nettle", "leaf", "d", "250"],
    "gather": ["nettle", "leaf", "fresh", "-", "800"],
    "dry": ["LOT-25-02", "", "170"],
    "found": ["nettle", "", "", "300"],
    "draw": ["1", "", "50"],
    "add-herb": ["1", "d", "20"],
    "recharge": ["1", "d", "20"],
    "steep-again": ["MEOF-25-01", "300 ml 45%"],
    "split": ["1", "one", "2"],
    "refill": ["1"],
    "blend": ["40 ml MEOF-25-01A", "10 ml MEOF-25-04A"],
    "dilute": ["1", "10 ml water"],
}
SLIP = "§ 9 §"
MOST = 16  # answers; no verb asks more


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A book that something can be done with by every verb; those that record nothing share it."""
    command = Command(tmp_path_factory.mktemp("kept"))
    for line in BOOK:
        command.ok(line)
    return command


def test_every_guided_verb_is_here():
    assert {name.strip("_").replace("_", "-") for name in GUIDES} == set(FIRST)


@pytest.mark.parametrize("verb", FIRST)
@pytest.mark.parametrize("columns", [60, 200])
def test_enter_goes_on_to_the_end(kept, verb, columns):
    before = kept.written()
    typed = [*FIRST[verb], *[""] * MOST]
    talk = kept.talk(f"{verb} --dry-run", *typed, columns=columns, NO_COLOR="1")

    assert talk.code == 0, talk.screen
    assert "Would record" in talk.screen
    assert "\x1b" not in talk.screen
    offered = [one for one in talk.screen.splitlines() if one.startswith("  1 ")]
    assert all(len(one) <= columns for one in offered)
    assert kept.written() == before


@pytest.mark.parametrize("verb", FIRST)
def test_a_slip_is_said_and_asked_again_and_stopping_there_records_nothing(kept, verb):
    """A slip at one question after the other, and Ctrl-C or the end of input once it is said."""
    before = kept.written()
    for answered in range(len(FIRST[verb])):
        sign = "\x03\x04"[answered % 2]
        talk = kept.talk(verb, *FIRST[verb][:answered], SLIP, sign)

        assert talk.code == 1, talk.screen
        assert "Stopped: nothing was recorded." in talk.screen
        assert "Traceback" not in talk.screen
        assert talk.before == talk.after
    assert kept.written() == before


@pytest.mark.parametrize("sign", ["\x03", "\x04"])
@pytest.mark.parametrize("verb", FIRST)
def test_stopped_at_the_last_question_it_records_nothing(kept, verb, sign):
    before = kept.written()
    with Talk(kept, verb, 80, 24, {}) as talk:
        for one in [*FIRST[verb], *[""] * MOST]:
            if "Record? [Y" in talk.screen or "Record it? [y" in talk.screen:
                break
            talk.type(one)
        talk.type(sign)

    assert talk.code == 1, talk.screen
    assert "Stopped: nothing was recorded." in talk.screen
    assert talk.before == talk.after
    assert kept.written() == before
