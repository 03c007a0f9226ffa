"""Lag screws in withdrawal and how many an array needs against uplift, in pounds and inches as the standards are."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sizing.working import Term, Working

SPECIFIC_GRAVITY = {
    "spruce-pine-fir": 0.42,
    "hem-fir": 0.43,
    "douglas fir-larch": 0.50,
    "southern pine": 0.55,
}
"""NDS Table 12.3.3A; values confirmed on a public permit record quoting the standard."""
WIND_DURATION_FACTOR = 1.6
"""C_D for wind, NDS Table 2.3.2."""


def withdrawal_lb_per_in(specific_gravity: float, diameter_in: float) -> float:
    """Reference withdrawal of a lag screw, lb per inch of thread in the wood: 1800 G^1.5 D^0.75. Source: NDS 12.2-1.

    The standard's Table 12.2A prints it rounded to whole pounds; here it is not rounded.
    """
    return float(1800 * specific_gravity**1.5 * diameter_in**0.75)


def allowed_withdrawal_lb(
    specific_gravity: float, diameter_in: float, thread_in: float, duration_factor: float = WIND_DURATION_FACTOR
) -> float:
    """What one lag screw may carry, lb. ``thread_in``: threaded length in the rafter, without the tapered tip.

    Wet service, temperature and end grain factors are 1: a dry attic, screwed into the side of the rafter.
    """
    return withdrawal_lb_per_in(specific_gravity, diameter_in) * thread_in * duration_factor


@dataclass(frozen=True)
class AttachmentPlan:
    uplift_lb: float
    allowed_lb: float
    """Per attachment."""
    by_strength: int
    by_spacing: int
    """At the largest spacing along each rail."""
    working: tuple[Working, ...]

    @property
    def attachments(self) -> int:
        return max(self.by_strength, self.by_spacing)


def attachments(
    *,
    area_ft2: float,
    net_uplift_psf: float,
    allowed_lb: float,
    rail_length_ft: float,
    rails: int,
    largest_spacing_ft: float,
) -> AttachmentPlan:
    """Attachments with one lag screw each, against allowable-stress uplift. Spacing along the rails usually governs."""
    uplift = area_ft2 * net_uplift_psf
    by_strength = math.ceil(uplift / allowed_lb - 1e-9)
    by_spacing = rails * (math.ceil(rail_length_ft / largest_spacing_ft - 1e-9) + 1)
    working = (
        Working(
            "structure.uplift",
            "Net uplift on the array, allowable stress design",
            "A × p",
            (Term("A", area_ft2, "ft2"), Term("p", net_uplift_psf, "psf")),
            uplift,
            "lb",
            "ASCE 7 wind load of the site",
        ),
        Working(
            "structure.attachments",
            "Attachments, the larger of strength and spacing",
            "max(⌈U / W'⌉, rails × (⌈L / s⌉ + 1))",
            (
                Term("U", uplift, "lb"),
                Term("W'", allowed_lb, "lb", "one lag screw each"),
                Term("L", rail_length_ft, "ft"),
                Term("s", largest_spacing_ft, "ft", "maker's table or engineer's letter"),
            ),
            float(max(by_strength, by_spacing)),
            "attachments",
            "NDS 12.2; spacing by the racking's instructions",
        ),
    )
    return AttachmentPlan(uplift, allowed_lb, by_strength, by_spacing, working)
