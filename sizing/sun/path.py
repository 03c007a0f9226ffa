"""The sun's paths over the year and the outlines of what stands in them, as pairs for a picture."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sizing.climate.hours import Floats
from sizing.study.request import HorizonPoint, Obstruction, RoofPlane
from sizing.study.result import SunPath
from sizing.sun.horizon import silhouette
from sizing.sun.obstacles import depth_m, frame, hits_box, hits_tree, rays
from sizing.sun.shade import directions, plane_middle

ARCS = (("21 December", 355), ("21 March and 21 September", 80), ("21 June", 172))
STEP_DEG = 2.5
"""Ten minutes of solar time."""
POINTS = (
    "north", "north-northeast", "northeast", "east-northeast", "east", "east-southeast", "southeast",
    "south-southeast", "south", "south-southwest", "southwest", "west-southwest", "west", "west-northwest",
    "northwest", "north-northwest",
)  # fmt: skip

Pairs = tuple[tuple[float, float], ...]


def declination_deg(day_of_year: int) -> float:
    """Cooper (1969), as in Duffie and Beckman eq. 1.6.1a."""
    from pvlib import solarposition

    return float(np.degrees(solarposition.declination_cooper69(day_of_year)))


def sun_by_solar_time(latitude_deg: float, declination: float, hour_angle_deg: Floats) -> tuple[Floats, Floats]:
    """Elevation and azimuth (east of north) in degrees at hour angles (afternoon positive).

    Duffie and Beckman eqs. 1.6.5 and 1.6.6, in the form of a turned vector, which has no cases to tell apart.
    """
    phi, delta, omega = np.radians(latitude_deg), np.radians(declination), np.radians(hour_angle_deg)
    east = -np.cos(delta) * np.sin(omega)
    north = np.cos(phi) * np.sin(delta) - np.sin(phi) * np.cos(delta) * np.cos(omega)
    up = np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(omega)
    elevation = np.degrees(np.arcsin(np.clip(up, -1.0, 1.0)))
    return np.asarray(elevation), np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)


def arc(latitude_deg: float, day_of_year: int) -> Pairs:
    """One day's path while the sun is up, morning to evening; azimuths run on past 0 or 360 without a jump."""
    declination = declination_deg(day_of_year)
    angles = np.arange(-180.0, 180.0 + STEP_DEG / 2.0, STEP_DEG)
    elevation, azimuth = sun_by_solar_time(latitude_deg, declination, angles)
    limit = -np.tan(np.radians(latitude_deg)) * np.tan(np.radians(declination))
    if abs(limit) < 1.0:
        sunset = float(np.degrees(np.arccos(limit)))
        inner = angles[np.abs(angles) < sunset]
        angles = np.concatenate(([-sunset], inner, [sunset]))
        elevation, azimuth = sun_by_solar_time(latitude_deg, declination, angles)
        elevation = np.maximum(elevation, 0.0)
    up = elevation >= 0.0
    if not up.any():
        return ()
    run = np.unwrap(azimuth[up], period=360.0)
    return _pairs(run, elevation[up])


def hour_mark(latitude_deg: float, solar_hour: int) -> Pairs:
    """Where the sun stands at a solar hour on each of the three days on which it is up then."""
    marks = []
    for _, day in ARCS:
        angle = np.array([(solar_hour - 12.0) * 15.0])
        elevation, azimuth = sun_by_solar_time(latitude_deg, declination_deg(day), angle)
        if elevation[0] >= 0.0:
            marks.append((round(float(azimuth[0]), 2), round(float(elevation[0]), 2)))
    return tuple(marks)


def compass(bearing_deg: float) -> str:
    return POINTS[round(bearing_deg / 22.5) % 16]


def label(obstruction: Obstruction) -> str:
    away = f"{round(obstruction.distance_m, 1):g} m away"
    return f"{obstruction.kind.capitalize()}, {compass(obstruction.bearing_deg)}, {away}"


def outline(obstruction: Obstruction, eye: Floats) -> Pairs:
    """Outline of an obstruction seen from a point (east, north, up): along the top, and back along the foot.

    Empty where nothing of it stands above the eye's horizon. Azimuths don't jump at north.
    """
    place = frame(obstruction)
    away = np.array([place.x_m, place.y_m]) - eye[:2]
    gap = float(np.hypot(*away))
    radius = 0.5 * float(np.hypot(obstruction.width_m, depth_m(obstruction)))
    half = 180.0 if gap <= radius else float(np.degrees(np.arcsin(radius / gap)))
    centre = float(np.degrees(np.arctan2(away[0], away[1]))) % 360.0
    azimuths = centre + np.linspace(-half, half, 73)
    elevations = np.arange(0.0, 90.01, 0.5)
    grid_a, grid_e = np.meshgrid(azimuths, elevations)
    aim = directions(grid_e.ravel(), grid_a.ravel())
    ray = rays(obstruction, np.broadcast_to(eye, aim.shape), aim)
    if obstruction.kind == "tree":
        trunk, crown = hits_tree(obstruction, ray)
        hit = trunk | crown
    else:
        hit = hits_box(obstruction, ray)
    seen = hit.reshape(grid_a.shape)
    columns = np.flatnonzero(seen.any(axis=0))
    if columns.size == 0:
        return ()
    top = elevations[seen.shape[0] - 1 - np.argmax(seen[::-1, columns], axis=0)]
    foot = elevations[np.argmax(seen[:, columns], axis=0)]
    return _pairs(azimuths[columns], top) + _pairs(azimuths[columns][::-1], foot[::-1])


def middle_of_array(planes: Sequence[RoofPlane]) -> Floats:
    """The middle of the modules (of the planes, while they carry none): east, north, up in metres."""
    weights = np.array([plane.modules for plane in planes], dtype=np.float64)
    if weights.sum() <= 0:
        weights = np.ones(len(planes))
    middles = np.array([plane_middle(plane) for plane in planes])
    return np.asarray(weights @ middles / weights.sum())


def sun_path(
    latitude_deg: float,
    planes: Sequence[RoofPlane],
    obstructions: Sequence[Obstruction],
    horizon: Sequence[HorizonPoint] = (),
) -> SunPath:
    """Everything the picture of the sky needs."""
    eye = middle_of_array(planes)
    marks = ((f"{hour}:00", hour_mark(latitude_deg, hour)) for hour in range(24))
    far = silhouette(horizon, latitude_deg)
    near = tuple((label(obstruction), outline(obstruction, eye)) for obstruction in obstructions)
    return SunPath(
        arcs=tuple((name, arc(latitude_deg, day)) for name, day in ARCS),
        silhouettes=((("Horizon", far), *near) if far else near),
        hour_marks=tuple((name, pairs) for name, pairs in marks if pairs),
    )


def _pairs(azimuths: Floats, elevations: Floats) -> Pairs:
    return tuple((round(float(a), 2), round(float(e), 2)) for a, e in zip(azimuths, elevations, strict=True))
