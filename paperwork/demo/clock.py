"""Tells a job's story day by day: inside ``standing_at`` Django's clock reads the given moment.

Only the demo uses it. Everything else lives in the present; the actions refuse facts of the future by this same clock,
so a story can't be told out of order.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time, timedelta
from unittest.mock import patch

from django.utils import timezone

from projects.actions.holidays import public_holidays


@contextmanager
def standing_at(moment: datetime) -> Iterator[None]:
    with patch("django.utils.timezone.now", return_value=moment):
        yield


def office_time(day: date, at: time) -> datetime:
    return timezone.make_aware(datetime.combine(day, at))


def working_day(day: date) -> date:
    """The day itself, or the Friday before a weekend."""
    return day - timedelta(days=max(0, day.weekday() - 4))


def weekday(day: date) -> date:
    """The day itself, or the first one after a weekend or a holiday."""
    while day.weekday() > 4 or day in public_holidays("NC", day.year, day.year):
        day += timedelta(days=1)
    return day
