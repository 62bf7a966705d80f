"""The digest as a notice: its buttons, what a press is about, and how pressing it is."""

import pytest

from tests.command import Command
from tests.daemon.notification_server import private_bus, scripted
from tests.mornings import days
from tests.outputs.terminal.test_due_groups import READY, TODAY, a_shake, an_item
from tracker.core.rules.morning import Told, after_telling
from tracker.core.rules.reasons import BareLid, GoodThrough, OnHold, PastLongest
from tracker.daemon.deliver import notice, tell
from tracker.daemon.notify import Chain, DesktopBus

HOLD = OnHold("look", "mould", event="0001")


def buttons(items) -> dict[str, str]:
    return dict(notice(items, TODAY, buttons=True).actions)


@pytest.mark.parametrize(
    ("number", "words"), [(1, "Shaken"), (2, "Both shaken"), (7, "All 7 shaken")]
)
def test_the_button_says_how_many_it_records(number, words):
    digest = notice([a_shake(one, code=f"A{one}") for one in range(number)], TODAY, buttons=True)

    assert dict(digest.actions)["shaken"] == words
    assert digest.codes["shaken"] == tuple(f"A{one}" for one in range(number))


def test_nobody_can_record_a_shake_of_jars_that_have_no_line():
    dangers = [
        *(an_item(one, "safety", HOLD, code=f"H{one}") for one in range(2)),
        an_item(2, "safety", BareLid()),
        an_item(3, "past-longest", PastLongest(3)),
        an_item(4, "expired", GoodThrough(TODAY, 10.0)),
        an_item(5, "weak", BareLid(), code="W1"),
    ]
    crowded = [*dangers, an_item(6, "away", READY), a_shake(7), a_shake(8),
               an_item(9, "ready", READY)]  # fmt: skip
    digest = notice(crowded, TODAY, buttons=True)

    assert "Shake" not in digest.body
    assert "shaken" not in dict(digest.actions)
    assert "later" in dict(digest.actions)


def test_what_concerns_safety_is_not_put_off_and_the_button_says_so():
    assert buttons([a_shake(1)])["later"] == "Tomorrow"
    assert buttons([a_shake(1), an_item(2, "safety", HOLD)])["later"] == "The rest tomorrow"
    assert "later" not in buttons([an_item(2, "safety", HOLD)])


def test_it_is_pressing_until_the_marks_have_it():
    items = [an_item(2, "safety", HOLD), a_shake(1)]
    told = after_telling(Told(), [one.line for one in items], TODAY)

    assert notice(items, TODAY).urgent
    assert not notice(items, TODAY, told=told).urgent
    assert not notice([a_shake(1)], TODAY).urgent


def test_a_book_that_is_not_whole_says_so_within_the_six_lines():
    items = [an_item(one, "safety", OnHold("look", f"{one}")) for one in range(9)]
    items += [an_item(1, "expired", GoodThrough(TODAY, 10.0)), a_shake(2), a_shake(3),
              an_item(3, "look", READY), an_item(4, "ready", READY),
              an_item(5, "expiring", GoodThrough(TODAY, 10.0))]  # fmt: skip
    lines = notice(items, TODAY, missing=2).body.splitlines()

    assert len(lines) == 6
    assert lines[-1].startswith("INCOMPLETE: 2 things")
    assert lines[-2].startswith("and ")


def test_what_the_desktop_receives_is_critical_once(command: Command, monkeypatch):
    """The urgency is a byte of the hints: 2 is critical, 1 is normal."""
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(
        'charge "citrus" --dried 50g --pour "250 ml 60%" --lid tin --shake none '
        "--least 3650d --code A1 --when 2025-07-01"
    )
    with private_bus() as bus, scripted(bus) as server:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", bus.address)
        for day in days("2025-07-05", "2025-07-07"):
            tell(command.bench(f"{day} 09:00"), Chain([DesktopBus()]), day)

    urgency = [hints["urgency"] for *_, hints, _ in server.taken]
    assert urgency == [("y", 2), ("y", 1), ("y", 1)]
    assert [summary for _, _, _, summary, *_ in server.taken] == ["Stillroom · 1 to look at"] * 3
