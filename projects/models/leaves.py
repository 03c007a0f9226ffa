"""The months in which a tree has its leaves, as a run that may go over the turn of the year."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.dates import MONTHS


def ends_of(months: Sequence[int]) -> tuple[int | None, int | None]:
    """The first and the last month of the (first) run; None where no month is named."""
    first = next((month for month in months if (month - 2) % 12 + 1 not in months), None)
    if first is None:
        return (1, 12) if months else (None, None)
    last = first
    while last % 12 + 1 in months:
        last = last % 12 + 1
    return first, last


def in_words(months: Sequence[int]) -> str:
    """ "May to October"; empty where no month is named."""
    first, last = ends_of(months)
    if first is None or last is None:
        return ""
    return str(MONTHS[first]) if first == last else f"{MONTHS[first]} to {MONTHS[last]}"
