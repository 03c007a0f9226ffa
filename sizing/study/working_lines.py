"""The lines of working behind a study's sunlight and production figures."""

from __future__ import annotations

from dataclasses import fields

from sizing.array.power import diffuse_factors, system_loss_factor
from sizing.array.production import LOSS_NAMES, ArrayYear
from sizing.climate.choose import ChosenClimate
from sizing.study.request import StudyRequest
from sizing.study.result import PlaneResult
from sizing.working import Term, Working

PEREZ = "Perez and others 1990, sun by NREL/TP-560-34302 at the middle of each hour, by pvlib"


def climate_working(chosen: ChosenClimate) -> Working:
    hours = chosen.hours
    return Working(
        key="climate.ghi",
        label="Sunlight on level ground in the year used",
        formula="sum of 8760 hourly values / 1000",
        terms=(Term("max", float(hours.ghi.max()), "W/m2", "brightest hour"),),
        result=float(hours.ghi.sum() / 1000.0),
        unit="kWh/m2 a year",
        source=hours.name,
        remark="" if chosen.distance_km is None else f"measured {chosen.distance_km:.0f} km from the site",
    )


def array_working(request: StudyRequest, year: ArrayYear) -> tuple[Working, ...]:
    """Lines for each plane and for the array."""
    lines: list[Working] = []
    for index, plane in enumerate(year.planes):
        tilt, azimuth = request.planes[index].tilt_deg, request.planes[index].azimuth_deg
        lines += _plane_lines(request, index, plane.result, tilt, azimuth)
    production = year.production
    module, inverter = request.module, request.inverter
    modules = sum(plane.modules for plane in request.planes)
    losses = request.losses
    loss_left = system_loss_factor(losses)
    steps = {step.name: step.kwh_year_after for step in production.losses}
    names = list(steps)
    dc_kwh = float(year.dc_w.sum() / 1000.0)
    lines += [
        Working(
            key="production.dc_kw",
            label="Array size at standard test conditions",
            formula="modules x P_module / 1000",
            terms=(
                Term("modules", float(modules), "", "on all planes"),
                Term("P_module", module.power_w, "W", module.name),
            ),
            result=production.dc_kw,
            unit="kW DC",
            source="module datasheet",
        ),
        Working(
            key="production.ac_kw",
            label="Inverter rating",
            formula="inverters x P_ac / 1000",
            terms=(
                Term("inverters", float(request.inverter_count), ""),
                Term("P_ac", inverter.ac_power_w, "W", inverter.name),
            ),
            result=production.ac_kw,
            unit="kW AC",
            source="inverter datasheet",
        ),
        Working(
            key="production.dc_ac_ratio",
            label="Array size over inverter rating",
            formula="P_dc / P_ac",
            terms=(Term("P_dc", production.dc_kw, "kW"), Term("P_ac", production.ac_kw, "kW")),
            result=production.dc_kw / production.ac_kw,
            unit="",
            source="common practice, no source",
            remark=f"energy lost at the inverter's limit: {production.losses[-1].fraction:.1%}",
        ),
        Working(
            key="production.system_losses",
            label="System losses",
            formula="1 - product of (1 - each loss)",
            terms=tuple(
                Term(field.name, float(getattr(losses, field.name)), "", LOSS_NAMES[field.name])
                for field in fields(losses)
            ),
            result=1.0 - loss_left,
            unit="fraction",
            source="NREL/TP-6A20-62641, losses multiplied; shade is worked out by the hour instead",
        ),
        Working(
            key="production.dc_kwh_year",
            label="Energy at the inverter's input",
            formula="sum over hours and planes of P_dc0 x G_eff / 1000 x (1 + gamma x (T_cell - 25)) x (1 - losses)",
            terms=(
                Term("P_dc0", production.dc_kw, "kW", "all planes"),
                Term("gamma", module.temp_coeff_pmax_pct_per_c / 100.0, "1/C", "power over temperature"),
                Term("NOCT", module.noct_c, "C", "T_cell = T_air + (NOCT - 20) / 800 x G (Ross 1976)"),
                Term("losses", 1.0 - loss_left, "", "system losses"),
            ),
            result=dc_kwh,
            unit="kWh a year",
            source="NREL/TP-6A20-62641 section 8",
            remark=f"cells reach {max(float(plane.cell_c.max()) for plane in year.planes):.0f} C",
        ),
        Working(
            key="production.ac_kwh_year",
            label="Energy at the meter",
            formula="sum over hours of min(P_ac, eta(P_dc) x P_dc)",
            terms=(
                Term("E_dc", dc_kwh, "kWh", "at the inverter's input"),
                Term("eta", inverter.efficiency, "", "weighted efficiency"),
                Term("P_ac", production.ac_kw, "kW", "limit"),
                Term("E_unlimited", steps[names[-2]], "kWh", "without the limit"),
            ),
            result=production.ac_kwh_year,
            unit="kWh a year",
            source="part-load curve of NREL/TP-6A20-62641 section 11, by pvlib",
        ),
        Working(
            key="production.specific_yield",
            label="Yield per kilowatt of array",
            formula="E_ac / P_dc",
            terms=(Term("E_ac", production.ac_kwh_year, "kWh"), Term("P_dc", production.dc_kw, "kW")),
            result=production.specific_yield_kwh_per_kw,
            unit="kWh/kW a year",
            source="definition",
        ),
    ]
    return tuple(lines)


def _plane_lines(
    request: StudyRequest, index: int, plane: PlaneResult, tilt_deg: float, azimuth_deg: float
) -> list[Working]:
    glass = diffuse_factors(tilt_deg)
    return [
        Working(
            key=f"plane.{index}.poa",
            label=f"{plane.name}: sunlight on the open plane",
            formula="sum over hours of beam + circumsolar + even sky + horizon band + ground light",
            terms=(
                Term("tilt", tilt_deg, "degrees"),
                Term("azimuth", azimuth_deg, "degrees", "clockwise from true north"),
                Term("albedo", request.ground_albedo, "", "of the ground"),
            ),
            result=plane.poa_unshaded_kwh_per_m2_year,
            unit="kWh/m2 a year",
            source=PEREZ,
            remark=f"the glass lets {glass.sky:.1%} of the even sky's and {glass.ground:.1%} of the ground's light in",
        ),
        Working(
            key=f"plane.{index}.solar_access",
            label=f"{plane.name}: solar access",
            formula="shaded / open sunlight on the plane",
            terms=(
                Term("shaded", plane.poa_kwh_per_m2_year, "kWh/m2"),
                Term("open", plane.poa_unshaded_kwh_per_m2_year, "kWh/m2"),
                Term("obstructions", float(len(request.obstructions)), ""),
                *horizon_terms(request),
                Term("sky", plane.sky_view_fraction, "", "share of the sky's diffuse light left"),
            ),
            result=plane.solar_access_year,
            unit="fraction",
            source="ray geometry from points spread over the plane; leaves let light through as given per tree",
            remark=way_remark(request),
        ),
    ]


def horizon_terms(request: StudyRequest) -> tuple[Term, ...]:
    if not request.horizon:
        return ()
    highest = max(point.elevation_deg for point in request.horizon)
    return (Term("horizon", highest, "degrees", f"highest of {len(request.horizon)} measured directions"),)


def way_remark(request: StudyRequest) -> str:
    deciduous = [item for item in request.obstructions if item.kind == "tree" and not item.evergreen]
    if deciduous and all(item.leaf_months for item in deciduous):
        return "months in leaf: as seen on site"
    if request.obstructions:
        return "months in leaf: common practice, no source"
    return "nothing near in the way" if request.horizon else "nothing in the way"
