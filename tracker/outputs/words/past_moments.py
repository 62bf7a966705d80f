"""When something was done a while ago, as people say it."""

from datetime import datetime, timedelta

from tracker.core.values.day_words import short_day


def moment_said(at: datetime, now: datetime) -> str:
    """`today at 09:12`, `yesterday at 21:40`, `3 Nov at 08:00`: in the zone of now."""
    local = at.astimezone(now.tzinfo)
    near = {now.date(): "today", now.date() - timedelta(days=1): "yesterday"}
    day = near.get(local.date()) or short_day(local.date(), now.year)
    return f"{day} at {local:%H:%M}"
