"""What is wrong with the site of a request: place, climate, roof, and what stands around."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from sizing.climate.zone import standard_offset_h
from sizing.errors import InputError
from sizing.roof.outline import crosses_itself, slope_area_m2
from sizing.study.request import (
    AccessEdition,
    HorizonPoint,
    Obstruction,
    RoofEdgeKind,
    RoofObstacle,
    RoofObstacleKind,
    RoofPlane,
    Structure,
    StudyRequest,
    Wood,
)
from sizing.study.rules import choice, positive, within

MAX_MODULES = 5000
HIGHEST_HORIZON_DEG = 80.0
FILL_LIMIT = 1.02
"""Modules may exceed a plane's measured area by this factor: plane sizes come from a tape or a map."""


def site_problems(request: StudyRequest) -> Iterator[InputError]:
    yield from _site(request)
    yield from _climate(request)
    yield from _planes(request)


def obstruction_problems(request: StudyRequest) -> Iterator[InputError]:
    for i, obstruction in enumerate(request.obstructions):
        yield from _obstruction(f"obstructions[{i}]", obstruction)
    yield from _horizon(request.horizon)


def roof_rule_problems(request: StudyRequest) -> Iterator[InputError]:
    yield from _access(request)
    yield from _structure(request.structure)
    yield from within("ground_albedo", request.ground_albedo, 0.0, 1.0)


def _site(request: StudyRequest) -> Iterator[InputError]:
    site = request.site
    yield from within("site.latitude_deg", site.latitude_deg, -90.0, 90.0, "degrees")
    yield from within("site.longitude_deg", site.longitude_deg, -180.0, 180.0, "degrees")
    yield from within("site.elevation_m", site.elevation_m, -450.0, 6000.0, "m")
    try:
        offset = standard_offset_h(site.time_zone)
    except KeyError:
        yield InputError(
            "site.time_zone", f"{site.time_zone!r} is not the name of a time zone, such as America/New_York"
        )
    else:
        apart = (site.longitude_deg / 15.0 - offset + 12.0) % 24.0 - 12.0
        if abs(apart) > 4.0:
            yield InputError(
                "site.time_zone",
                f"{site.time_zone} is {abs(apart):.1f} hours from the sun at longitude {site.longitude_deg:g} "
                "(west is negative)",
            )


def _climate(request: StudyRequest) -> Iterator[InputError]:
    climate = request.climate
    yield from choice("climate.kind", climate.kind, ("typical_year", "monthly_means"))
    if climate.kind == "monthly_means":
        for name in ("ghi_kwh_per_m2_day", "temp_air_c"):
            count = len(getattr(climate, name))
            if count != 12:
                yield InputError(f"climate.{name}", f"needs twelve monthly values, has {count}")
        for i, value in enumerate(climate.ghi_kwh_per_m2_day):
            yield from within(f"climate.ghi_kwh_per_m2_day[{i}]", value, 0.0, 12.0, "kWh/m2 a day")
        for i, value in enumerate(climate.temp_air_c):
            yield from within(f"climate.temp_air_c[{i}]", value, -60.0, 50.0, "C")
        if len(climate.ghi_kwh_per_m2_day) == 12 and sum(climate.ghi_kwh_per_m2_day) <= 0:
            yield InputError("climate.ghi_kwh_per_m2_day", "has no sun in any month")
    yield from within("climate.record_low_c", climate.record_low_c, -70.0, 30.0, "C")
    yield from within("climate.high_2pct_c", climate.high_2pct_c, -10.0, 55.0, "C")
    if climate.seed < 0:
        yield InputError("climate.seed", "must not be negative")
    low, high = climate.record_low_c, climate.high_2pct_c
    if low is not None and high is not None and low >= high:
        yield InputError("climate.record_low_c", f"{low:g} C is not below the summer temperature of {high:g} C")


def _planes(request: StudyRequest) -> Iterator[InputError]:
    if not request.planes:
        yield InputError("planes", "holds no roof plane; a study needs at least one")
        return
    seen: set[str] = set()
    for i, plane in enumerate(request.planes):
        path = f"planes[{i}]"
        if not plane.name.strip():
            yield InputError(f"{path}.name", "is empty")
        elif plane.name in seen:
            yield InputError(f"{path}.name", f"{plane.name!r} is the name of an earlier plane too")
        seen.add(plane.name)
        yield from within(f"{path}.tilt_deg", plane.tilt_deg, 0.0, 90.0, "degrees")
        yield from within(f"{path}.azimuth_deg", plane.azimuth_deg, 0.0, 360.0, "degrees")
        yield from positive(f"{path}.width_m", plane.width_m, 500.0, "m")
        yield from positive(f"{path}.slope_length_m", plane.slope_length_m, 500.0, "m")
        yield from within(f"{path}.eave_height_m", plane.eave_height_m, 0.0, 100.0, "m")
        yield from within(f"{path}.x_m", plane.x_m, -1000.0, 1000.0, "m")
        yield from within(f"{path}.y_m", plane.y_m, -1000.0, 1000.0, "m")
        yield from within(f"{path}.modules", plane.modules, 0, MAX_MODULES)
        yield from choice(f"{path}.mounting", plane.mounting, ("roof", "ground"))
        yield from choice(f"{path}.pathway", plane.pathway, ("left", "right", "both", "elsewhere"))
        yield from _outline(path, plane)
        for j, obstacle in enumerate(plane.obstacles):
            yield from _obstacle(f"{path}.obstacles[{j}]", obstacle, plane)
        yield from _fit(path, plane, request)
    if sum(plane.modules for plane in request.planes) <= 0:
        yield InputError("planes", "no plane carries a module; a study needs at least one module")


def _outline(path: str, plane: RoofPlane) -> Iterator[InputError]:
    if not plane.outline:
        return
    if len(plane.outline) < 3:
        yield InputError(f"{path}.outline", f"needs at least three corners, has {len(plane.outline)}")
        return
    for i, corner in enumerate(plane.outline):
        yield from choice(f"{path}.outline[{i}].kind", corner.kind, get_args(RoofEdgeKind))
        yield from within(f"{path}.outline[{i}].u_m", corner.u_m, 0.0, plane.width_m, "m")
        yield from within(f"{path}.outline[{i}].v_m", corner.v_m, 0.0, plane.slope_length_m, "m")
        following = plane.outline[(i + 1) % len(plane.outline)]
        if (corner.u_m, corner.v_m) == (following.u_m, following.v_m):
            yield InputError(f"{path}.outline[{i}]", "stands on the next corner")
    if crosses_itself([(corner.u_m, corner.v_m) for corner in plane.outline]):
        yield InputError(f"{path}.outline", "crosses itself: give the corners in order around the plane")
    elif slope_area_m2(plane) <= 0:
        yield InputError(f"{path}.outline", "holds no area")


def _obstacle(path: str, obstacle: RoofObstacle, plane: RoofPlane) -> Iterator[InputError]:
    yield from choice(f"{path}.kind", obstacle.kind, get_args(RoofObstacleKind))
    yield from within(f"{path}.u_m", obstacle.u_m, 0.0, plane.width_m, "m")
    yield from within(f"{path}.v_m", obstacle.v_m, 0.0, plane.slope_length_m, "m")
    yield from positive(f"{path}.width_m", obstacle.width_m, 100.0, "m")
    yield from positive(f"{path}.height_m", obstacle.height_m, 100.0, "m")
    yield from within(f"{path}.clearance_m", obstacle.clearance_m, 0.0, 5.0, "m")


def _fit(path: str, plane: RoofPlane, request: StudyRequest) -> Iterator[InputError]:
    module_m2 = request.module.length_m * request.module.width_m
    area = slope_area_m2(plane)
    if module_m2 > 0 and area > 0 and plane.modules * module_m2 > FILL_LIMIT * area:
        yield InputError(
            f"{path}.modules",
            f"{plane.modules} modules of {module_m2:.2f} m2 need {plane.modules * module_m2:.0f} m2; "
            f"{plane.name} has {area:.0f} m2",
        )


def _obstruction(path: str, obstruction: Obstruction) -> Iterator[InputError]:
    yield from choice(f"{path}.kind", obstruction.kind, ("tree", "building", "chimney"))
    yield from within(f"{path}.bearing_deg", obstruction.bearing_deg, 0.0, 360.0, "degrees")
    yield from within(f"{path}.distance_m", obstruction.distance_m, 0.0, 5000.0, "m")
    yield from positive(f"{path}.height_m", obstruction.height_m, 500.0, "m")
    yield from positive(f"{path}.width_m", obstruction.width_m, 1000.0, "m")
    if obstruction.depth_m is not None:
        yield from positive(f"{path}.depth_m", obstruction.depth_m, 1000.0, "m")
    yield from within(f"{path}.crown_base_m", obstruction.crown_base_m, 0.0, 200.0, "m")
    if obstruction.kind == "tree" and obstruction.crown_base_m >= obstruction.height_m > 0:
        yield InputError(f"{path}.crown_base_m", "is not below the top of the tree")
    yield from within(f"{path}.transmittance_leaf_on", obstruction.transmittance_leaf_on, 0.0, 1.0)
    yield from within(f"{path}.transmittance_leaf_off", obstruction.transmittance_leaf_off, 0.0, 1.0)
    for month in obstruction.leaf_months:
        if not 1 <= month <= 12:
            yield InputError(f"{path}.leaf_months", f"{month} is not a month (1 to 12)")
    yield from within(f"{path}.base_height_m", obstruction.base_height_m, -200.0, 200.0, "m")


def _horizon(points: tuple[HorizonPoint, ...]) -> Iterator[InputError]:
    seen: set[float] = set()
    for i, point in enumerate(points):
        yield from within(f"horizon[{i}].bearing_deg", point.bearing_deg, 0.0, 360.0, "degrees")
        yield from within(f"horizon[{i}].elevation_deg", point.elevation_deg, 0.0, HIGHEST_HORIZON_DEG, "degrees")
        bearing = point.bearing_deg % 360.0
        if bearing in seen:
            yield InputError(f"horizon[{i}].bearing_deg", f"{point.bearing_deg:g} degrees is given twice")
        seen.add(bearing)


def _access(request: StudyRequest) -> Iterator[InputError]:
    access = request.access
    yield from choice("access.edition", access.edition, get_args(AccessEdition))
    if access.roof_plan_area_m2 is not None:
        yield from positive("access.roof_plan_area_m2", access.roof_plan_area_m2, 100_000.0, "m2")
    yield from within("access.hip_valley_setback_m", access.hip_valley_setback_m, 0.0, 3.0, "m")
    yield from within("access.edge_margin_m", access.edge_margin_m, 0.0, 3.0, "m")
    yield from within("access.module_gap_m", access.module_gap_m, 0.0, 1.0, "m")


def _structure(structure: Structure | None) -> Iterator[InputError]:
    if structure is None:
        return
    yield from within("structure.wind_mph", structure.wind_mph, 50.0, 250.0, "mph")
    yield from within("structure.ground_snow_psf", structure.ground_snow_psf, 0.0, 400.0, "psf")
    yield from within("structure.gcp", structure.gcp, -6.0, 0.0)
    yield from within("structure.rafter_spacing_m", structure.rafter_spacing_m, 0.2, 2.5, "m")
    yield from choice("structure.wood", structure.wood, get_args(Wood))
    yield from within("structure.edge_factor", structure.edge_factor, 1.0, 1.5)
    yield from within("structure.lag_diameter_in", structure.lag_diameter_in, 0.19, 1.0, "in")
    yield from within("structure.lag_thread_in", structure.lag_thread_in, 0.5, 12.0, "in")
    yield from within("structure.largest_spacing_m", structure.largest_spacing_m, 0.2, 4.0, "m")
