"""Business days, checked against NumPy's busday functions and the US list of the package ``holidays``."""

from __future__ import annotations

from datetime import date, timedelta

import holidays
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from projects.route.business_days import add_business_days, business_days_between, is_business_day

US_2026 = frozenset(holidays.country_holidays("US", years=[2025, 2026, 2027]))

DAYS = st.dates(date(2026, 1, 1), date(2026, 12, 31))
CLOSED = st.frozensets(st.dates(date(2026, 1, 1), date(2027, 6, 30)), max_size=40)


def test_the_calendar_that_these_tests_count_on() -> None:
    """5 USC 6103(a) names the federal holidays; 2026's days by the package ``holidays``."""
    federal = {day for day in US_2026 if day.year == 2026}
    assert federal == {
        date(2026, 1, 1),  # New Year's Day, Thursday
        date(2026, 1, 19),  # Martin Luther King Jr. Day, third Monday of January
        date(2026, 2, 16),  # Washington's Birthday, third Monday of February
        date(2026, 5, 25),  # Memorial Day, last Monday of May
        date(2026, 6, 19),  # Juneteenth, Friday
        date(2026, 7, 3),  # Independence Day observed: the 4th is a Saturday
        date(2026, 7, 4),
        date(2026, 9, 7),  # Labor Day, first Monday of September
        date(2026, 10, 12),  # Columbus Day, second Monday of October
        date(2026, 11, 11),  # Veterans Day, Wednesday
        date(2026, 11, 26),  # Thanksgiving, fourth Thursday of November
        date(2026, 12, 25),  # Christmas Day, Friday
    }


@pytest.mark.parametrize(
    ("start", "days", "due"),
    [
        (date(2026, 3, 2), 1, date(2026, 3, 3)),  # Monday to Tuesday
        (date(2026, 3, 6), 1, date(2026, 3, 9)),  # Friday to Monday
        (date(2026, 3, 7), 1, date(2026, 3, 9)),  # Saturday counts as Friday's end
        (date(2026, 3, 8), 1, date(2026, 3, 9)),  # Sunday too
        (date(2026, 3, 2), 5, date(2026, 3, 9)),  # a week
        (date(2026, 3, 2), 10, date(2026, 3, 16)),
        (date(2026, 7, 1), 2, date(2026, 7, 6)),  # Wednesday: Thursday, then past Friday's holiday and the weekend
        (date(2026, 11, 25), 1, date(2026, 11, 27)),  # over Thanksgiving
        (date(2026, 12, 22), 5, date(2026, 12, 30)),  # over Christmas and a weekend
        (date(2026, 12, 31), 1, date(2027, 1, 4)),  # over New Year, a Friday, and a weekend
        (date(2026, 5, 22), 1, date(2026, 5, 26)),  # over a weekend and Memorial Day
        (date(2026, 5, 23), 0, date(2026, 5, 26)),  # 0 days from a Saturday: the next open day
        (date(2026, 5, 22), 0, date(2026, 5, 22)),
    ],
)
def test_due_days_fall_over_weekends_and_holidays(start: date, days: int, due: date) -> None:
    assert add_business_days(start, days, US_2026) == due


def test_no_days_back() -> None:
    with pytest.raises(ValueError, match="0 or more"):
        add_business_days(date(2026, 3, 2), -1)


@given(DAYS, st.integers(1, 60), CLOSED)
@settings(max_examples=150, deadline=None)
def test_adding_agrees_with_numpy(start: date, days: int, closed: frozenset[date]) -> None:
    expected = np.busday_offset(start, days, roll="backward", holidays=sorted(closed))
    assert add_business_days(start, days, closed) == expected.astype(object)


@given(DAYS, st.integers(-5, 90), CLOSED)
@settings(max_examples=150, deadline=None)
def test_counting_agrees_with_numpy(start: date, length: int, closed: frozenset[date]) -> None:
    end = start + timedelta(days=length)
    day = timedelta(days=1)
    expected = int(np.busday_count(start + day, end + day, holidays=sorted(closed))) if end > start else 0
    assert business_days_between(start, end, closed) == expected


@given(DAYS, st.integers(1, 60), CLOSED)
@settings(max_examples=100, deadline=None)
def test_adding_and_counting_undo_each_other(start: date, days: int, closed: frozenset[date]) -> None:
    end = add_business_days(start, days, closed)
    assert is_business_day(end, closed)
    assert business_days_between(start, end, closed) == days
