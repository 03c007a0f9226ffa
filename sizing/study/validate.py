"""Everything wrong with a request, found before anything is computed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any, get_args

from sizing.climate.zone import standard_offset_h
from sizing.errors import InputError, InputErrors
from sizing.study.request import (
    AccessEdition,
    Economics,
    Obstruction,
    RoofObstacle,
    RoofObstacleKind,
    RoofPlane,
    Structure,
    StudyRequest,
    Tariff,
    Wood,
)
from sizing.study.rules import choice, positive, within
from sizing.study.validate_equipment import equipment_problems, string_problems

MAX_MODULES = 5000
FILL_LIMIT = 1.02
"""Modules may exceed a plane's measured area by this factor: plane sizes come from a tape or a map."""


def check_request(request: StudyRequest) -> None:
    """Raise InputErrors naming every field that can't be used; return nothing if all is well."""
    problems = list(_not_numbers("", request))
    if not problems:
        problems = list(_problems(request))
    if problems:
        raise InputErrors(problems)


def _not_numbers(path: str, value: Any) -> Iterator[InputError]:
    """NaN and infinities anywhere would spread silently."""
    if isinstance(value, float) and not math.isfinite(value):
        yield InputError(path, "is not a finite number")
    elif isinstance(value, tuple):
        for i, item in enumerate(value):
            yield from _not_numbers(f"{path}[{i}]", item)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            inner = f"{path}.{field.name}" if path else field.name
            yield from _not_numbers(inner, getattr(value, field.name))


def _problems(request: StudyRequest) -> Iterator[InputError]:
    yield from choice("system_type", request.system_type, ("off_grid", "grid_tied", "hybrid"))
    yield from _site(request)
    yield from _climate(request)
    yield from _planes(request)
    yield from equipment_problems(request)
    yield from string_problems(request)
    for i, obstruction in enumerate(request.obstructions):
        yield from _obstruction(f"obstructions[{i}]", obstruction)
    yield from _loads(request)
    yield from _money(request)
    yield from _service(request)
    yield from _access(request)
    yield from _structure(request.structure)
    yield from within("ground_albedo", request.ground_albedo, 0.0, 1.0)
    for field in fields(request.losses):
        yield from within(f"losses.{field.name}", getattr(request.losses, field.name), 0.0, 0.9)


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
        for j, obstacle in enumerate(plane.obstacles):
            yield from _obstacle(f"{path}.obstacles[{j}]", obstacle, plane)
        yield from _fit(path, plane, request)
    if sum(plane.modules for plane in request.planes) <= 0:
        yield InputError("planes", "no plane carries a module; a study needs at least one module")


def _obstacle(path: str, obstacle: RoofObstacle, plane: RoofPlane) -> Iterator[InputError]:
    yield from choice(f"{path}.kind", obstacle.kind, get_args(RoofObstacleKind))
    yield from within(f"{path}.u_m", obstacle.u_m, 0.0, plane.width_m, "m")
    yield from within(f"{path}.v_m", obstacle.v_m, 0.0, plane.slope_length_m, "m")
    yield from positive(f"{path}.width_m", obstacle.width_m, 100.0, "m")
    yield from positive(f"{path}.height_m", obstacle.height_m, 100.0, "m")
    yield from within(f"{path}.clearance_m", obstacle.clearance_m, 0.0, 5.0, "m")


def _access(request: StudyRequest) -> Iterator[InputError]:
    access = request.access
    yield from choice("access.edition", access.edition, get_args(AccessEdition))
    if access.roof_plan_area_m2 is not None:
        yield from positive("access.roof_plan_area_m2", access.roof_plan_area_m2, 100_000.0, "m2")
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


def _fit(path: str, plane: RoofPlane, request: StudyRequest) -> Iterator[InputError]:
    module_m2 = request.module.length_m * request.module.width_m
    area = plane.width_m * plane.slope_length_m
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
    yield from within(f"{path}.base_height_m", obstruction.base_height_m, -200.0, 200.0, "m")


def _loads(request: StudyRequest) -> Iterator[InputError]:
    tiers = ("must_run", "would_like", "can_wait")
    for i, appliance in enumerate(request.appliances):
        path = f"appliances[{i}]"
        kinds = ("steady", "motor", "well_pump", "central_air", "electric_heat")
        yield from choice(f"{path}.kind", appliance.kind, kinds)
        yield from choice(f"{path}.tier", appliance.tier, tiers)
        yield from within(f"{path}.watts", appliance.watts, 0.0, 200_000.0, "W")
        yield from within(f"{path}.hours_per_day", appliance.hours_per_day, 0.0, 24.0, "h")
        yield from within(f"{path}.count", appliance.count, 0, 1000)
        yield from positive(f"{path}.voltage_v", appliance.voltage_v, 1000.0, "V")
        yield from within(f"{path}.locked_rotor_a", appliance.locked_rotor_a, 0.0, 2000.0, "A")
        yield from within(f"{path}.starting_w", appliance.starting_w, 0.0, 500_000.0, "W")
        yield from within(f"{path}.horsepower", appliance.horsepower, 0.0, 200.0, "hp")
        for month in appliance.months:
            if not 1 <= month <= 12:
                yield InputError(f"{path}.months", f"{month} is not a month (1 to 12)")
    usage = request.usage
    if usage.monthly_kwh and len(usage.monthly_kwh) != 12:
        yield InputError("usage.monthly_kwh", f"needs twelve monthly values, has {len(usage.monthly_kwh)}")
    for i, value in enumerate(usage.monthly_kwh):
        yield from within(f"usage.monthly_kwh[{i}]", value, 0.0, 100_000.0, "kWh")
    yield from within("usage.yearly_kwh", usage.yearly_kwh, 0.0, 1_000_000.0, "kWh")
    backup = request.backup
    for tier in backup.tiers:
        yield from choice("backup.tiers", tier, tiers)
    yield from within("backup.horizon_hours", backup.horizon_hours, 1, 8760, "h")
    yield from within("backup.wanted_days", backup.wanted_days, 0.0, 365.0, "days")
    for name in ("start_state_of_charge", "wanted_share", "allowed_loss_of_load_share"):
        yield from within(f"backup.{name}", getattr(backup, name), 0.0, 1.0)


def _money(request: StudyRequest) -> Iterator[InputError]:
    tariff, loan = request.tariff, request.loan
    if tariff is not None:
        yield from choice("tariff.kind", tariff.kind, ("net_metering", "net_billing", "no_export"))
        yield from within("tariff.energy_usd_per_kwh", tariff.energy_usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from within("tariff.fixed_usd_per_month", tariff.fixed_usd_per_month, 0.0, 1000.0, "$")
        yield from within("tariff.export_usd_per_kwh", tariff.export_usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from within("tariff.escalation_per_year", tariff.escalation_per_year, -0.2, 0.3)
        yield from _prices(tariff)
    yield from _economics(request.economics)
    if loan is not None:
        yield from within("loan.principal_usd", loan.principal_usd, 0.0, 10_000_000.0, "$")
        yield from within("loan.rate_per_year", loan.rate_per_year, 0.0, 0.5)
        yield from within("loan.months", loan.months, 1, 600)


def _prices(tariff: Tariff) -> Iterator[InputError]:
    yield from within("tariff.minimum_usd_per_month", tariff.minimum_usd_per_month, 0.0, 1000.0, "$")
    yield from within("tariff.tax_fraction", tariff.tax_fraction, 0.0, 1.0)
    if tariff.blocks and tariff.periods:
        yield InputError("tariff.blocks", "a tariff has blocks or time-of-use periods, not both")
    for i, block in enumerate(tariff.blocks):
        yield from positive(f"tariff.blocks[{i}].kwh", block.kwh, 1_000_000.0, "kWh")
        yield from within(f"tariff.blocks[{i}].usd_per_kwh", block.usd_per_kwh, 0.0, 5.0, "$/kWh")
    for i, period in enumerate(tariff.periods):
        path = f"tariff.periods[{i}]"
        yield from within(f"{path}.usd_per_kwh", period.usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from within(f"{path}.export_usd_per_kwh", period.export_usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from within(f"{path}.from_hour", period.from_hour, 0, 24)
        yield from within(f"{path}.to_hour", period.to_hour, 0, 24)
        yield from choice(f"{path}.days", period.days, ("all", "weekdays", "weekends"))
        for month in period.months:
            yield from within(f"{path}.months", month, 1, 12)


def _economics(economics: Economics) -> Iterator[InputError]:
    yield from within("economics.years", economics.years, 1, 60, "years")
    yield from within("economics.price_usd", economics.price_usd, 0.0, 10_000_000.0, "$")
    yield from within("economics.discount_rate_per_year", economics.discount_rate_per_year, -0.05, 0.5)
    yield from within("economics.degradation_per_year", economics.degradation_per_year, 0.0, 0.1)
    yield from within("economics.upkeep_usd_per_year", economics.upkeep_usd_per_year, 0.0, 100_000.0, "$")
    yield from within("economics.inflation_per_year", economics.inflation_per_year, -0.1, 0.3)
    for i, item in enumerate(economics.replacements):
        yield from within(f"economics.replacements[{i}].year", item.year, 1, 60)
        yield from within(f"economics.replacements[{i}].usd", item.usd, 0.0, 1_000_000.0, "$")
    for i, incentive in enumerate(economics.incentives):
        path = f"economics.incentives[{i}]"
        yield from within(f"{path}.month", incentive.month, 1, 720)
        yield from within(f"{path}.usd", incentive.usd, 0.0, 10_000_000.0, "$")
        for name in ("entered_on", "expires_on"):
            if (text := getattr(incentive, name)) is not None:
                try:
                    date.fromisoformat(text)
                except ValueError:
                    yield InputError(f"{path}.{name}", f"{text!r} is not a date such as 2026-04-30")


def _service(request: StudyRequest) -> Iterator[InputError]:
    service, runs = request.service, request.runs
    for name, high, unit in (
        ("rating_a", 4000.0, "A"), ("main_breaker_a", 4000.0, "A"), ("busbar_a", 4000.0, "A"),
        ("voltage_v", 600.0, "V"),
    ):  # fmt: skip
        yield from positive(f"service.{name}", getattr(service, name), high, unit)
    yield from within("service.free_breaker_spaces", service.free_breaker_spaces, 0, 200)
    yield from choice("service.connection", service.connection, ("busbar_opposite_end", "supply_side"))
    yield from choice("code_edition", request.code_edition, ("2017", "2020", "2023"))
    for name in ("dc_m", "ac_m", "battery_m"):
        yield from within(f"runs.{name}", getattr(runs, name), 0.0, 2000.0, "m")
    yield from within("runs.conduit_above_roof_mm", runs.conduit_above_roof_mm, 0.0, 5000.0, "mm")
