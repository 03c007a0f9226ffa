"""Standard ratings of fuses and breakers, and when strings need fuses."""

from __future__ import annotations

from dataclasses import dataclass

from sizing.electrical.tables import table


def next_rating_a(current_a: float, *, fuses: bool = False) -> float:
    """The smallest standard rating not below ``current_a`` (A); fuses have some smaller ones. Source: NEC 240.6(A)."""
    for row in table("overcurrent"):
        rating = float(row["rating_a"])
        if rating >= current_a - 1e-9 and (fuses or row["device"] == "both"):
            return rating
    raise ValueError(f"no standard rating reaches {current_a:.0f} A")


def largest_rating_up_to_a(current_a: float) -> float | None:
    """The largest standard breaker rating not above ``current_a``; None where even the smallest is above."""
    below = [
        float(row["rating_a"])
        for row in table("overcurrent")
        if row["device"] == "both" and float(row["rating_a"]) <= current_a + 1e-9
    ]
    return max(below, default=None)


SAFETY_SWITCHES_A = (30.0, 60.0, 100.0, 200.0, 400.0, 600.0)
"""Usual ratings of enclosed switches; common practice, no source."""


def safety_switch_a(overcurrent_a: float) -> float | None:
    """The smallest usual enclosed switch for an overcurrent device; None above 600 A."""
    return next((rating for rating in SAFETY_SWITCHES_A if rating >= overcurrent_a), None)


@dataclass(frozen=True)
class StringFuses:
    backfeed_a: float
    """What the other strings can push into a faulted one."""
    required: bool
    rating_a: float | None
    """The fuse where one is required."""


def string_fuses(isc_a: float, parallel_strings: int, max_series_fuse_a: float) -> StringFuses:
    """Whether parallel strings need fuses, and which.

    (n - 1) x 1.25 x Isc may flow back; below the module's maximum series fuse no fuse is needed. A fuse is at least
    1.25 x 1.25 x Isc. Source: NEC 690.9(A) exception, 690.9(B).
    """
    backfeed = max(parallel_strings - 1, 0) * 1.25 * isc_a
    required = backfeed > max_series_fuse_a + 1e-9
    return StringFuses(backfeed, required, next_rating_a(isc_a * 1.5625, fuses=True) if required else None)
