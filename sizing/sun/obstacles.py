"""Solid shapes of trees, buildings and chimneys, and whether a ray from a roof point meets them.

An obstruction stands ``distance_m`` from the middle of the house at ``bearing_deg``; its width lies across that line
of sight and its depth along it. In the shape's own frame: ``a`` across, ``b`` along (away from the house), ``z`` up.

* building, chimney: an upright box.
* tree: an opaque trunk up to the base of the crown, and a crown of an upright elliptic cylinder up to half its height
  and half an ellipsoid above. The cylinder holds the lower half of the whole ellipsoid, so a taller tree always
  covers all that a lower one covers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.climate.hours import Floats, Ints, Mask
from sizing.study.request import Obstruction

TRUNK_SHARE = 0.08
"""Trunk diameter over crown width. Common practice, no source."""


@dataclass(frozen=True)
class Frame:
    """Where a shape stands and how it is turned."""

    x_m: float
    y_m: float
    across: tuple[float, float]
    along: tuple[float, float]


def frame(obstruction: Obstruction) -> Frame:
    bearing = np.radians(obstruction.bearing_deg)
    sin, cos = float(np.sin(bearing)), float(np.cos(bearing))
    return Frame(obstruction.distance_m * sin, obstruction.distance_m * cos, (cos, -sin), (sin, cos))


def depth_m(obstruction: Obstruction) -> float:
    return obstruction.width_m if obstruction.depth_m is None else obstruction.depth_m


def top_m(obstruction: Obstruction) -> float:
    return obstruction.base_height_m + obstruction.height_m


@dataclass(frozen=True, eq=False)
class Rays:
    """Rays in a shape's frame, every array of shape (k,): where they start and where they go."""

    a: Floats
    b: Floats
    z: Floats
    da: Floats
    db: Floats
    dz: Floats


def placed(obstruction: Obstruction, points: Floats) -> tuple[Floats, Floats, Floats]:
    """Points (k, 3) given as east, north, up, in the shape's frame: a, b, z of shape (k,) each."""
    place = frame(obstruction)
    east, north = points[:, 0] - place.x_m, points[:, 1] - place.y_m
    a = east * place.across[0] + north * place.across[1]
    return a, east * place.along[0] + north * place.along[1], points[:, 2]


def turned(obstruction: Obstruction, directions: Floats) -> tuple[Floats, Floats, Floats]:
    """Directions (k, 3) of length one in the shape's frame."""
    place = frame(obstruction)
    east, north = directions[:, 0], directions[:, 1]
    da = east * place.across[0] + north * place.across[1]
    return da, east * place.along[0] + north * place.along[1], directions[:, 2]


def rays(obstruction: Obstruction, points: Floats, directions: Floats) -> Rays:
    """One ray from each of the points (k, 3) in the direction (k, 3) beside it."""
    return Rays(*placed(obstruction, points), *turned(obstruction, directions))


def by_azimuth(directions: Floats) -> Ints:
    """The order in which directions (n, 3) run around the horizon, as ``may_meet`` wants them."""
    return np.argsort(np.arctan2(directions[:, 0], directions[:, 1]), kind="stable")


def may_meet(obstruction: Obstruction, points: Floats, directions: Floats) -> tuple[Ints, Ints]:
    """Which pairs of a point (p, 3) and a direction (n, 3) can meet the shape at all, as two index arrays.

    A quick test by the enclosing upright cylinder. The directions have to run around the horizon (``by_azimuth``): from
    each point the cylinder covers one stretch of them, found by halving, of which those over its top drop out.
    """
    place = frame(obstruction)
    radius = 0.5 * float(np.hypot(obstruction.width_m, depth_m(obstruction)))
    east, north = place.x_m - points[:, 0], place.y_m - points[:, 1]
    rise = top_m(obstruction) - points[:, 2]
    gap = np.hypot(east, north)
    outside = gap > radius * 1.001
    half = np.where(outside, np.arcsin(np.minimum(radius / np.maximum(gap, 1e-9), 1.0)), np.pi) + 1e-9
    # Not over its top: up / level <= rise / (gap - radius).
    lowest = np.where(outside, (gap - radius) / np.maximum(rise, 1e-9), 0.0)
    azimuth = np.arctan2(directions[:, 0], directions[:, 1])
    n = azimuth.size
    around = np.concatenate((azimuth - 2.0 * np.pi, azimuth, azimuth + 2.0 * np.pi))
    centre = np.arctan2(east, north)
    first = np.searchsorted(around, centre - half)
    count = np.minimum(np.searchsorted(around, centre + half, side="right") - first, n)
    count[rise <= 0.0] = 0
    point = np.repeat(np.arange(points.shape[0]), count)
    begins = np.cumsum(count) - count
    way = (np.arange(point.size) + np.repeat(first - begins, count)) % n
    level = np.hypot(directions[:, 0], directions[:, 1])
    under = directions[way, 2] * lowest[point] <= level[way] + 1e-9
    return point[under], way[under]


def covers(obstruction: Obstruction, points: Floats) -> Mask:
    """Which points (p, 3) lie on the obstruction's rectangle seen from above, shape (p,)."""
    ray = rays(obstruction, points, np.zeros_like(points))
    inside = (np.abs(ray.a) <= obstruction.width_m / 2.0) & (np.abs(ray.b) <= depth_m(obstruction) / 2.0)
    return np.asarray(inside)


def hits_box(obstruction: Obstruction, ray: Rays) -> Mask:
    """Whether rays meet the box, shape (k,)."""
    near: Floats = np.zeros(ray.z.shape)
    far: Floats = np.full(ray.z.shape, np.inf)
    sides = (
        (ray.a, ray.da, -obstruction.width_m / 2.0, obstruction.width_m / 2.0),
        (ray.b, ray.db, -depth_m(obstruction) / 2.0, depth_m(obstruction) / 2.0),
        (ray.z, ray.dz, obstruction.base_height_m, top_m(obstruction)),
    )
    for origin, direction, low, high in sides:
        safe = np.where(np.abs(direction) < 1e-12, 1e-12, direction)
        first, second = (low - origin) / safe, (high - origin) / safe
        near = np.maximum(near, np.minimum(first, second))
        far = np.minimum(far, np.maximum(first, second))
    return np.asarray(near < far)


def crown_heights(obstruction: Obstruction) -> tuple[float, float, float]:
    """Heights above the house's ground of a tree's crown base, crown middle and top, m."""
    base = obstruction.base_height_m + min(obstruction.crown_base_m, 0.95 * obstruction.height_m)
    top = top_m(obstruction)
    return base, (base + top) / 2.0, top


def hits_tree(obstruction: Obstruction, ray: Rays) -> tuple[Mask, Mask]:
    """Which rays meet the trunk and which the crown, both of shape (k,).

    Seen from above the crown is an ellipse, scaled to a circle here: a ray's line passes it at a distance whose square
    is ``cross**2 / square``, so that only rays with ``under > 0`` are looked at any further.
    """
    base, middle, top = crown_heights(obstruction)
    half_a, half_b = obstruction.width_m / 2.0, depth_m(obstruction) / 2.0
    pa, pb, da, db = ray.a / half_a, ray.b / half_b, ray.da / half_a, ray.db / half_b
    square = da * da + db * db
    cross = pa * db - pb * da
    under = square - cross * cross
    over = np.flatnonzero(under > 0.0)
    crown = np.zeros(ray.z.shape, dtype=bool)
    if over.size:
        half = (pa * da + pb * db)[over]
        shape = _Crossing(square[over], half, under[over], cross[over], ray.z[over], ray.dz[over])
        hit = _meets_upright(shape, base, middle)
        missed = np.flatnonzero(~hit)
        hit[missed] = _meets_ellipsoid(shape, missed, top - middle, middle)
        crown[over] = hit
    return _meets_trunk(obstruction, ray, base), crown


@dataclass(frozen=True, eq=False)
class _Crossing:
    """Rays whose line crosses the crown seen from above, in the crown's scaled frame, every array of shape (k,)."""

    square: Floats
    half: Floats
    under: Floats
    cross: Floats
    z: Floats
    dz: Floats


def _meets_upright(shape: _Crossing, low: float, high: float) -> Mask:
    root = np.sqrt(shape.under)
    safe = np.where(np.abs(shape.dz) < 1e-12, 1e-12, shape.dz)
    first, second = (low - shape.z) / safe, (high - shape.z) / safe
    near = np.maximum(np.maximum((-shape.half - root) / shape.square, np.minimum(first, second)), 0.0)
    return np.asarray(near < np.minimum((-shape.half + root) / shape.square, np.maximum(first, second)))


def _meets_ellipsoid(shape: _Crossing, chosen: Ints, half_z: float, middle_z: float) -> Mask:
    square, level = shape.square[chosen], shape.half[chosen]
    away = (level * level + shape.cross[chosen] ** 2) / square
    pz, dz = (shape.z[chosen] - middle_z) / half_z, shape.dz[chosen] / half_z
    half = level + pz * dz
    under = half * half - (square + dz * dz) * (away + pz * pz - 1.0)
    return np.asarray((under > 0.0) & (np.sqrt(np.maximum(under, 0.0)) > half))


def _meets_trunk(obstruction: Obstruction, ray: Rays, top: float) -> Mask:
    radius = TRUNK_SHARE * obstruction.width_m / 2.0
    square = ray.da * ray.da + ray.db * ray.db
    cross = ray.a * ray.db - ray.b * ray.da
    under = radius * radius * square - cross * cross
    near = np.flatnonzero(under > 0.0)
    hit = np.zeros(ray.z.shape, dtype=bool)
    half = (ray.a * ray.da + ray.b * ray.db)[near]
    shape = _Crossing(square[near], half, under[near], cross[near], ray.z[near], ray.dz[near])
    hit[near] = _meets_upright(shape, obstruction.base_height_m, top)
    return hit
