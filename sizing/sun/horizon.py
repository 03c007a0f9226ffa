"""The measured horizon: hills and far lines of trees that hide the low sun and the lower sky."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sizing.climate.hours import Floats
from sizing.study.request import HorizonPoint

STEP_DEG = 3.0
Pairs = tuple[tuple[float, float], ...]


def height_deg(horizon: Sequence[HorizonPoint], azimuth_deg: Floats) -> Floats:
    """Elevation of the horizon in directions of any shape; 0 where none is given, straight between points."""
    if not horizon:
        return np.zeros(np.shape(azimuth_deg))
    bearings = np.array([point.bearing_deg % 360.0 for point in horizon])
    heights = np.array([point.elevation_deg for point in horizon])
    return np.asarray(np.interp(azimuth_deg, bearings, heights, period=360.0), dtype=np.float64)


def beam_open(horizon: Sequence[HorizonPoint], elevation_deg: Floats, azimuth_deg: Floats) -> Floats:
    """1 where the sun stands over the horizon, else 0; 1 too while it is down, where there is nothing to take away."""
    if not horizon:
        return np.ones(np.shape(elevation_deg))
    hidden = (elevation_deg > 0.0) & (elevation_deg < height_deg(horizon, azimuth_deg))
    return np.asarray(np.where(hidden, 0.0, 1.0))


def sky_open(horizon: Sequence[HorizonPoint], aim: Floats, patch_deg: float) -> Floats:
    """The part of each patch of sky that stands over the horizon; ``aim`` (n, 3) are the patches' middles."""
    if not horizon:
        return np.ones(len(aim))
    elevation = np.degrees(np.arcsin(np.clip(aim[:, 2], -1.0, 1.0)))
    azimuth = np.degrees(np.arctan2(aim[:, 0], aim[:, 1])) % 360.0
    over = elevation + patch_deg / 2.0 - height_deg(horizon, azimuth)
    return np.asarray(np.clip(over / patch_deg, 0.0, 1.0))


def silhouette(horizon: Sequence[HorizonPoint], latitude_deg: float) -> Pairs:
    """Its outline for the picture, from pole side to pole side so that nothing jumps where the sun is; empty if level.

    Azimuths run from 0 to 360, south of the equator from -180 to 180.
    """
    if not horizon or max(point.elevation_deg for point in horizon) <= 0.0:
        return ()
    start = 0.01 if latitude_deg >= 0 else -179.99
    azimuths = np.linspace(start, start + 359.98, round(360.0 / STEP_DEG) + 1)
    bends = [(point.bearing_deg - start) % 360.0 + start for point in horizon]
    azimuths = np.unique(np.concatenate([azimuths, [bend for bend in bends if bend < azimuths[-1]]]))
    heights = height_deg(horizon, azimuths % 360.0)
    top = tuple((round(float(a), 2), round(float(h), 2)) for a, h in zip(azimuths, heights, strict=True))
    foot = np.linspace(top[-1][0], top[0][0], 5)
    return (*top, *((round(float(a), 2), 0.0) for a in foot))
