"""One study, from request to result."""

from __future__ import annotations

from collections.abc import Callable

from sizing.array.production import array_year
from sizing.climate.choose import ChosenClimate, choose_climate
from sizing.climate.design_temperatures import DesignTemps, settle
from sizing.errors import InputError, InputErrors
from sizing.study.array_warnings import array_warnings
from sizing.study.request import Battery, StudyRequest
from sizing.study.result import ClimateUsed, StudyResult
from sizing.study.validate import check_request
from sizing.study.working_lines import array_working, climate_working
from sizing.sun.path import sun_path
from sizing.sun.position import sun_year

Progress = Callable[[str, float], None]


def run_study(request: StudyRequest, progress: Progress | None = None) -> StudyResult:
    """Answer a request. Raises InputErrors, with every field that can't be used, and nothing else for bad input.

    ``progress`` is told in plain words what comes next, with the fraction done (0 to 1).
    """
    try:
        return _run(request, progress or _silent)
    except InputError as problem:
        raise InputErrors([problem]) from problem


def _silent(_words: str, _fraction: float) -> None:
    return None


def _run(request: StudyRequest, tell: Progress) -> StudyResult:
    from sizing.backup import study_backup
    from sizing.electrical import study_electrical
    from sizing.loads import study_loads
    from sizing.money import study_money
    from sizing.roof import study_roof
    from sizing.structure.study import study_structure

    tell("Checking the request", 0.0)
    check_request(request)
    tell("Reading the weather", 0.05)
    chosen = choose_climate(request.site, request.climate)
    climate = chosen.hours
    temps = settle(
        climate,
        request.site.latitude_deg,
        request.site.longitude_deg,
        request.climate.record_low_c,
        request.climate.high_2pct_c,
        chosen.distance_km,
    )
    tell("Following the sun over the year", 0.2)
    sun = sun_year(climate.latitude_deg, climate.longitude_deg, climate.elevation_m, climate.utc_offset_h)
    tell("Working out shade and production", 0.3)
    year = array_year(request, climate, sun)
    tell("Drawing the sky", 0.5)
    path = sun_path(request.site.latitude_deg, request.planes, request.obstructions, request.horizon)
    tell("Adding up the loads", 0.55)
    loads = study_loads(request, climate)
    tell("Trying an outage at every hour of the year", 0.6)
    ride_through, off_grid, backup_working, backup_warnings = study_backup(request, year.dc_w, year.ac_w, loads)
    tell("Sizing strings, conductors and breakers", 0.85)
    electrical, electrical_working, electrical_warnings = study_electrical(
        request, temps.record_low_c, temps.high_2pct_c
    )
    roof, roof_working, roof_warnings = study_roof(request)
    structure, structure_working = study_structure(request, roof)
    tell("Comparing bills", 0.95)
    money, money_working, money_warnings = study_money(request, year.ac_w, loads)
    result = StudyResult(
        request=request,
        climate=_climate_used(chosen, temps),
        planes=year.plane_results,
        production=year.production,
        sun_path=path,
        loads=loads.summary,
        ride_through=ride_through,
        off_grid=off_grid,
        money=money,
        electrical=electrical,
        working=(
            climate_working(chosen),
            *temps.working,
            *array_working(request, year),
            *roof_working,
            *structure_working,
            *loads.working,
            *backup_working,
            *electrical_working,
            *money_working,
        ),
        warnings=(
            *chosen.warnings,
            *temps.warnings,
            *array_warnings(year.plane_results, year.production),
            *roof_warnings,
            *loads.warnings,
            *backup_warnings,
            *electrical_warnings,
            *money_warnings,
        ),
        assumptions=_assumptions(request),
        roof=roof,
        structure=structure,
    )
    tell("Done", 1.0)
    return result


def _climate_used(chosen: ChosenClimate, temps: DesignTemps) -> ClimateUsed:
    hours = chosen.hours
    return ClimateUsed(
        kind=hours.kind,
        name=hours.name,
        distance_km=chosen.distance_km,
        ghi_kwh_per_m2_year=float(hours.ghi.sum() / 1000.0),
        record_low_c=temps.record_low_c,
        record_low_source=temps.record_low_source,
        high_2pct_c=temps.high_2pct_c,
        high_2pct_source=temps.high_2pct_source,
    )


def _assumptions(request: StudyRequest) -> tuple[str, ...]:
    lines = [
        "The year is a typical one: single years differ from it by several per cent either way.",
        "Shade takes power away by the area it covers; modules in one string can drag each other down further.",
        "Cells warm up as the module's datasheet says for light wind; wind is not counted.",
        "Snow on the array is not counted.",
        f"The ground reflects {request.ground_albedo:.0%} of the light that falls on it.",
    ]
    if any(item.kind == "tree" and not item.evergreen and not item.leaf_months for item in request.obstructions):
        lines.append(
            "Deciduous trees outside the tropics are in leaf for six months, and half in leaf a month before and after."
        )
    if request.battery is not None:
        lines.append(_storage_place(request.battery))
    if request.system_type == "off_grid":
        lines.append("Yearly production is what the array can give; what a full battery turns away is part of it.")
    return tuple(lines)


def _storage_place(battery: Battery) -> str:
    from sizing.electrical.storage import PLACE

    unmeasured = []
    if battery.units > 1 and battery.unit_gap_m is None:
        unmeasured.append("between the units")
    if battery.location == "outdoors" and battery.opening_gap_m is None:
        unmeasured.append("to doors and windows")
    if not unmeasured:
        return f"The storage stands {PLACE[battery.location]}."
    return f"The storage stands {PLACE[battery.location]}; the space {' and '.join(unmeasured)} is not measured yet."
