"""Where roof planes and what stands around them lie, seen from above: metres east and north of the house's middle."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Protocol

Point = tuple[float, float]


class Plane(Protocol):
    name: str
    tilt_deg: float
    azimuth_deg: float
    width_m: float
    slope_length_m: float
    x_m: float
    y_m: float

    @property
    def outline(self) -> Sequence[Mapping[str, Any]]: ...


class Obstacle(Protocol):
    kind: str
    bearing_deg: float
    distance_m: float
    height_m: float
    width_m: float
    depth_m: float | None
    evergreen: bool


def on_ground(plane: Plane, u_m: float, v_m: float) -> Point:
    """East and north of the house's middle (m) of a point on the plane: ``u_m`` from the left end of the eave, facing
    the roof, ``v_m`` up the slope."""
    facing = math.radians(plane.azimuth_deg)
    down = (math.sin(facing), math.cos(facing))
    along = (-down[1], down[0])
    a = u_m - plane.width_m / 2
    b = (plane.slope_length_m / 2 - v_m) * math.cos(math.radians(plane.tilt_deg))
    return plane.x_m + a * along[0] + b * down[0], plane.y_m + a * along[1] + b * down[1]


def edges(plane: Plane) -> list[tuple[Point, Point, str]]:
    """The plane's edges as pairs of corners and their kind; of a rectangle from the eave's left end."""
    width, up = plane.width_m, plane.slope_length_m
    ring = [(edge["u_m"], edge["v_m"], edge["kind"]) for edge in plane.outline] or [
        (0.0, 0.0, "eave"),
        (width, 0.0, "rake"),
        (width, up, "ridge"),
        (0.0, up, "rake"),
    ]
    spots = [on_ground(plane, u, v) for u, v, _ in ring]
    return [(a, b, edge[2]) for a, b, edge in zip(spots, [*spots[1:], spots[0]], ring, strict=True)]


def corners(plane: Plane) -> list[Point]:
    """East and north of the house's middle (m); of a rectangle eave left, eave right, ridge right, ridge left."""
    return [start for start, _, _ in edges(plane)]


def middle_of_plane(plane: Plane) -> Point:
    """Of its area: between hips that is lower down than half of the slope."""
    spots = corners(plane)
    crosses = [a[0] * b[1] - b[0] * a[1] for a, b in zip(spots, [*spots[1:], spots[0]], strict=True)]
    total = sum(crosses)
    if abs(total) < 1e-9:
        return plane.x_m, plane.y_m
    x, y = (
        sum((a[axis] + b[axis]) * c for a, b, c in zip(spots, [*spots[1:], spots[0]], crosses, strict=True))
        / (3 * total)
        for axis in (0, 1)
    )
    return x, y


def middle_of(obstacle: Obstacle) -> Point:
    bearing = math.radians(obstacle.bearing_deg)
    return (obstacle.distance_m * math.sin(bearing), obstacle.distance_m * math.cos(bearing))


def box_of(obstacle: Obstacle) -> list[Point]:
    """Corners of a building or chimney, in order: its width lies across the line of sight, its depth along it."""
    bearing, (x, y) = math.radians(obstacle.bearing_deg), middle_of(obstacle)
    along = (math.sin(bearing), math.cos(bearing))
    across = (along[1], -along[0])
    half, deep = obstacle.width_m / 2, (obstacle.depth_m or obstacle.width_m) / 2
    return [
        (x + a * half * across[0] + d * deep * along[0], y + a * half * across[1] + d * deep * along[1])
        for a, d in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
