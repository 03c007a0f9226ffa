"""The outage part of a study: how long the essential loads last without the grid, for every start of the year."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from sizing.backup.balance import follow_outage
from sizing.backup.cases import outage_cases, smallest_battery_units
from sizing.backup.limits import power_limits
from sizing.backup.off_grid import off_grid_year
from sizing.backup.plant import Plant, plant_of
from sizing.backup.rules import battery_only_hours
from sizing.backup.survival import lowest_stored_wh, ride_through_hours
from sizing.climate.hours import HOURS_PER_YEAR, Floats, Ints, month_of_hour
from sizing.errors import InputError, InputErrors
from sizing.loads.hours import LoadsHours
from sizing.study.request import STANDBY_OF_OWN_INVERTER_W, StudyRequest
from sizing.study.result import OffGrid, RideThrough, StateOfChargeTrace
from sizing.working import Term, Working

SHARE_HOURS = (6, 12, 24, 48, 72, 120, 168, 240, 336)
LIGHTS_OUT = (
    "The lights go out with the grid: a system without battery backup must stop as soon as the grid fails "
    "(anti-islanding, UL 1741 and IEEE 1547), however bright the sun."
)

Answer = tuple[RideThrough | None, OffGrid | None, tuple[Working, ...], tuple[str, ...]]


def problems(request: StudyRequest) -> list[InputError]:
    """Everything in the request that an outage can't be worked out from."""
    found: list[InputError] = []
    if not 0 < request.inverter.efficiency <= 1:
        found.append(InputError("inverter.efficiency", "Efficiency is a fraction above 0 and at most 1."))
    battery = request.battery
    if battery is not None:
        if not 0 < battery.round_trip_efficiency <= 1:
            found.append(InputError("battery.round_trip_efficiency", "Efficiency is a fraction above 0 and at most 1."))
        if not 0 <= battery.reserve_fraction < 1:
            found.append(InputError("battery.reserve_fraction", "The reserve is a fraction from 0 to below 1."))
        if battery.usable_kwh <= 0:
            found.append(InputError("battery.usable_kwh", "Usable capacity must be above 0."))
        if battery.units < 1:
            found.append(InputError("battery.units", "There must be at least one battery."))
    if not 1 <= request.backup.horizon_hours <= HOURS_PER_YEAR:
        found.append(InputError("backup.horizon_hours", "The horizon must lie between 1 hour and a year."))
    if not 0 <= request.backup.start_state_of_charge <= 1:
        found.append(InputError("backup.start_state_of_charge", "The state of charge is a fraction from 0 to 1."))
    return found


def study_backup(request: StudyRequest, dc_w: Floats, ac_w: Floats, loads: LoadsHours) -> Answer:
    """Ride-through of the essential loads and, off the grid, the year of the whole house.

    ``dc_w``: array power before the inverter, W, shape (8760,); the battery shares the inverter's DC side, so this is
    what loads and battery draw on. ``ac_w``, shape (8760,), is the same year after the inverter with the grid up; an
    outage does not use it. Raises InputErrors.
    """
    if found := problems(request):
        raise InputErrors(found)
    plant = plant_of(request)
    ride, ride_working, warnings = _ride_through(request, plant, dc_w, loads)
    off_grid, off_working, off_warnings = (
        off_grid_year(request, plant, dc_w, loads) if request.system_type == "off_grid" else (None, [], [])
    )
    return ride, off_grid, (*ride_working, *off_working), (*warnings, *off_warnings)


def _ride_through(
    request: StudyRequest, plant: Plant, dc_w: Floats, loads: LoadsHours
) -> tuple[RideThrough | None, list[Working], list[str]]:
    if loads.summary.backup_peak_w <= 0:
        return None, [], ["No essential loads are listed, so there is no outage to ride through."]
    backup, horizon = request.backup, request.backup.horizon_hours
    if plant.inverter_limit_w <= 0:
        hours: Ints = np.zeros(HOURS_PER_YEAR, dtype=np.int64)
    else:
        hours = ride_through_hours(plant, dc_w, loads.backup_w, horizon, backup.start_state_of_charge)
    mean_kw = float(loads.backup_w.mean()) / 1000
    battery_only = (
        battery_only_hours(
            plant.capacity_wh / 1000,
            request.battery.reserve_fraction if request.battery else 0.0,
            plant.inverter_efficiency,
            mean_kw,
            discharge_efficiency=plant.discharge_efficiency,
            standby_kw=plant.standby_w / 1000,
            start_state_of_charge=backup.start_state_of_charge,
        )
        if plant.inverter_limit_w > 0
        else 0.0
    )
    power_ok, surge_ok, limits, limit_note = power_limits(request, plant, loads)
    wanted = backup.wanted_days * 24
    result = RideThrough(
        horizon_hours=horizon,
        wanted_hours=wanted,
        share_of_starts_meeting_wanted=float((hours >= min(wanted, horizon)).mean()),
        median_hours=float(np.median(hours)),
        worst_hours=float(hours.min()),
        best_hours=float(hours.max()),
        tenth_percentile_hours=float(np.percentile(hours, 10, method="lower")),
        share_by_hours=tuple((mark, float((hours >= mark).mean())) for mark in SHARE_HOURS if mark <= horizon),
        median_by_month_hours=tuple(float(np.median(hours[month_of_hour() == month])) for month in range(1, 13)),
        battery_only_hours=battery_only if math.isfinite(battery_only) else float(horizon),
        traces=_traces(request, plant, dc_w, loads, hours),
        power_limit_ok=power_ok,
        surge_ok=surge_ok,
        note=_note(request, plant, hours, limit_note),
        by_battery_units=_by_units(request, dc_w, loads.backup_w, hours) if plant.inverter_limit_w > 0 else (),
        cases=outage_cases(request, dc_w, loads, hours),
        smallest_battery_units=smallest_battery_units(
            request, dc_w, loads.backup_w, min(wanted, horizon), backup.wanted_share
        )
        if plant.inverter_limit_w > 0
        else None,
    )
    working = [_battery_only_working(request, plant, mean_kw, result.battery_only_hours), *limits]
    working.append(_wanted_working(result, backup.start_state_of_charge))
    if (units := result.smallest_battery_units) is not None:
        working.append(_smallest_working(request, units, wanted))
    return result, working, [limit_note] if limit_note else []


def _by_units(
    request: StudyRequest, dc_w: Floats, load_w: Floats, own_hours: Ints
) -> tuple[tuple[int, float, float], ...]:
    """The same outages with fewer and with more of the same battery: what another unit would buy."""
    battery, backup = request.battery, request.backup
    if battery is None:
        return ()
    wanted = min(backup.wanted_days * 24, backup.horizon_hours)
    out = []
    for units in range(max(1, battery.units - 3), max(battery.units + 2, 4) + 1):
        hours = own_hours
        if units != battery.units:
            plant = plant_of(replace(request, battery=replace(battery, units=units)))
            hours = ride_through_hours(plant, dc_w, load_w, backup.horizon_hours, backup.start_state_of_charge)
        out.append((units, float((hours >= wanted).mean()), float(np.median(hours))))
    return tuple(out)


def _traces(
    request: StudyRequest, plant: Plant, dc_w: Floats, loads: LoadsHours, hours: Ints
) -> tuple[StateOfChargeTrace, ...]:
    if plant.capacity_wh <= 0 or plant.inverter_limit_w <= 0:
        return ()
    lowest = lowest_stored_wh(
        plant, dc_w, loads.backup_w, request.backup.horizon_hours, request.backup.start_state_of_charge
    )
    order = np.lexsort((lowest, hours))
    picks = (("worst", int(order[0])), ("median", int(order[len(order) // 2])), ("best", int(order[-1])))
    out = []
    for label, start in picks:
        balance = follow_outage(
            plant,
            dc_w,
            loads.backup_w,
            start,
            request.backup.horizon_hours,
            request.backup.start_state_of_charge * plant.capacity_wh,
        )
        fractions = tuple(round(float(stored), 6) for stored in balance.stored / plant.capacity_wh)
        out.append(StateOfChargeTrace(label, start, int(hours[start]), fractions))
    return tuple(out)


def _note(request: StudyRequest, plant: Plant, hours: Ints, limit_note: str) -> str:
    if plant.inverter_limit_w <= 0:
        return LIGHTS_OUT
    parts = []
    if request.battery is None:
        parts.append("Without a battery the backup output works only while the sun gives more than the loads need.")
    if int(hours.max()) >= request.backup.horizon_hours:
        parts.append(f"The study looks no further than {request.backup.horizon_hours} hours.")
    if request.generator is not None:
        fuel = request.generator.fuel_limited_hours
        parts.append(
            "The generator is not counted in these figures; the cases with it show what it adds"
            + (f", with fuel for {fuel:g} hours of running." if fuel else ", with fuel always at hand.")
        )
    return " ".join([*parts, limit_note] if limit_note else parts)


def _battery_only_working(request: StudyRequest, plant: Plant, mean_kw: float, result: float) -> Working:
    reserve = request.battery.reserve_fraction if request.battery else 0.0
    return Working(
        key="backup.battery_only",
        label="Ride-through with no sun at all, at the mean essential load",
        formula="t = E × (s − r) × η_d / (P / η_inv + P_0)",
        terms=(
            Term("E", plant.capacity_wh / 1000, "kWh", "usable capacity of all units"),
            Term("s", request.backup.start_state_of_charge, "", "state of charge at the start"),
            Term("r", reserve, "", "reserve kept"),
            Term("η_d", plant.discharge_efficiency, "", "square root of the round-trip efficiency"),
            Term("P", mean_kw, "kW", "mean essential load"),
            Term("η_inv", plant.inverter_efficiency, ""),
            Term("P_0", plant.standby_w / 1000, "kW", standby_note(request)),
        ),
        result=result,
        unit="h",
        source="energy balance",
    )


def standby_note(request: StudyRequest) -> str:
    battery = request.battery
    if battery is None or battery.coupling == "dc":
        return "inverter standby"
    if battery.standby_w is not None:
        return "standby of PV and battery inverters"
    return f"with {STANDBY_OF_OWN_INVERTER_W:g} W for each battery's own inverter; common practice, no source"


def _smallest_working(request: StudyRequest, units: int, wanted_hours: float) -> Working:
    return Working(
        key="backup.smallest_battery",
        label="Fewest batteries with which enough outage starts of the year last as long as wanted",
        formula="least n with share(n, t) ≥ x",
        terms=(
            Term("t", wanted_hours, "h", "wanted"),
            Term("x", request.backup.wanted_share * 100, "%", "of all starts"),
            Term("E", request.battery.usable_kwh if request.battery else 0.0, "kWh", "usable, of one"),
        ),
        result=float(units),
        unit="batteries",
        source="hourly balance of array, battery and essential loads over one year",
        remark="Array, inverter and loads as designed.",
    )


def _wanted_working(ride: RideThrough, start_state_of_charge: float) -> Working:
    return Working(
        key="backup.share_meeting_wanted",
        label=f"Share of all outage starts of the year that last at least {ride.wanted_hours:g} hours",
        formula="starts lasting that long / 8760",
        terms=(
            Term("t", ride.wanted_hours, "h", "wanted"),
            Term("s", start_state_of_charge, "", "state of charge at the start"),
        ),
        result=ride.share_of_starts_meeting_wanted * 100,
        unit="%",
        source="hourly balance of array, battery and essential loads over one year",
        remark="Whole hours until the first hour in which a load is not carried.",
    )
