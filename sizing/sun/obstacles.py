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
from numpy.typing import NDArray

from sizing.climate.hours import Floats
from sizing.study.request import Obstruction

Mask = NDArray[np.bool_]

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
    """Rays in a shape's frame: points of shape (p, 1), directions of shape (1, n)."""

    a: Floats
    b: Floats
    z: Floats
    da: Floats
    db: Floats
    dz: Floats


def rays(obstruction: Obstruction, points: Floats, directions: Floats) -> Rays:
    """``points`` (p, 3) and ``directions`` (n, 3) are east, north, up; directions of length one."""
    place = frame(obstruction)
    east, north = points[:, 0:1] - place.x_m, points[:, 1:2] - place.y_m
    de, dn = directions[:, 0][None, :], directions[:, 1][None, :]
    return Rays(
        a=east * place.across[0] + north * place.across[1],
        b=east * place.along[0] + north * place.along[1],
        z=points[:, 2:3],
        da=de * place.across[0] + dn * place.across[1],
        db=de * place.along[0] + dn * place.along[1],
        dz=directions[:, 2][None, :],
    )


def may_meet(obstruction: Obstruction, points: Floats, directions: Floats) -> Mask:
    """Which directions can meet the shape at all, shape (n,): a quick test by its enclosing upright cylinder."""
    place = frame(obstruction)
    radius = 0.5 * float(np.hypot(obstruction.width_m, depth_m(obstruction)))
    low = float(points[:, 2].min())
    rise = top_m(obstruction) - low
    if rise <= 0:
        return np.zeros(len(directions), dtype=bool)
    middle = points[:, :2].mean(axis=0)
    spread = float(np.hypot(*(points[:, :2] - middle).T).max())
    reach = radius + spread
    away = np.array([place.x_m, place.y_m]) - middle
    gap = float(np.hypot(*away))
    if gap <= reach * 1.001:
        return np.ones(len(directions), dtype=bool)
    level = np.hypot(directions[:, 0], directions[:, 1])
    steep = directions[:, 2] * (gap - reach) <= rise * level
    facing = directions[:, :2] @ (away / gap) >= level * np.sqrt(1.0 - (reach / gap) ** 2) - 1e-12
    return np.asarray(steep & facing)


def covers(obstruction: Obstruction, points: Floats) -> Mask:
    """Which points (p, 3) lie on the obstruction's rectangle seen from above, shape (p,)."""
    ray = rays(obstruction, points, np.array([[0.0, 0.0, 1.0]]))
    inside = (np.abs(ray.a) <= obstruction.width_m / 2.0) & (np.abs(ray.b) <= depth_m(obstruction) / 2.0)
    return np.asarray(inside[:, 0])


def hits_box(obstruction: Obstruction, ray: Rays) -> Mask:
    """Whether rays meet the box, shape (p, n)."""
    near = np.zeros((1, 1))
    far = np.full((1, 1), np.inf)
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


def _hits_upright(ray: Rays, half_a: float, half_b: float, low: float, high: float) -> Mask:
    """Whether rays meet an upright elliptic cylinder between two heights."""
    pa, pb, da, db = ray.a / half_a, ray.b / half_b, ray.da / half_a, ray.db / half_b
    square = np.maximum(da**2 + db**2, 1e-18)
    half = pa * da + pb * db
    under = half**2 - square * (pa**2 + pb**2 - 1.0)
    root = np.sqrt(np.maximum(under, 0.0))
    near, far = (-half - root) / square, (-half + root) / square
    safe = np.where(np.abs(ray.dz) < 1e-12, 1e-12, ray.dz)
    first, second = (low - ray.z) / safe, (high - ray.z) / safe
    near = np.maximum(np.maximum(near, np.minimum(first, second)), 0.0)
    far = np.minimum(far, np.maximum(first, second))
    return np.asarray((under > 0.0) & (near < far))


def _hits_ellipsoid(ray: Rays, half_a: float, half_b: float, half_z: float, middle_z: float) -> Mask:
    pa, pb, pz = ray.a / half_a, ray.b / half_b, (ray.z - middle_z) / half_z
    da, db, dz = ray.da / half_a, ray.db / half_b, ray.dz / half_z
    square = da**2 + db**2 + dz**2
    half = pa * da + pb * db + pz * dz
    under = half**2 - square * (pa**2 + pb**2 + pz**2 - 1.0)
    return np.asarray((under > 0.0) & (-half + np.sqrt(np.maximum(under, 0.0)) > 0.0))


def crown_heights(obstruction: Obstruction) -> tuple[float, float, float]:
    """Heights above the house's ground of a tree's crown base, crown middle and top, m."""
    base = obstruction.base_height_m + min(obstruction.crown_base_m, 0.95 * obstruction.height_m)
    top = top_m(obstruction)
    return base, (base + top) / 2.0, top


def hits_crown(obstruction: Obstruction, ray: Rays) -> Mask:
    base, middle, top = crown_heights(obstruction)
    half_a, half_b = obstruction.width_m / 2.0, depth_m(obstruction) / 2.0
    return _hits_upright(ray, half_a, half_b, base, middle) | _hits_ellipsoid(ray, half_a, half_b, top - middle, middle)


def hits_trunk(obstruction: Obstruction, ray: Rays) -> Mask:
    base, _, _ = crown_heights(obstruction)
    half = TRUNK_SHARE * obstruction.width_m / 2.0
    return _hits_upright(ray, half, half, obstruction.base_height_m, base)
