"""The legs of a job's way, as its time is counted: what must end before a leg begins, and whose pace it goes at.

Legs are coarser than requirements and finer than stages: plan review by the jurisdiction is a leg of its own beside
the office's preparing, and the utility's review runs beside the permits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Authority = Literal["", "jurisdiction", "utility"]


@dataclass(frozen=True)
class Leg:
    key: str
    title: str
    after: tuple[str, ...]
    pace: Authority
    """Whose pace it goes at, where that differs by name; empty: the office's and the household's own."""
    typical_days: float
    """Where the estimate starts before there is any history. Common practice, no source; soon outweighed."""


PERMIT_LEGS = ("permit_building", "permit_electrical", "permit_combined", "permit_fire")

LEGS: tuple[Leg, ...] = (
    Leg("lead", "Lead to go-ahead", (), "", 10),
    Leg("site_assessment", "Site assessment", ("lead",), "", 10),
    Leg("engineering", "Engineering and contract", ("site_assessment",), "", 14),
    Leg("submittal", "Preparing the permit packet", ("engineering",), "", 5),
    Leg("permit_building", "Building permit review", ("submittal",), "jurisdiction", 18),
    Leg("permit_electrical", "Electrical permit review", ("submittal",), "jurisdiction", 16),
    Leg("permit_combined", "Combined permit review", ("submittal",), "jurisdiction", 18),
    Leg("permit_fire", "Fire review", ("submittal",), "jurisdiction", 16),
    Leg("scheduling", "Permits issued to crew on site", PERMIT_LEGS, "", 16),
    Leg("installing", "Installation", ("scheduling",), "", 5),
    Leg("inspection", "Installed to final inspection passed", ("installing",), "jurisdiction", 8),
    Leg("application", "Preparing the utility application", ("engineering",), "", 5),
    Leg("utility_review", "Utility's review", ("application",), "utility", 22),
    Leg("agreement", "Signing the utility's agreement", ("utility_review",), "", 5),
    Leg("permission", "Final inspection to permission", ("inspection", "agreement"), "utility", 18),
)
BY_KEY = {leg.key: leg for leg in LEGS}
INTERCONNECTION_LEGS = ("application", "utility_review", "agreement", "permission")


def legs_for(*, permits: tuple[str, ...], grid: bool) -> frozenset[str]:
    """Keys of the legs that a job passes through. ``permits``: its branches, empty where exempt."""
    keys = {leg.key for leg in LEGS} - set(PERMIT_LEGS)
    keys |= {f"permit_{kind}" for kind in permits}
    if not permits:
        keys.discard("submittal")
    if not grid:
        keys.difference_update(INTERCONNECTION_LEGS)
    return frozenset(keys)


def before(key: str, present: frozenset[str]) -> tuple[str, ...]:
    """The legs that a leg waits for, those before them where this job has none of them."""
    named = BY_KEY[key].after
    found = [earlier for earlier in named if earlier in present]
    if not found:
        found = [leg for earlier in named for leg in before(earlier, present)]
    return tuple(dict.fromkeys(found))
