"""A design becomes the request of a study, and the study is run."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from projects.actions.problems import Problem
from projects.models import Design, Job, LeadAnswers, Obstruction, Site
from projects.studies.loads import appliances_of
from projects.studies.money import economics_of, loan_of, tariff_of
from projects.studies.roof import access_of, planes_of, structure_of
from projects.studies.weather import climate_of, resolved
from sizing.errors import InputErrors
from sizing.study import request as ask
from sizing.study.codec import request_from_dict, request_to_dict, result_to_dict

Progress = Callable[[str, float], None]
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
    "horizon": "obstructions",
    "appliances": "loads",
    "usage": "usage",
    "tariff": "utility",
    "loan": "loan_months",
    "economics": "money_rules",
    "structure": "jurisdiction",
    "access": "jurisdiction",
    "climate": "climate",
    "site": "site",
    "backup": "outage_days_wanted",
}
TRANSMITTANCE = ("transmittance_leaf_on", "transmittance_leaf_off")


def study_request_of(job: Job, design: Design) -> ask.StudyRequest:
    """Everything a study of this design asks, from its frozen equipment and the job's site, loads and authorities."""
    frozen = design.frozen
    planes = list(job.site.roof_planes.all())
    return ask.StudyRequest(
        **house_of(job),
        system_type=frozen["system_type"],
        planes=planes_of(planes, frozen),
        module=ask.Module(**frozen["module"]),
        inverter=ask.Inverter(**{key: value for key, value in frozen["inverter"].items() if key != "kind"}),
        inverter_count=frozen["inverter_count"],
        strings=tuple(ask.StringGroup(**line) for line in frozen["strings"]),
        battery=_battery(frozen),
        generator=ask.Generator(**frozen["generator"]) if frozen["generator"] else None,
        loan=loan_of(job, design),
        service=_service(frozen),
        runs=ask.Runs(dc_m=frozen["runs"]["dc_m"], ac_m=frozen["runs"]["ac_m"]),
        economics=economics_of(job, design),
        structure=structure_of(job, planes, frozen),
    )


def house_of(job: Job) -> dict[str, Any]:
    """The part of a request that no design changes: place, weather, surroundings, loads, prices, codes."""
    site: Site = job.site
    answers = LeadAnswers.objects.filter(job=job).first()
    jurisdiction = job.jurisdiction
    return {
        "site": ask.Site(site.latitude_deg, site.longitude_deg, site.elevation_m, site.time_zone),
        "climate": climate_of(site, jurisdiction),
        "obstructions": tuple(_obstruction(row) for row in site.obstructions.all()),
        "horizon": tuple(ask.HorizonPoint(**point) for point in site.horizon),
        "appliances": appliances_of(job, answers),
        "usage": _usage(answers),
        "tariff": tariff_of(job),
        "backup": ask.Backup(wanted_days=answers.outage_days_wanted if answers else 1.0),
        "code_edition": jurisdiction.code_edition if jurisdiction else "2020",
        "access": access_of(job),
    }


def run(request: ask.StudyRequest, progress: Progress | None = None) -> tuple[dict[str, Any], dict[str, Any]]:
    """Runs the study; returns request and result as plain dictionaries. Raises sizing's InputErrors."""
    from sizing.study.run import run_study  # brings pvlib and SciPy: not at start-up

    result = replace(run_study(resolved(request), progress), request=request)
    return request_to_dict(request), result_to_dict(result)


def problems_of(errors: InputErrors) -> list[Problem]:
    """sizing's problems at the fields of the office's screens."""
    found = []
    for error in errors.problems:
        part = error.field.split(".")[0].split("[")[0]
        where = error.field.replace("_", " ")
        found.append(Problem(_PART_OF_FIELD.get(part, ""), f"{where[:1].upper()}{where[1:]}: {error.message}"))
    return found


def changed_since(request: Mapping[str, Any], job: Job, design: Design) -> list[str]:
    """Parts of the request that a study would ask otherwise now, in words; empty where the study still holds."""
    words = {
        "appliances": "the load worksheet",
        "backup": "the wanted hours of backup",
        "climate": "the weather or the design temperatures",
        "code_edition": "the code edition",
        "access": "what the fire code keeps free",
        "economics": "the price, the loan or the money rules",
        "loan": "the price, the loan or the money rules",
        "structure": "rafters, wind or snow",
        "obstructions": "what stands in the sun's way",
        "horizon": "the horizon",
        "site": "the place",
        "tariff": "the utility's prices",
        "usage": "the electric use",
    }
    now, then = request_to_dict(study_request_of(job, design)), _as_read_today(request)
    return list(dict.fromkeys(words.get(part, "the design") for part in now if now[part] != then.get(part)))


def _as_read_today(request: Mapping[str, Any]) -> Mapping[str, Any]:
    """A stored request with what has been added to requests since, at the values that it was run with."""
    try:
        return request_to_dict(request_from_dict(dict(request)))
    except InputErrors:
        return request


def _obstruction(row: Obstruction) -> ask.Obstruction:
    return ask.Obstruction(
        kind=row.kind,  # type: ignore[arg-type]
        bearing_deg=row.bearing_deg,
        distance_m=row.distance_m,
        height_m=row.height_m,
        width_m=row.width_m,
        depth_m=row.depth_m,
        crown_base_m=row.crown_base_m,
        evergreen=row.evergreen,
        leaf_months=() if row.evergreen else tuple(row.leaf_months),
        base_height_m=row.base_height_m,
        **{key: value for key in TRANSMITTANCE if (value := getattr(row, key)) is not None},
    )


def _usage(answers: LeadAnswers | None) -> ask.Usage:
    if answers is None:
        return ask.Usage()
    if len(answers.monthly_kwh) == 12:
        return ask.Usage(monthly_kwh=tuple(answers.monthly_kwh))
    return ask.Usage(yearly_kwh=answers.yearly_kwh)


def _battery(frozen: Mapping[str, Any]) -> ask.Battery | None:
    """sizing's own usual place (and says so) until the design names one."""
    if not frozen["battery"]:
        return None
    return ask.Battery(**frozen["battery"], units=frozen["battery_count"], **frozen.get("storage", {}))


def _service(frozen: Mapping[str, Any]) -> ask.Service:
    """As measured; sizing's own usual service for whatever nobody has looked at yet."""
    known = {key: value for key, value in frozen["service"].items() if value is not None}
    if frozen["system_type"] == "off_grid" and (frozen["battery"] or {}).get("coupling") == "ac":
        known["busbar_known"] = "busbar_a" in known  # two sources meet on it, so the usual one will not do
    return ask.Service(**known, connection=frozen["connection"])
