"""The time of a place, from a time in UTC and how far the clock on its wall is from that."""

from __future__ import annotations

from datetime import datetime, timedelta


def time_of_place(at: str, zone: str) -> str:
    """Return day and time of the place, as ``2026-05-14 21:04``.

    ``at`` is a time in UTC, or a day alone, which stays as it is; ``zone`` how far the place is from UTC, as ``-06:00``. Where that is
    empty the time is that of UTC, and says so.
    """
    if "T" not in at:
        return at
    if not zone:
        return f"{at[:16].replace('T', ' ')} UTC"
    hours, _, minutes = zone[1:].partition(":")
    away = timedelta(hours=int(hours), minutes=int(minutes))
    try:
        moment = datetime.fromisoformat(at[:16]) + (away if zone[0] == "+" else -away)
    except OverflowError:  # the first and the last day of the calendar
        return time_of_place(at, "")
    return moment.isoformat(" ", "minutes")
