"""The one adapter between the jobs and ``sizing``: a design becomes a request, a result becomes a few figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from projects import appliances
from projects.actions.problems import Problem
from projects.models import Design, Job, LeadAnswers, LoadLine, Obstruction, Site
from sizing.errors import InputErrors
from sizing.study import request as ask
from sizing.study.codec import request_to_dict, result_to_dict

Progress = Callable[[str, float], None]
INSTALLED_OVER_EQUIPMENT = 1.9
"""Installed price over the catalogue's price of module, inverter and battery; common practice, no source."""
ESCALATION_PER_YEAR = 0.0
_PART_OF_FIELD = {
    "module": "module",
    "inverter": "inverter",
    "inverter_count": "inverter_count",
    "battery": "battery",
    "generator": "generator",
    "strings": "strings",
    "planes": "plane_modules",
    "service": "service",
    "runs": "dc_run_m",
    "obstructions": "obstructions",
    "appliances": "loads",
    "usage": "usage",
    "tariff": "utility",
    "loan": "loan_months",
    "climate": "climate",
    "site": "site",
    "backup": "outage_days_wanted",
}


def study_request_of(job: Job, design: Design) -> ask.StudyRequest:
    """Everything a study of this design asks, from its frozen equipment and the job's site, loads and authorities."""
    frozen = design.frozen
    site: Site = job.site
    answers = LeadAnswers.objects.filter(job=job).first()
    jurisdiction = job.jurisdiction
    return ask.StudyRequest(
        system_type=frozen["system_type"],
        site=ask.Site(site.latitude_deg, site.longitude_deg, site.elevation_m, site.time_zone),
        climate=ask.Climate(
            record_low_c=jurisdiction.record_low_c if jurisdiction else None,
            high_2pct_c=jurisdiction.high_2pct_c if jurisdiction else None,
        ),
        planes=tuple(ask.RoofPlane(**plane) for plane in frozen["planes"]),
        module=ask.Module(**frozen["module"]),
        inverter=ask.Inverter(**{key: value for key, value in frozen["inverter"].items() if key != "kind"}),
        inverter_count=frozen["inverter_count"],
        strings=tuple(ask.StringGroup(**line) for line in frozen["strings"]),
        battery=ask.Battery(**frozen["battery"], units=frozen["battery_count"]) if frozen["battery"] else None,
        generator=ask.Generator(**frozen["generator"]) if frozen["generator"] else None,
        obstructions=tuple(_obstruction(row) for row in site.obstructions.all()),
        appliances=appliances_of(job, answers),
        usage=_usage(answers),
        tariff=_tariff(job),
        loan=_loan(job, design, answers),
        service=_service(frozen),
        runs=ask.Runs(dc_m=frozen["runs"]["dc_m"], ac_m=frozen["runs"]["ac_m"]),
        backup=ask.Backup(wanted_days=answers.outage_days_wanted if answers else 1.0),
        code_edition=jurisdiction.code_edition if jurisdiction else "2020",  # type: ignore[arg-type]
    )


def run(request: ask.StudyRequest, progress: Progress | None = None) -> tuple[dict[str, Any], dict[str, Any]]:
    """Runs the study; returns request and result as plain dictionaries. Raises sizing's InputErrors."""
    from sizing.study.run import run_study  # brings pvlib and SciPy: not at start-up

    result = run_study(request, progress)
    return request_to_dict(request), result_to_dict(result)


def problems_of(errors: InputErrors) -> list[Problem]:
    """sizing's problems at the fields of the office's screens."""
    found = []
    for error in errors.problems:
        part = error.field.split(".")[0].split("[")[0]
        where = error.field.replace("_", " ")
        found.append(Problem(_PART_OF_FIELD.get(part, ""), f"{where[:1].upper()}{where[1:]}: {error.message}"))
    return found


def failing_checks(result: Mapping[str, Any]) -> list[str]:
    return [check["label"] for check in result["electrical"]["checks"] if not check["passes"]]


def headline(result: Mapping[str, Any]) -> dict[str, Any]:
    """The few figures that screens show; a figure that the study doesn't have is None."""
    request, electrical = result["request"], result["electrical"]
    production, ride, money = result["production"], result["ride_through"], result["money"]
    battery, inverter = request["battery"], request["inverter"]
    pump = next((line for line in result["loads"]["appliances"] if _is_pump(request, line["name"])), None)
    return {
        "array_kw": production["dc_kw"],
        "modules": sum(plane["modules"] for plane in request["planes"]),
        "ac_kwh_year": production["ac_kwh_year"],
        "use_kwh_year": result["loads"]["use_kwh_year"],
        "battery_kwh": battery["usable_kwh"] * battery["units"] if battery else None,
        "voc_cold_v": electrical["voc_cold_v"],
        "voc_limit_v": inverter["max_dc_voltage_v"],
        "vmp_hot_v": electrical["vmp_hot_v"],
        "record_low_c": result["climate"]["record_low_c"],
        "ride_through_median_hours": ride["median_hours"] if ride else None,
        "ride_through_worst_hours": ride["worst_hours"] if ride else None,
        "ride_through_wanted_share": ride["share_of_starts_meeting_wanted"] if ride else None,
        "ride_through_words": ride_through_words(ride) if ride else "",
        "pump_name": pump["name"] if pump else "",
        "pump_start_w": pump["starting_w"] if pump else None,
        "surge_w": inverter["surge_w"] * request["inverter_count"] or None,
        "surge_ok": ride["surge_ok"] if ride else None,
        "power_limit_ok": ride["power_limit_ok"] if ride else None,
        "backfeed_breaker_a": electrical["backfeed_breaker_a"],
        "busbar_allowed_a": electrical["busbar_allowed_a"],
        "busbar_a": request["service"]["busbar_a"],
        "main_breaker_a": request["service"]["main_breaker_a"],
        "saved_month_usd": money["saved_month_mean_usd"] if money else None,
        "loan_payment_usd": money["loan_payment_usd"] if money else None,
        "saving_covers_payment": money["saving_covers_payment"] if money else None,
        "bill_before_year_usd": money["bill_before_year_usd"] if money else None,
        "bill_after_year_usd": money["bill_after_year_usd"] if money else None,
        "solar_access_year": _access(result["planes"]),
        "checks_failing": failing_checks(result),
        "checks": len(electrical["checks"]),
        "warnings": list(result["warnings"]),
    }


def ride_through_words(ride: Mapping[str, Any]) -> str:
    """ "9 outages in 10 last at least 31 h; half of them 3.5 days" in whole words."""
    tenth, median, horizon = ride["tenth_percentile_hours"], ride["median_hours"], ride["horizon_hours"]
    if tenth >= horizon:
        return f"{_long(tenth, horizon)} in 9 of 10 outages"
    return f"{_long(tenth, horizon)} in 9 of 10 outages, {_long(median, horizon)} in half of them"


def _long(hours: float, horizon: float) -> str:
    if hours >= horizon:
        return f"{horizon / 24:.0f} days or more"
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.1f} days"


def _is_pump(request: Mapping[str, Any], name: str) -> bool:
    return any(a["name"] == name and a["kind"] == "well_pump" for a in request["appliances"])


def _access(planes: Sequence[Mapping[str, Any]]) -> float | None:
    """Over all planes, weighted by their power."""
    power = sum(plane["dc_kw"] for plane in planes)
    return sum(plane["solar_access_year"] * plane["dc_kw"] for plane in planes) / power if power else None


def changed_since(request: Mapping[str, Any], job: Job, design: Design) -> list[str]:
    """Parts of the request that a study would ask otherwise now, in words; empty where the study still holds."""
    words = {
        "appliances": "the load worksheet",
        "backup": "the wanted hours of backup",
        "climate": "the design temperatures",
        "code_edition": "the code edition",
        "loan": "the price or the loan",
        "obstructions": "what stands in the sun's way",
        "site": "the place",
        "tariff": "the utility's prices",
        "usage": "the electric use",
    }
    now = request_to_dict(study_request_of(job, design))
    return [words.get(part, "the design") for part in now if now[part] != request.get(part)]


def _obstruction(row: Obstruction) -> ask.Obstruction:
    return ask.Obstruction(
        kind=row.kind,  # type: ignore[arg-type]
        bearing_deg=row.bearing_deg,
        distance_m=row.distance_m,
        height_m=row.height_m,
        width_m=row.width_m,
        crown_base_m=row.crown_base_m,
        evergreen=row.evergreen,
        base_height_m=row.base_height_m,
    )


def appliance_of(line: LoadLine) -> ask.Appliance:
    return ask.Appliance(
        name=line.name,
        kind=line.kind,  # type: ignore[arg-type]
        watts=line.watts,
        hours_per_day=line.hours_per_day,
        count=line.count,
        tier=line.tier,  # type: ignore[arg-type]
        months=tuple(line.months),
        voltage_v=line.voltage_v,
        locked_rotor_a=line.locked_rotor_a,
        starting_w=line.starting_w,
        horsepower=line.horsepower,
        code_letter=line.code_letter.upper() or None,
        soft_starter=line.soft_starter,
    )


def starting_w(line: LoadLine) -> float:
    """What it takes to start one unit (W); its running power where there is no motor."""
    from sizing.loads.starting import start_of

    return start_of(appliance_of(line)).starting_w


def _usage(answers: LeadAnswers | None) -> ask.Usage:
    if answers is None:
        return ask.Usage()
    if len(answers.monthly_kwh) == 12:
        return ask.Usage(monthly_kwh=tuple(answers.monthly_kwh))
    return ask.Usage(yearly_kwh=answers.yearly_kwh)


def _tariff(job: Job) -> ask.Tariff | None:
    utility = job.utility
    if utility is None or job.system_kind == "off_grid":
        return None
    return ask.Tariff(
        kind=utility.tariff_kind,  # type: ignore[arg-type]
        energy_usd_per_kwh=float(utility.energy_usd_per_kwh),
        fixed_usd_per_month=float(utility.fixed_usd_per_month),
        export_usd_per_kwh=float(utility.export_usd_per_kwh),
        escalation_per_year=ESCALATION_PER_YEAR,
    )


def price_usd(job: Job, design: Design) -> tuple[float, bool]:
    """(the installed price, whether it is only estimated from the catalogue because the office has set none)."""
    if job.price_usd is not None:
        return float(job.price_usd), False
    equipment = design.module_count * float(design.module.price_usd)
    equipment += design.inverter_count * float(design.inverter.price_usd)
    equipment += design.battery_count * float(design.battery.price_usd) if design.battery else 0.0
    equipment += float(design.generator.price_usd) if design.generator else 0.0
    return round(equipment * INSTALLED_OVER_EQUIPMENT, -2), True


def _loan(job: Job, design: Design, answers: LeadAnswers | None) -> ask.Loan | None:
    if answers is None or not answers.wants_loan:
        return None
    price, _ = price_usd(job, design)
    return ask.Loan(price, float(design.loan_rate_per_year), design.loan_months) if price > 0 else None


def _service(frozen: Mapping[str, Any]) -> ask.Service:
    """As measured; sizing's own usual service for whatever nobody has looked at yet."""
    known = {key: value for key, value in frozen["service"].items() if value is not None}
    return ask.Service(**known, connection=frozen["connection"])


def appliances_of(job: Job, answers: LeadAnswers | None) -> tuple[ask.Appliance, ...]:
    """The worksheet; before there is one, what the household said must run, as the library knows it."""
    lines = list(job.load_lines.all())
    if lines:
        return tuple(appliance_of(line) for line in lines)
    keys = appliances.known_keys(answers.must_run if answers else [])
    return tuple(appliance_of(LoadLine(**{**appliances.fields_of(key), "tier": "must_run"})) for key in keys)


def appliance_library() -> list[dict[str, Any]]:
    """Entries with "key" and "source" beside the fields of LoadLine."""
    return appliances.library()
