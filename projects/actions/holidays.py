"""Public holidays of a state, by the package ``holidays``: federal ones alone where the state is unknown to it."""

from __future__ import annotations

from datetime import date
from functools import lru_cache


@lru_cache(maxsize=256)
def named_holidays(state: str, year: int) -> tuple[tuple[date, str], ...]:
    """(day, name) in the order of the year; ``state``: two letters, or empty."""
    import holidays

    try:
        rows = holidays.country_holidays("US", subdiv=state or None, years=year)
    except NotImplementedError:
        rows = holidays.country_holidays("US", years=year)
    return tuple(sorted(rows.items()))


@lru_cache(maxsize=128)
def public_holidays(state: str, first_year: int, last_year: int) -> frozenset[date]:
    return frozenset(day for year in range(first_year, last_year + 1) for day, _ in named_holidays(state, year))
