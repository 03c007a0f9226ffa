"""The shape of a roof plane as it is measured, and the corners that follow from it.

Points are (u, v) in metres: along the eave from the plane's left end, seen facing the roof, and up the slope.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import models

LEVEL = 0.05
"""Of its length an edge may rise and still be level, or lean and still run straight up: three degrees or so."""
EDGES = ("eave", "rake", "ridge", "hip", "valley", "wall")
Corner = tuple[float, float]


class Shape(models.TextChoices):
    RECTANGLE = "rectangle", "Rectangle"
    HIP = "hip", "Hips, with a ridge"
    TRIANGLE = "triangle", "Triangle"
    VALLEY_LEFT = "valley_left", "Valley at the left end"
    VALLEY_RIGHT = "valley_right", "Valley at the right end"
    CORNERS = "corners", "Other, by its corners"


NARROW = (Shape.HIP, Shape.VALLEY_LEFT, Shape.VALLEY_RIGHT)
"""Shapes with a second length: the ridge between hips, the eave beside a valley."""
OFF_CENTRE = (Shape.HIP, Shape.TRIANGLE)


def narrow_end(shape: str, width_m: float, narrow_m: float | None, from_left_m: float | None) -> tuple[float, float]:
    """From where to where the shorter of eave and ridge runs; twice the same where hips meet at a point."""
    length = 0.0 if shape == Shape.TRIANGLE else narrow_m or 0.0
    if shape == Shape.VALLEY_LEFT:
        left = width_m - length
    elif shape == Shape.VALLEY_RIGHT:
        left = 0.0
    else:
        left = (width_m - length) / 2 if from_left_m is None else from_left_m
    return left, left + length


def ring_of(plane: Any) -> list[Corner]:
    """The corners of a plane (``width_m``, ``slope_length_m``, ``shape`` and what it needs), in order around it."""
    width, up = plane.width_m, plane.slope_length_m
    if plane.shape == Shape.CORNERS:
        return [(corner["u_m"], corner["v_m"]) for corner in plane.corners]
    left, right = narrow_end(plane.shape, width, plane.narrow_m, plane.narrow_from_left_m)
    if plane.shape in (Shape.HIP, Shape.TRIANGLE):
        ring = [(0.0, 0.0), (width, 0.0), (right, up), (left, up)]
    elif plane.shape in (Shape.VALLEY_LEFT, Shape.VALLEY_RIGHT):
        ring = [(left, 0.0), (right, 0.0), (width, up), (0.0, up)]
    else:
        ring = [(0.0, 0.0), (width, 0.0), (width, up), (0.0, up)]
    return [corner for at, corner in enumerate(ring) if corner != ring[at - 1]]


def outline_of(plane: Any) -> list[dict[str, Any]]:
    """The outline as ``sizing`` takes it, [{"u_m", "v_m", "kind", "modules_beyond"}]; empty for a rectangle.

    Each corner says of what kind the edge from it to the next is: as typed, else by the way it runs.
    """
    if plane.shape == Shape.RECTANGLE:
        return []
    ring = ring_of(plane)
    typed = [corner.get("kind", "") for corner in plane.corners] if plane.shape == Shape.CORNERS else []
    turn = 1.0 if area_m2(ring) >= 0 else -1.0
    found = []
    for at, (u, v) in enumerate(ring):
        following = ring[(at + 1) % len(ring)]
        kind = (typed[at] if typed else "") or _kind((u, v), following, turn, plane.ridge_at_top)
        beyond = plane.modules_beyond and kind in ("hip", "valley")
        found.append({"u_m": u, "v_m": v, "kind": kind, "modules_beyond": beyond})
    return found


def _kind(start: Corner, end: Corner, turn: float, ridge_at_top: bool) -> str:
    """Of an edge by the way it runs. ``turn``: 1 where the corners run against the clock, else -1."""
    along, up = (end[0] - start[0]) * turn, (end[1] - start[1]) * turn
    length = (along**2 + up**2) ** 0.5
    if abs(up) <= LEVEL * length:
        return "eave" if along > 0 else "ridge" if ridge_at_top else "wall"
    if abs(along) <= LEVEL * length:
        return "rake"
    # Against the clock, what leans over the plane runs to the left, what leans away from it to the right.
    return "hip" if along < 0 else "valley"


def area_m2(ring: Sequence[Corner]) -> float:
    """By the corners (Gauss's formula), positive where they run against the clock."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)) / 2 if ring else 0.0


def in_words(outline: Sequence[Mapping[str, Any]]) -> str:
    """ "rectangle", "4 corners, with hip and ridge": for whoever compares two drawings."""
    if not outline:
        return "rectangle"
    kinds = [kind for kind in ("hip", "valley") if any(edge["kind"] == kind for edge in outline)]
    return f"{len(outline)} corners" + (f", with {' and '.join(kinds)}" if kinds else "")
