"""Everything wrong with a request, found before anything is computed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from sizing.climate.zone import standard_offset_h
from sizing.errors import InputError, InputErrors
from sizing.study.request import Obstruction, RoofPlane, StudyRequest

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


def _within(path: str, value: float | None, low: float, high: float, unit: str = "") -> Iterator[InputError]:
    if value is not None and not low <= value <= high:
        tail = f" {unit}" if unit else ""
        yield InputError(path, f"{value:g}{tail} is outside {low:g} to {high:g}{tail}")


def _positive(path: str, value: float, high: float, unit: str) -> Iterator[InputError]:
    if not 0.0 < value <= high:
        yield InputError(path, f"{value:g} {unit} must be above 0 and at most {high:g} {unit}")


def _problems(request: StudyRequest) -> Iterator[InputError]:
    yield from _choice("system_type", request.system_type, ("off_grid", "grid_tied", "hybrid"))
    yield from _site(request)
    yield from _climate(request)
    yield from _planes(request)
    yield from _equipment(request)
    yield from _strings(request)
    for i, obstruction in enumerate(request.obstructions):
        yield from _obstruction(f"obstructions[{i}]", obstruction)
    yield from _loads(request)
    yield from _money(request)
    yield from _service(request)
    yield from _within("ground_albedo", request.ground_albedo, 0.0, 1.0)
    for field in fields(request.losses):
        yield from _within(f"losses.{field.name}", getattr(request.losses, field.name), 0.0, 0.9)


def _choice(path: str, value: str, allowed: tuple[str, ...]) -> Iterator[InputError]:
    if value not in allowed:
        yield InputError(path, f"{value!r} is none of {', '.join(allowed)}")


def _site(request: StudyRequest) -> Iterator[InputError]:
    site = request.site
    yield from _within("site.latitude_deg", site.latitude_deg, -90.0, 90.0, "degrees")
    yield from _within("site.longitude_deg", site.longitude_deg, -180.0, 180.0, "degrees")
    yield from _within("site.elevation_m", site.elevation_m, -450.0, 6000.0, "m")
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
    yield from _choice("climate.kind", climate.kind, ("typical_year", "monthly_means"))
    if climate.kind == "monthly_means":
        for name in ("ghi_kwh_per_m2_day", "temp_air_c"):
            count = len(getattr(climate, name))
            if count != 12:
                yield InputError(f"climate.{name}", f"needs twelve monthly values, has {count}")
        for i, value in enumerate(climate.ghi_kwh_per_m2_day):
            yield from _within(f"climate.ghi_kwh_per_m2_day[{i}]", value, 0.0, 12.0, "kWh/m2 a day")
        for i, value in enumerate(climate.temp_air_c):
            yield from _within(f"climate.temp_air_c[{i}]", value, -60.0, 50.0, "C")
        if len(climate.ghi_kwh_per_m2_day) == 12 and sum(climate.ghi_kwh_per_m2_day) <= 0:
            yield InputError("climate.ghi_kwh_per_m2_day", "has no sun in any month")
    yield from _within("climate.record_low_c", climate.record_low_c, -70.0, 30.0, "C")
    yield from _within("climate.high_2pct_c", climate.high_2pct_c, -10.0, 55.0, "C")
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
        yield from _within(f"{path}.tilt_deg", plane.tilt_deg, 0.0, 90.0, "degrees")
        yield from _within(f"{path}.azimuth_deg", plane.azimuth_deg, 0.0, 360.0, "degrees")
        yield from _positive(f"{path}.width_m", plane.width_m, 500.0, "m")
        yield from _positive(f"{path}.slope_length_m", plane.slope_length_m, 500.0, "m")
        yield from _within(f"{path}.eave_height_m", plane.eave_height_m, 0.0, 100.0, "m")
        yield from _within(f"{path}.x_m", plane.x_m, -1000.0, 1000.0, "m")
        yield from _within(f"{path}.y_m", plane.y_m, -1000.0, 1000.0, "m")
        yield from _within(f"{path}.modules", plane.modules, 0, MAX_MODULES)
        yield from _fit(path, plane, request)
    if sum(plane.modules for plane in request.planes) <= 0:
        yield InputError("planes", "no plane carries a module; a study needs at least one module")


def _fit(path: str, plane: RoofPlane, request: StudyRequest) -> Iterator[InputError]:
    module_m2 = request.module.length_m * request.module.width_m
    area = plane.width_m * plane.slope_length_m
    if module_m2 > 0 and area > 0 and plane.modules * module_m2 > FILL_LIMIT * area:
        yield InputError(
            f"{path}.modules",
            f"{plane.modules} modules of {module_m2:.2f} m2 need {plane.modules * module_m2:.0f} m2; "
            f"{plane.name} has {area:.0f} m2",
        )


def _equipment(request: StudyRequest) -> Iterator[InputError]:
    module, inverter = request.module, request.inverter
    for name, high, unit in (
        ("power_w", 2000.0, "W"), ("voc_v", 400.0, "V"), ("isc_a", 50.0, "A"), ("vmp_v", 400.0, "V"),
        ("imp_a", 50.0, "A"), ("length_m", 4.0, "m"), ("width_m", 3.0, "m"), ("max_series_fuse_a", 100.0, "A"),
        ("weight_kg", 100.0, "kg"),
    ):  # fmt: skip
        yield from _positive(f"module.{name}", getattr(module, name), high, unit)
    yield from _within("module.temp_coeff_pmax_pct_per_c", module.temp_coeff_pmax_pct_per_c, -1.0, 0.0, "%/C")
    yield from _within("module.temp_coeff_voc_pct_per_c", module.temp_coeff_voc_pct_per_c, -1.0, 0.0, "%/C")
    yield from _within("module.noct_c", module.noct_c, 30.0, 70.0, "C")
    if module.vmp_v >= module.voc_v > 0:
        yield InputError("module.vmp_v", f"{module.vmp_v:g} V is not below the open-circuit {module.voc_v:g} V")
    if module.imp_a >= module.isc_a > 0:
        yield InputError("module.imp_a", f"{module.imp_a:g} A is not below the short-circuit {module.isc_a:g} A")
    product = module.vmp_v * module.imp_a
    if module.power_w > 0 and product > 0 and abs(product / module.power_w - 1.0) > 0.05:
        yield InputError("module.power_w", f"{module.power_w:g} W is not vmp_v times imp_a ({product:.0f} W)")
    for name, high, unit in (
        ("ac_power_w", 500_000.0, "W"), ("ac_voltage_v", 1000.0, "V"), ("max_dc_voltage_v", 1500.0, "V"),
        ("mppt_min_v", 1500.0, "V"), ("mppt_max_v", 1500.0, "V"), ("max_input_current_a", 1000.0, "A"),
        ("max_short_circuit_a", 1000.0, "A"),
    ):  # fmt: skip
        yield from _positive(f"inverter.{name}", getattr(inverter, name), high, unit)
    if not 0.5 <= inverter.efficiency <= 1.0:
        yield InputError("inverter.efficiency", f"{inverter.efficiency:g} is a fraction between 0.5 and 1")
    for name in ("mppt_inputs", "strings_per_mppt"):
        yield from _within(f"inverter.{name}", getattr(inverter, name), 1, 100)
    for name in ("backup_power_w", "surge_w", "surge_s", "standby_w"):
        yield from _within(f"inverter.{name}", getattr(inverter, name), 0.0, 1_000_000.0)
    if inverter.mppt_min_v >= inverter.mppt_max_v > 0:
        yield InputError("inverter.mppt_min_v", "is not below mppt_max_v")
    yield from _within("inverter_count", request.inverter_count, 1, 100)
    if request.battery is not None:
        battery = request.battery
        yield from _positive("battery.usable_kwh", battery.usable_kwh, 10_000.0, "kWh")
        yield from _positive("battery.max_charge_kw", battery.max_charge_kw, 10_000.0, "kW")
        yield from _positive("battery.max_discharge_kw", battery.max_discharge_kw, 10_000.0, "kW")
        if not 0.3 <= battery.round_trip_efficiency <= 1.0:
            yield InputError(
                "battery.round_trip_efficiency", f"{battery.round_trip_efficiency:g} is a fraction between 0.3 and 1"
            )
        yield from _within("battery.reserve_fraction", battery.reserve_fraction, 0.0, 0.95)
        yield from _within("battery.units", battery.units, 1, 100)
    elif request.system_type == "off_grid":
        yield InputError("battery", "an off-grid system needs a battery")
    if request.generator is not None:
        yield from _positive("generator.power_w", request.generator.power_w, 1_000_000.0, "W")
        yield from _within("generator.fuel_limited_hours", request.generator.fuel_limited_hours, 0.0, 8760.0, "h")


def _strings(request: StudyRequest) -> Iterator[InputError]:
    if not request.strings:
        return
    planes = {plane.name: plane for plane in request.planes}
    counted = dict.fromkeys(planes, 0)
    inputs = request.inverter.mppt_inputs * request.inverter_count
    for i, group in enumerate(request.strings):
        path = f"strings[{i}]"
        yield from _within(f"{path}.modules_in_series", group.modules_in_series, 1, 1000)
        yield from _within(f"{path}.strings", group.strings, 1, 1000)
        if inputs >= 1:
            yield from _within(f"{path}.mppt", group.mppt, 1, inputs)
        if group.plane not in planes:
            yield InputError(f"{path}.plane", f"there is no plane named {group.plane!r}")
        else:
            counted[group.plane] += group.modules_in_series * group.strings
    for name, count in counted.items():
        if count != planes[name].modules:
            yield InputError("strings", f"wire {count} modules on {name}, which carries {planes[name].modules}")


def _obstruction(path: str, obstruction: Obstruction) -> Iterator[InputError]:
    yield from _choice(f"{path}.kind", obstruction.kind, ("tree", "building", "chimney"))
    yield from _within(f"{path}.bearing_deg", obstruction.bearing_deg, 0.0, 360.0, "degrees")
    yield from _within(f"{path}.distance_m", obstruction.distance_m, 0.0, 5000.0, "m")
    yield from _positive(f"{path}.height_m", obstruction.height_m, 500.0, "m")
    yield from _positive(f"{path}.width_m", obstruction.width_m, 1000.0, "m")
    if obstruction.depth_m is not None:
        yield from _positive(f"{path}.depth_m", obstruction.depth_m, 1000.0, "m")
    yield from _within(f"{path}.crown_base_m", obstruction.crown_base_m, 0.0, 200.0, "m")
    if obstruction.kind == "tree" and obstruction.crown_base_m >= obstruction.height_m > 0:
        yield InputError(f"{path}.crown_base_m", "is not below the top of the tree")
    yield from _within(f"{path}.transmittance_leaf_on", obstruction.transmittance_leaf_on, 0.0, 1.0)
    yield from _within(f"{path}.transmittance_leaf_off", obstruction.transmittance_leaf_off, 0.0, 1.0)
    yield from _within(f"{path}.base_height_m", obstruction.base_height_m, -200.0, 200.0, "m")


def _loads(request: StudyRequest) -> Iterator[InputError]:
    tiers = ("must_run", "would_like", "can_wait")
    for i, appliance in enumerate(request.appliances):
        path = f"appliances[{i}]"
        kinds = ("steady", "motor", "well_pump", "central_air", "electric_heat")
        yield from _choice(f"{path}.kind", appliance.kind, kinds)
        yield from _choice(f"{path}.tier", appliance.tier, tiers)
        yield from _within(f"{path}.watts", appliance.watts, 0.0, 200_000.0, "W")
        yield from _within(f"{path}.hours_per_day", appliance.hours_per_day, 0.0, 24.0, "h")
        yield from _within(f"{path}.count", appliance.count, 0, 1000)
        yield from _positive(f"{path}.voltage_v", appliance.voltage_v, 1000.0, "V")
        yield from _within(f"{path}.locked_rotor_a", appliance.locked_rotor_a, 0.0, 2000.0, "A")
        yield from _within(f"{path}.starting_w", appliance.starting_w, 0.0, 500_000.0, "W")
        yield from _within(f"{path}.horsepower", appliance.horsepower, 0.0, 200.0, "hp")
        for month in appliance.months:
            if not 1 <= month <= 12:
                yield InputError(f"{path}.months", f"{month} is not a month (1 to 12)")
    usage = request.usage
    if usage.monthly_kwh and len(usage.monthly_kwh) != 12:
        yield InputError("usage.monthly_kwh", f"needs twelve monthly values, has {len(usage.monthly_kwh)}")
    for i, value in enumerate(usage.monthly_kwh):
        yield from _within(f"usage.monthly_kwh[{i}]", value, 0.0, 100_000.0, "kWh")
    yield from _within("usage.yearly_kwh", usage.yearly_kwh, 0.0, 1_000_000.0, "kWh")
    backup = request.backup
    for tier in backup.tiers:
        yield from _choice("backup.tiers", tier, tiers)
    yield from _within("backup.horizon_hours", backup.horizon_hours, 1, 8760, "h")
    yield from _within("backup.wanted_days", backup.wanted_days, 0.0, 365.0, "days")
    yield from _within("backup.start_state_of_charge", backup.start_state_of_charge, 0.0, 1.0)


def _money(request: StudyRequest) -> Iterator[InputError]:
    tariff, loan = request.tariff, request.loan
    if tariff is not None:
        yield from _choice("tariff.kind", tariff.kind, ("net_metering", "net_billing", "no_export"))
        yield from _within("tariff.energy_usd_per_kwh", tariff.energy_usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from _within("tariff.fixed_usd_per_month", tariff.fixed_usd_per_month, 0.0, 1000.0, "$")
        yield from _within("tariff.export_usd_per_kwh", tariff.export_usd_per_kwh, 0.0, 5.0, "$/kWh")
        yield from _within("tariff.escalation_per_year", tariff.escalation_per_year, -0.2, 0.3)
    if loan is not None:
        yield from _within("loan.principal_usd", loan.principal_usd, 0.0, 10_000_000.0, "$")
        yield from _within("loan.rate_per_year", loan.rate_per_year, 0.0, 0.5)
        yield from _within("loan.months", loan.months, 1, 600)


def _service(request: StudyRequest) -> Iterator[InputError]:
    service, runs = request.service, request.runs
    for name, high, unit in (
        ("rating_a", 4000.0, "A"), ("main_breaker_a", 4000.0, "A"), ("busbar_a", 4000.0, "A"),
        ("voltage_v", 600.0, "V"),
    ):  # fmt: skip
        yield from _positive(f"service.{name}", getattr(service, name), high, unit)
    yield from _within("service.free_breaker_spaces", service.free_breaker_spaces, 0, 200)
    yield from _choice("service.connection", service.connection, ("busbar_opposite_end", "supply_side"))
    yield from _choice("code_edition", request.code_edition, ("2017", "2020", "2023"))
    for name in ("dc_m", "ac_m", "battery_m"):
        yield from _within(f"runs.{name}", getattr(runs, name), 0.0, 2000.0, "m")
    yield from _within("runs.conduit_above_roof_mm", runs.conduit_above_roof_mm, 0.0, 5000.0, "mm")
