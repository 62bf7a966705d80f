"""Channels in order of preference, and which of them this platform has."""

import sys
from collections.abc import Callable, Sequence

from tracker.daemon.notify.desktop_bus import DesktopBus
from tracker.daemon.notify.notice import NotDelivered, Notice, Notifier
from tracker.daemon.notify.plyer_desktop import PlyerDesktop


class Chain:
    """Tries one channel after another until one takes the notice."""

    name = "chain"

    def __init__(self, notifiers: Sequence[Notifier]) -> None:
        self.notifiers = tuple(notifiers)

    def deliver(self, notice: Notice) -> str:
        """The name of the channel that took `notice`.

        Raises:
            NotDelivered: none did; `why` holds the reason of each, in order.
        """
        refusals: list[str] = []
        for notifier in self.notifiers:
            try:
                notifier.deliver(notice)
            except NotDelivered as refusal:
                refusals.append(str(refusal))
            else:
                return notifier.name
        raise NotDelivered(self.name, "; ".join(refusals) or "there is no channel to send by")


def in_order(
    names: Sequence[str],
    desktop: Sequence[Notifier],
    further: Callable[[str], Notifier] | None = None,
) -> list[Notifier]:
    """The channels a practice names, in its order.

    Args:
        names: what the practice says.
        desktop: what this platform has.
        further: finds one of the maker's own by its name; those of apprise if it is not said.
    """
    found: list[Notifier] = []
    for name in names:
        found += desktop if name == "desktop" else [(further or _by_apprise)(name)]
    return found


def _by_apprise(name: str) -> Notifier:
    from tracker.daemon.notify.further import Further  # what keeps its address takes much to load

    return Further(name)


def desktop_channels(platform: str = sys.platform) -> list[Notifier]:
    """The desktop channels of `platform` (as `sys.platform` names it), best first."""
    if platform in ("win32", "darwin"):
        return [PlyerDesktop(platform=platform)]
    return [DesktopBus(), PlyerDesktop(platform=platform)]
