"""The process apart: one notice by a library of other people's, and one answer of ours."""
# Neither library ships types.
# mypy: disable-error-code="import-untyped"

import json
import logging
import os
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress

Given = Mapping[str, str]
Done = tuple[str, str]

_MOST_LETTERS = 300


def main() -> None:
    """Read the work from standard input, do it, and answer on what was standard output."""
    with suppress(ImportError, OSError, ValueError):
        import resource

        # What lies in memory when a library crashes is not for the disk.
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    answer_to = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    logging.disable(logging.CRITICAL)
    work, given = json.loads(sys.stdin.buffer.read())
    os.write(answer_to, json.dumps(_done(_WORK[work], given)).encode())
    # What a library left running must not keep the answer waiting.
    os._exit(0)


def _done(work: Callable[[Given], Done], given: Given) -> Done:
    try:
        return work(given)
    except Exception as reason:  # whatever a library raises is an answer
        # Of apprise not even the words: an address may be in them.
        why = str(reason) if work is not _by_apprise else ""
        return "failed", (why or type(reason).__name__)[:_MOST_LETTERS]


def _by_apprise(given: Given) -> Done:
    import apprise

    service = apprise.Apprise()
    if not service.add(given["address"]):
        return "not understood", ""
    kind = apprise.NotifyType.WARNING if given["urgent"] else apprise.NotifyType.INFO
    taken = service.notify(
        title=given["title"],
        body=given["body"],
        notify_type=kind,
        body_format=apprise.NotifyFormat.TEXT,
    )
    return ("taken" if taken else "refused"), ""


def _by_notify_send(given: Given) -> Done:
    # plyer.notification would warn about a missing python-dbus, and choose by what it finds.
    from plyer.platforms.linux.notification import NotifySendNotification

    NotifySendNotification().notify(
        title=given["title"], message=given["body"], app_name=given["app"]
    )
    return "taken", ""


def _by_balloon(given: Given) -> Done:
    # plyer.notification would start a thread of its own, where an exception goes unseen.
    from plyer.platforms.win.libs.balloontip import balloon_tip

    balloon_tip(
        title=given["title"],
        message=given["body"],
        app_name=given["app"],
        timeout=int(given["seconds"]),
    )
    return "taken", ""


def _by_notification_centre(given: Given) -> Done:
    from plyer.platforms.macosx.notification import instance

    instance().notify(title=given["title"], message=given["body"], app_name=given["app"])
    return "taken", ""


_WORK: Mapping[str, Callable[[Given], Done]] = {
    "apprise": _by_apprise,
    "notify-send": _by_notify_send,
    "balloon": _by_balloon,
    "notification centre": _by_notification_centre,
}
