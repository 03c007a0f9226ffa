"""Whether the shape of a roof plane, as it was measured, can be one."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from projects import studies
from projects.actions.findings import Findings
from projects.models import RoofPlane
from projects.models.roof_shape import EDGES, NARROW, OFF_CENTRE, Shape, area_m2, narrow_end

FEWEST, MOST = 3, 20
FARTHEST_M = (100.0, 60.0)
"""Along the eave and up the slope."""
LEAST_M2 = 0.2
SLACK_M = 0.005


def settled(plane: RoofPlane, fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields with those emptied that the shape doesn't know, and with the lengths that follow from its corners."""
    given = dict(fields)
    shape = given.get("shape", plane.shape)
    if "shape" in given:
        if shape not in NARROW:
            given["narrow_m"] = None
        if shape not in OFF_CENTRE:
            given["narrow_from_left_m"] = None
        if shape != Shape.CORNERS:
            given["corners"] = []
    corners = given.get("corners", plane.corners)
    if shape == Shape.CORNERS and corners and not corner_problems(corners):
        given["width_m"] = max(corner["u_m"] for corner in corners)
        given["slope_length_m"] = max(corner["v_m"] for corner in corners)
    return given


def check_shape(findings: Findings, plane: RoofPlane) -> None:
    if plane.shape == Shape.CORNERS:
        findings.extend("corners", corner_problems(plane.corners))
    elif plane.shape in (*NARROW, *OFF_CENTRE) and plane.width_m:
        for field, problem in narrow_problems(plane.shape, plane.width_m, plane.narrow_m, plane.narrow_from_left_m):
            findings.add(field, problem)


def narrow_problems(
    shape: str, width_m: float, narrow_m: float | None, from_left_m: float | None
) -> list[tuple[str, str]]:
    """(field, sentence) of what is missing or doesn't fit into the longer length."""
    what = "ridge" if shape == Shape.HIP else "eave"
    if shape in NARROW:
        if narrow_m is None:
            return [("narrow_m", f"How long is the {what}?")]
        if narrow_m > width_m - SLACK_M:
            return [("narrow_m", f"The {what} is the shorter of the two here; it is not shorter than the other.")]
    left, right = narrow_end(shape, width_m, narrow_m, from_left_m)
    if left < 0 or right > width_m + SLACK_M:
        what = "point" if shape == Shape.TRIANGLE else what
        return [("narrow_from_left_m", f"The {what} reaches past the right end of the eave.")]
    return []


def corner_problems(corners: Sequence[Mapping[str, Any]]) -> list[str]:
    """A sentence each, the corners by their number; empty where they make a plane."""
    if len(corners) < FEWEST:
        return [f"A plane has at least {FEWEST} corners."]
    if len(corners) > MOST:
        return [f"At most {MOST} corners."]
    found = [f"Corner {at}: {said}" for at, corner in enumerate(corners, start=1) if (said := _corner(corner))]
    if found:
        return found
    ring = [(corner["u_m"], corner["v_m"]) for corner in corners]
    for at, corner in enumerate(ring):
        if corner == ring[at - 1]:
            return [f"Corner {at + 1} stands on the one before it."]
    if studies.crosses_itself(ring):
        return ["The outline crosses itself: give the corners in order around the plane."]
    if abs(area_m2(ring)) < LEAST_M2:
        return ["The corners hold no area."]
    return []


def _corner(corner: Mapping[str, Any]) -> str:
    along, up = corner.get("u_m"), corner.get("v_m")
    if any(not isinstance(value, int | float) or not math.isfinite(value) for value in (along, up)):
        return "two lengths, along the eave and up the slope."
    assert along is not None and up is not None
    if not (0 <= along <= FARTHEST_M[0] and 0 <= up <= FARTHEST_M[1]):
        return f"within {FARTHEST_M[0]:g} m along the eave and {FARTHEST_M[1]:g} m up the slope."
    if corner.get("kind", "") not in ("", *EDGES):
        return f"an edge is one of {', '.join(EDGES)}."
    return ""


__all__ = ["check_shape", "corner_problems", "narrow_problems", "settled"]
