"""What a search found, and which of it answers the wish."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.search.catalogue import Wish
from sizing.search.front import front, next_best
from sizing.study.request import StringGroup


@dataclass(frozen=True)
class Found:
    """One design that passes all code checks."""

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


@dataclass(frozen=True)
class SearchResult:
    tried: int
    """Combinations looked at, those that fail a check among them."""
    passing: int
    failed: tuple[tuple[str, int], ...]
    """(check, combinations that fail it), most first."""
    front: tuple[Found, ...]
    """Cheapest first; nothing as cheap is better in bill offset and ride-through together."""
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
    reasons = tuple(sorted(failed.items(), key=lambda pair: -pair[1]))
    if not found:
        return SearchResult(tried, 0, reasons, (), None, None, None)
    cost = np.array([item.cost_usd for item in found])
    ride = np.array([item.ride_through_share for item in found])
    offset = np.array([item.bill_offset for item in found])
    weighed = ride if outages else np.zeros_like(ride)
    best = front(cost, weighed, offset)
    meets = (ride >= wish.ride_through_share - 1e-9) & (offset >= wish.bill_offset - 1e-9)
    if wish.most_usd is not None:
        meets &= cost <= wish.most_usd
    winners = [int(index) for index in best if meets[index]]
    if not winners:
        missing = np.maximum(wish.ride_through_share - ride, 0) + np.maximum(wish.bill_offset - offset, 0)
        if wish.most_usd is not None:
            missing += np.maximum(cost / wish.most_usd - 1, 0) if wish.most_usd > 0 else cost
        nearest = int(np.lexsort((cost, missing))[0])
        return SearchResult(tried, len(found), reasons, tuple(found[i] for i in best), None, None, found[nearest])
    after = next_best(cost, weighed, offset, winners[0], best)
    return SearchResult(
        tried,
        len(found),
        reasons,
        tuple(found[i] for i in best),
        found[winners[0]],
        found[after] if after is not None else None,
        None,
    )
