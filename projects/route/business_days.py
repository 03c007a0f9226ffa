"""Business days: Monday to Friday, less the days on which the counter is closed."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from datetime import date, timedelta

_DAY = timedelta(days=1)
_NONE: frozenset[date] = frozenset()


def is_business_day(day: date, holidays: AbstractSet[date] = _NONE) -> bool:
    return day.weekday() < 5 and day not in holidays


def add_business_days(start: date, days: int, holidays: AbstractSet[date] = _NONE) -> date:
    """The ``days``-th business day after ``start``; the day of ``start`` itself doesn't count.

    ``days=0`` gives ``start``, or the next business day where ``start`` is none. Raises ValueError when negative.
    """
    if days < 0:
        raise ValueError(f"days must be 0 or more, not {days}")
    if days == 0:
        day = start
        while not is_business_day(day, holidays):
            day += _DAY
        return day
    if start.weekday() >= 5:
        start -= timedelta(days=start.weekday() - 4)
    # Whole weeks at once, then every closed weekday passed on the way pushes the answer on by one.
    weeks, rest = divmod(start.weekday() + days, 5)
    day = start + timedelta(days=weeks * 7 + rest - start.weekday())
    if not holidays:
        return day
    passed = {closed for closed in holidays if closed > start and closed.weekday() < 5}
    counted = sum(1 for closed in passed if closed <= day)
    while counted:
        following = add_business_days(day, counted)
        counted = sum(1 for closed in passed if day < closed <= following)
        day = following
    return day


def business_days_between(start: date, end: date, holidays: AbstractSet[date] = _NONE) -> int:
    """How many business days lie after ``start`` up to and with ``end``; 0 where ``end`` is not later."""
    if end <= start:
        return 0
    weeks, rest = divmod((end - start).days, 7)
    weekday = start.weekday()
    count = weeks * 5 + sum(1 for i in range(1, rest + 1) if (weekday + i) % 7 < 5)
    return count - sum(1 for closed in holidays if start < closed <= end and closed.weekday() < 5)
