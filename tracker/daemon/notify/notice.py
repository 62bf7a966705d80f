"""One message to the maker, and what every channel promises about delivering it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

APP_NAME = "Stillroom"


@dataclass(frozen=True, slots=True)
class Notice:
    """One message to the maker.

    A later notice with the same `key` takes the place of the earlier one where a channel can
    do that. `actions` are pairs of a key and the words on the button; the key `default` is a
    click on the message itself (Desktop Notifications Specification 1.2, "Notify"). `codes`
    says for each key which jars or extracts the answer is about.
    """

    title: str
    body: str
    urgent: bool = False
    actions: tuple[tuple[str, str], ...] = ()
    key: str = ""
    codes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


class NotDelivered(Exception):  # noqa: N818 - an outcome of every channel, not a fault
    """The channel did not take the notice; `why` can be shown to the maker."""

    def __init__(self, channel: str, why: str) -> None:
        super().__init__(f"{channel}: {why}")
        self.channel, self.why = channel, why


class Notifier(Protocol):
    """A channel that can carry a notice."""

    @property
    def name(self) -> str:
        """What the channel is called in messages and delivery marks."""

    def deliver(self, notice: Notice) -> None:
        """Return once the channel has taken `notice`.

        Raises:
            NotDelivered: it was not taken; nothing may be marked as told.
        """
