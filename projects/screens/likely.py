"""A forecast as words: a range of days, never a promise."""

from __future__ import annotations

from datetime import date


def range_words(low: date, high: date, today: date) -> str:
    """ "3 Dec to 20 Dec", "28 Dec to 9 Jan 2027": the year once, and only where it isn't this one."""
    year = f" {high.year}" if high.year != today.year else ""
    if low == high:
        return f"{low.day} {low:%b}{year}"
    return f"{low.day} {low:%b} to {high.day} {high:%b}{year}"
