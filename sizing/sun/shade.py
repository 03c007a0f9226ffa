"""How much of the sun and of the sky near obstructions leave to a roof plane.

Beam (with the circumsolar part of the sky): every hour's sun is looked at from sample points spread over the plane;
the factor is the mean over the points of what comes through. Sky: the same for small patches over the whole sky,
weighted by solid angle and by the cosine of incidence on the plane. The array is taken as shaded by area; how modules
in a string drag each other down is not part of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sizing.climate.hours import Floats, Ints, Mask
from sizing.roof.outline import corners_of, holds
from sizing.study.request import HorizonPoint, Obstruction, RoofPlane
from sizing.sun.horizon import beam_open, sky_open
from sizing.sun.obstacles import Rays, by_azimuth, covers, hits_box, hits_tree, may_meet, placed, turned

POINTS, SKY_POINTS = 144, 89
"""Against 2584 points a year's beam on the plane differs by less than 0.3 % with a chimney standing on it, and by less
than 0.05 % with trees and buildings around."""
FIBONACCI_STEP = {34: 21, 89: 55, 144: 89, 2584: 1597}
PATCH_DEG = 3.0
CHUNK = 8192
"""Pairs looked at in one go: arrays of this size stay in a processor's cache."""

LEAF_SHARE_NORTH = (0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.5, 0.0)
"""How far deciduous trees are in leaf, January to December, in temperate northern places. Common practice, no source;
south of the equator half a year later, within 23.4 degrees of it in leaf all year."""
TROPIC_DEG = 23.44


@dataclass(frozen=True, eq=False)
class Shade:
    """What obstructions leave to one plane: fractions, 1 where nothing is in the way."""

    beam: Floats
    """Shape (8760,); 1 in hours without sun on the plane."""
    sky_by_month: Floats
    """Shape (12,): of the diffuse light that an isotropic sky sends to the plane."""


def leaf_share(latitude_deg: float) -> tuple[float, ...]:
    """How far deciduous trees are in leaf (0 to 1) in each month at a latitude."""
    if abs(latitude_deg) < TROPIC_DEG:
        return (1.0,) * 12
    if latitude_deg > 0:
        return LEAF_SHARE_NORTH
    return LEAF_SHARE_NORTH[6:] + LEAF_SHARE_NORTH[:6]


def transmittance_by_month(obstruction: Obstruction, latitude_deg: float) -> Floats:
    """The share of light that comes through in each month, shape (12,); 0 for buildings and chimneys."""
    if obstruction.kind != "tree":
        return np.zeros(12)
    on, off = obstruction.transmittance_leaf_on, obstruction.transmittance_leaf_off
    if obstruction.evergreen:
        return np.full(12, on)
    share = np.array(leaf_share(latitude_deg))
    if obstruction.leaf_months:
        share = np.isin(np.arange(1, 13), obstruction.leaf_months).astype(float)
    return share * on + (1.0 - share) * off


@lru_cache(maxsize=8)
def _spread(count: int) -> tuple[Floats, Floats]:
    """Evenly spread positions over the unit square: a Fibonacci lattice, which unlike a grid has no rows that line up
    with narrow things standing square to the roof. ``count`` is a Fibonacci number."""
    step = FIBONACCI_STEP[count]
    n = np.arange(count)
    return (n + 0.5) / count, (n * step / count + 0.5 / count) % 1.0


def plane_points(plane: RoofPlane, count: int = POINTS) -> Floats:
    """Sample points over a plane, shape (count, 3): east, north, up in metres. Of an outline: those within it.

    ``x_m`` and ``y_m`` of the plane are the middle of the plane seen from above; its lower edge is at the eave height.
    """
    azimuth, tilt = np.radians(plane.azimuth_deg), np.radians(plane.tilt_deg)
    downhill = np.array([np.sin(azimuth), np.cos(azimuth)])
    sideways = np.array([np.cos(azimuth), -np.sin(azimuth)])
    share_u, share_s = _spread(count)
    if plane.outline:
        corners = corners_of(plane)
        on = [
            holds(corners, a * plane.width_m, b * plane.slope_length_m) for a, b in zip(share_u, share_s, strict=True)
        ]
        if any(on):
            share_u, share_s = share_u[on], share_s[on]
    u = (share_u - 0.5) * plane.width_m
    s = share_s * plane.slope_length_m
    level = (s - plane.slope_length_m / 2.0) * np.cos(tilt)
    east = plane.x_m + u * sideways[0] - level * downhill[0]
    north = plane.y_m + u * sideways[1] - level * downhill[1]
    return np.column_stack([east, north, plane.eave_height_m + s * np.sin(tilt)])


def free_points(plane: RoofPlane, obstructions: Sequence[Obstruction], count: int = POINTS) -> Floats:
    """Sample points less those on which a chimney or building stands: no module lies there."""
    points = plane_points(plane, count)
    free = np.ones(len(points), dtype=bool)
    for obstruction in obstructions:
        if obstruction.kind != "tree":
            free &= ~covers(obstruction, points)
    return points[free] if free.any() else points


def plane_middle(plane: RoofPlane) -> Floats:
    """The middle of a plane: east, north, up in metres."""
    rise = plane.slope_length_m / 2.0 * float(np.sin(np.radians(plane.tilt_deg)))
    return np.array([plane.x_m, plane.y_m, plane.eave_height_m + rise])


def plane_normal(tilt_deg: float, azimuth_deg: float) -> Floats:
    tilt, azimuth = np.radians(tilt_deg), np.radians(azimuth_deg)
    return np.array([np.sin(tilt) * np.sin(azimuth), np.sin(tilt) * np.cos(azimuth), np.cos(tilt)])


def directions(elevation_deg: Floats, azimuth_deg: Floats) -> Floats:
    """Unit vectors (east, north, up) of shape (n, 3)."""
    elevation, azimuth = np.radians(elevation_deg), np.radians(azimuth_deg)
    level = np.cos(elevation)
    return np.column_stack([level * np.sin(azimuth), level * np.cos(azimuth), np.sin(elevation)])


def _met(
    obstructions: Sequence[Obstruction], points: Floats, aim: Floats
) -> Iterator[tuple[Obstruction, Ints, Ints, Mask, Mask]]:
    """Per obstruction: the pairs of point and direction that can meet it, which of them it stops outright and which
    its leaves filter."""
    for obstruction in obstructions:
        points_met, ways_met = may_meet(obstruction, points, aim)
        a, b, z = placed(obstruction, points)
        da, db, dz = turned(obstruction, aim)
        for start in range(0, points_met.size, CHUNK):
            point, way = points_met[start : start + CHUNK], ways_met[start : start + CHUNK]
            ray = Rays(a[point], b[point], z[point], da[way], db[way], dz[way])
            if obstruction.kind == "tree":
                trunk, crown = hits_tree(obstruction, ray)
                yield obstruction, point, way, trunk, crown
            else:
                solid = hits_box(obstruction, ray)
                yield obstruction, point, way, solid, np.zeros_like(solid)


def beam_factor(
    plane: RoofPlane,
    obstructions: Sequence[Obstruction],
    latitude_deg: float,
    elevation_deg: Floats,
    azimuth_deg: Floats,
    month: Ints,
    count: int = POINTS,
) -> Floats:
    """Share of the plane's beam light left at each moment, shape (n,): mean over ``count`` sample points."""
    factor = np.ones(elevation_deg.size)
    if not obstructions:
        return factor
    aim = directions(elevation_deg, azimuth_deg)
    lit = np.flatnonzero((elevation_deg > 0.0) & (aim @ plane_normal(plane.tilt_deg, plane.azimuth_deg) > 0.0))
    if lit.size == 0:
        return factor
    lit = lit[by_azimuth(aim[lit])]
    points = free_points(plane, obstructions, count)
    through = np.ones((len(points), lit.size))
    months = month[lit] - 1
    for obstruction, point, way, solid, leafy in _met(obstructions, points, aim[lit]):
        through[point[solid], way[solid]] = 0.0
        if leafy.any():
            behind = way[leafy]
            through[point[leafy], behind] *= transmittance_by_month(obstruction, latitude_deg)[months[behind]]
    factor[lit] = through.mean(axis=0)
    return factor


@lru_cache(maxsize=8)
def _sky_patches(patch_deg: float) -> tuple[Floats, Floats]:
    """Directions (n, 3) around the horizon and solid angles (n,) of patches that tile the upper half of the sky."""
    elevations = np.arange(patch_deg / 2.0, 90.0, patch_deg)
    azimuths = np.arange(patch_deg / 2.0, 360.0, patch_deg)
    grid_a, grid_e = (grid.ravel() for grid in np.meshgrid(azimuths, elevations, indexing="ij"))
    half = np.radians(patch_deg / 2.0)
    solid = np.radians(patch_deg) * (np.sin(np.radians(grid_e) + half) - np.sin(np.radians(grid_e) - half))
    aim = directions(grid_e, grid_a)
    order = by_azimuth(aim)
    return aim[order], solid[order]


def sky_factor(
    plane: RoofPlane,
    obstructions: Sequence[Obstruction],
    latitude_deg: float,
    patch_deg: float = PATCH_DEG,
    horizon: Sequence[HorizonPoint] = (),
) -> Floats:
    """Share of an isotropic sky's light that is left to the plane in each month, shape (12,)."""
    if not obstructions and not horizon:
        return np.ones(12)
    aim, solid = _sky_patches(patch_deg)
    weight = np.maximum(aim @ plane_normal(plane.tilt_deg, plane.azimuth_deg), 0.0) * solid
    seen = weight > 0
    aim, weight = aim[seen], weight[seen]
    weight = weight / weight.sum() * sky_open(horizon, aim, patch_deg)
    points = free_points(plane, obstructions, SKY_POINTS)
    by_tree = [transmittance_by_month(obstruction, latitude_deg).tolist() for obstruction in obstructions]
    # Months in which every tree lets the same light through are reckoned once.
    months = list(zip(*by_tree, strict=True)) if by_tree else [()] * 12
    through = {months.index(alike): np.ones((len(points), len(aim))) for alike in months}
    for obstruction, point, way, stopped, leafy in _met(obstructions, points, aim):
        dark, filtered = (point[stopped], way[stopped]), (point[leafy], way[leafy])
        passes = transmittance_by_month(obstruction, latitude_deg)
        for month, left in through.items():
            left[dark] = 0.0
            if filtered[0].size:
                left[filtered] *= passes[month]
    by_month = {month: float(left.mean(axis=0) @ weight) for month, left in through.items()}
    return np.array([by_month[months.index(alike)] for alike in months])


def shade_of_plane(
    plane: RoofPlane,
    obstructions: Sequence[Obstruction],
    latitude_deg: float,
    elevation_deg: Floats,
    azimuth_deg: Floats,
    month: Ints,
    horizon: Sequence[HorizonPoint] = (),
) -> Shade:
    """Beam and sky factors of one plane over a year of hours."""
    return Shade(
        beam_factor(plane, obstructions, latitude_deg, elevation_deg, azimuth_deg, month)
        * beam_open(horizon, elevation_deg, azimuth_deg),
        sky_factor(plane, obstructions, latitude_deg, horizon=horizon),
    )
