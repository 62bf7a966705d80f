"""The channels for reminders; each knows whether its message was accepted."""

from tracker.daemon.notify.chain import Chain, desktop_channels, in_order
from tracker.daemon.notify.desktop_bus import DesktopBus
from tracker.daemon.notify.notice import NotDelivered, Notice, Notifier
from tracker.daemon.notify.plyer_desktop import PlyerDesktop
from tracker.daemon.notify.terminal import Terminal

__all__ = [
    "Chain",
    "DesktopBus",
    "NotDelivered",
    "Notice",
    "Notifier",
    "PlyerDesktop",
    "Terminal",
    "desktop_channels",
    "in_order",
]
