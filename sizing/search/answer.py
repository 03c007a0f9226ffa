"""What a search found, and which of it answers the wish."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.climate.hours import Floats, Mask
from sizing.search.catalogue import Wish
from sizing.search.front import front, next_best
from sizing.study.request import StringGroup

NEAR = 1e-9


@dataclass(frozen=True)
class Found:
    """One design that passes all code checks. Off the grid there are no bills and no outages: both shares are 0."""

    module: str
    modules_by_plane: tuple[int, ...]
    strings: tuple[StringGroup, ...]
    inverter: str
    inverter_count: int
    battery: str | None
    battery_units: int
    dc_kw: float
    cost_usd: float
    ac_kwh_year: float
    bill_offset: float
    saved_usd_year: float
    ride_through_share: float
    carried_share: float | None = None
    """Off the grid: hours of the year in which sun and battery carry the whole house, of all hours."""
    hours_short: int | None = None
    """Off the grid: the other hours, which are a generator's or go dark."""
    autonomy_days: float | None = None


@dataclass(frozen=True)
class SearchResult:
    tried: int
    """Combinations looked at, those that fail a check among them."""
    passing: int
    failed: tuple[tuple[str, int], ...]
    """(check, combinations that fail it), most first."""
    front: tuple[Found, ...]
    """Cheapest first; nothing as cheap is better in bill offset and ride-through together (off the grid: in hours
    carried and days of autonomy)."""
    cheapest: Found | None
    """That meets the wish."""
    runner_up: Found | None
    """What the next dollar buys: dearer, no worse in either, most gained per dollar."""
    closest: Found | None
    """Where nothing meets the wish: the one that comes nearest."""


def answer(found: list[Found], tried: int, failed: dict[str, int], wish: Wish, *, outages: bool = True) -> SearchResult:
    """``outages``: False where no battery is on offer. What an array alone carries by day is then no reason to pay
    more, and only price and bills are weighed.
    """
    ride = np.array([item.ride_through_share for item in found])
    offset = np.array([item.bill_offset for item in found])
    weighed = ride if outages else np.zeros_like(ride)
    meets = (ride >= wish.ride_through_share - NEAR) & (offset >= wish.bill_offset - NEAR)
    missing = np.maximum(wish.ride_through_share - ride, 0) + np.maximum(wish.bill_offset - offset, 0)
    return _chosen(found, tried, failed, wish, _Weighed(weighed, offset, weighed + offset, meets, missing))


def answer_off_grid(found: list[Found], tried: int, failed: dict[str, int], wish: Wish) -> SearchResult:
    """Of designs without a grid. More days of autonomy are a gain in themselves only where they leave fewer hours
    short: what the next dollar buys is counted in hours.
    """
    carried = np.array([item.carried_share or 0.0 for item in found])
    days = np.array([item.autonomy_days or 0.0 for item in found])
    meets = (carried >= wish.carried_share - NEAR) & (days >= wish.autonomy_days - NEAR)
    missing = np.maximum(wish.carried_share - carried, 0)
    if wish.autonomy_days > 0:
        missing += np.maximum(1 - days / wish.autonomy_days, 0)
    return _chosen(found, tried, failed, wish, _Weighed(carried, days, carried, meets, missing))


@dataclass(frozen=True, eq=False)
class _Weighed:
    """The two things that designs are weighed by beside their cost, the sum that a dollar buys, and what of the wish is
    met or missing. Arrays of one shape (n,).
    """

    first: Floats
    second: Floats
    gain: Floats
    meets: Mask
    missing: Floats


def _chosen(found: list[Found], tried: int, failed: dict[str, int], wish: Wish, by: _Weighed) -> SearchResult:
    reasons = tuple(sorted(failed.items(), key=lambda pair: -pair[1]))
    if not found:
        return SearchResult(tried, 0, reasons, (), None, None, None)
    cost = np.array([item.cost_usd for item in found])
    best = front(cost, by.first, by.second)
    meets, missing = by.meets, by.missing
    if wish.most_usd is not None:
        meets = meets & (cost <= wish.most_usd)
    winners = [int(index) for index in best if meets[index]]
    if not winners:
        if wish.most_usd is not None:
            missing = missing + (np.maximum(cost / wish.most_usd - 1, 0) if wish.most_usd > 0 else cost)
        nearest = int(np.lexsort((cost, missing))[0])
        return SearchResult(tried, len(found), reasons, tuple(found[i] for i in best), None, None, found[nearest])
    after = next_best(cost, by.first, by.second, winners[0], best, by.gain)
    return SearchResult(
        tried,
        len(found),
        reasons,
        tuple(found[i] for i in best),
        found[winners[0]],
        found[after] if after is not None else None,
        None,
    )
