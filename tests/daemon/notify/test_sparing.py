"""A channel that fails again and again is tried less and less, and at once when it worked."""

import pytest

from tracker.daemon.notify import NotDelivered, Notice
from tracker.daemon.notify.sparing import MOST_LEFT_OUT, Sparing

READY = Notice("Stillroom: one jar needs attention", "B1 ready: from 3 July")


class Phone:
    """Takes notices, or counts how often it refused."""

    name = "phone"

    def __init__(self) -> None:
        self.tried = 0
        self.refuses = True

    def deliver(self, notice: Notice) -> None:
        self.tried += 1
        if self.refuses:
            raise NotDelivered(self.name, "no answer")


def tried_at(channel: Sparing, phone: Phone, digests: int) -> list[int]:
    """At which of so many digests it was tried."""
    found = []
    for number in range(digests):
        before = phone.tried
        with pytest.raises(NotDelivered, match="phone: no answer"):
            channel.deliver(READY)
        if phone.tried > before:
            found.append(number)
    return found


def test_it_is_left_out_longer_each_time_and_says_why_all_the_same():
    phone = Phone()
    tried = tried_at(Sparing(phone), phone, 80)

    assert tried == [0, 2, 6, 14, 30, 50, 70]
    assert tried[-1] - tried[-2] == MOST_LEFT_OUT + 1


def test_once_it_has_worked_it_starts_from_the_beginning():
    phone = Phone()
    channel = Sparing(phone)
    tried_at(channel, phone, 6)
    phone.refuses = False
    channel.deliver(READY)
    phone.refuses = True

    assert tried_at(channel, phone, 3) == [0, 2]
    assert channel.name == "phone"
