"""Room on the roof for the fire service: pathways and ridge setbacks of dwellings."""

from __future__ import annotations

from dataclasses import dataclass

SOURCE = "IRC R324.6 (2018, 2021); IFC 1205"
PATHWAY_IN = 36
FLAT_RISE_IN_12 = 2.0
"""At and below 2:12 nothing is required."""


@dataclass(frozen=True)
class RoofAccess:
    """What must stay free. All zero with an ``exempt`` reason where nothing is required."""

    pathways: int
    """On separate roof planes, at least one on the street or driveway side; each plane with modules needs one on it,
    on a neighbouring plane or straddling both."""
    pathway_in: int
    street_side: int
    ridge_setback_in: int
    """On each side of a horizontal ridge."""
    exempt: str = ""


def roof_access(
    array_share_of_plan: float,
    *,
    sprinklered: bool = False,
    rise_in_12: float = 6.0,
    detached_nonhabitable: bool = False,
) -> RoofAccess:
    """Pathways and setbacks of one building. ``array_share_of_plan``: array over roof area, both seen from above.

    Up to a third (two thirds with sprinklers throughout) the ridge needs 18 in on each side, above it 36 in. Source:
    IRC R324.6.1, R324.6.2. The jurisdiction may ask for more.
    """
    if detached_nonhabitable:
        return RoofAccess(0, 0, 0, 0, "detached, not habitable")
    if rise_in_12 <= FLAT_RISE_IN_12:
        return RoofAccess(0, 0, 0, 0, "slope of 2:12 or less")
    threshold = 0.66 if sprinklered else 0.33
    return RoofAccess(2, PATHWAY_IN, 1, 18 if array_share_of_plan <= threshold else 36)
