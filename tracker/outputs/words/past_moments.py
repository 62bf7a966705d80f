"""When something was done a while ago, as people say it."""

from datetime import datetime, timedelta


def moment_said(at: datetime, now: datetime) -> str:
    """`today at 09:12`, `yesterday at 21:40`, `2026-11-03 at 08:00`: in the zone of now."""
    local = at.astimezone(now.tzinfo)
    near = {now.date(): "today", now.date() - timedelta(days=1): "yesterday"}
    return f"{near.get(local.date()) or local.date().isoformat()} at {local:%H:%M}"
