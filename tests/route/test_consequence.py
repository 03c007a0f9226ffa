"""The order of the desk: what happens if nobody does it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from projects.route.consequence import TITLES, can_be_put_off, level, order, warning

TODAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("kind", "days_left", "expected"),
    [
        ("permit_expiry", -3, 1),
        ("permit_expiry", 7, 1),
        ("permit_expiry", 8, 5),
        ("permit_expiry", 14, 5),
        ("permit_expiry", 15, 6),
        ("permit_expiry", 30, 6),
        ("licence_expiry", 0, 1),
        ("licence_expiry", 8, 5),
        ("licence_expiry", 30, 5),
        ("licence_expiry", 36, 6),
        ("insurance_expiry", 60, 6),
        ("insurance_expiry", 7, 1),
        ("first_look", -1, 2),
        ("first_look", 1, 2),
        ("answer", -1, 3),
        ("answer", 2, 3),
        ("answer", 3, 5),
        ("answer", None, 5),
        ("step", -9, 4),
        ("step", 0, 4),
        ("step", 1, 5),
        ("step", None, 5),
        ("call", -2, 4),
        ("look_again", 0, 4),
        ("ask", -30, 5),
    ],
)
def test_each_kind_has_its_level(kind, days_left, expected) -> None:
    assert level(kind, days_left) == expected
    assert expected in TITLES


def test_a_long_late_step_never_hides_what_stops_work() -> None:
    late_step = order("step", TODAY - timedelta(days=90), TODAY, 1)
    permit = order("permit_expiry", TODAY + timedelta(days=7), TODAY, 999)
    promise = order("first_look", TODAY + timedelta(days=1), TODAY, 999)
    assert sorted([late_step, promise, permit]) == [permit, promise, late_step]


def test_within_a_level_the_earlier_day_then_the_older_job_comes_first() -> None:
    soon, later = TODAY + timedelta(days=1), TODAY + timedelta(days=9)
    ordered = [
        order("step", soon, TODAY, 7),
        order("step", soon, TODAY, 8),
        order("step", later, TODAY, 1),
        order("step", None, TODAY, 1),
    ]
    assert sorted(ordered, reverse=True)[::-1] == ordered


@given(
    st.sampled_from(["permit_expiry", "licence_expiry", "insurance_expiry", "first_look", "answer", "step"]),
    st.integers(-99, 99),
)
def test_nothing_becomes_less_pressing_by_waiting(kind, days_left) -> None:
    assert level(kind, days_left - 1) <= level(kind, days_left)


def test_a_warning_comes_three_times() -> None:
    told = [warning(days, (60, 30, 7)) for days in range(70, -3, -1)]
    assert list(dict.fromkeys(told)) == [None, 60, 30, 7]
    assert [warning(days, (30, 14, 7)) for days in (31, 30, 14, 7, -1)] == [None, 30, 14, 7, 7]
    assert warning(None, (60, 30, 7)) is None


def test_only_what_stops_work_can_t_be_put_off() -> None:
    assert [number for number in TITLES if not can_be_put_off(number)] == [1]
