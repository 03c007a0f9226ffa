"""A design for the first-look report, drawn up from what the household said, before anyone was on the roof."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from projects import studies
from projects.actions.design_checks import FITTING_INVERTERS
from projects.actions.findings import Findings
from projects.models import (
    BatteryModel,
    GeneratorModel,
    InverterModel,
    Job,
    LeadAnswers,
    ModuleModel,
    RoofPlane,
    SystemKind,
)

ASSUMED_PLANE = {"tilt_deg": 20.0, "azimuth_deg": 180.0, "width_m": 12.0, "slope_length_m": 5.5, "eave_height_m": 3.0}
YIELD_KWH_PER_KW = 1300.0
"""A year's AC energy per kW of modules, for sizing alone (the study computes it). Common practice, no source."""
SHARE_OF_USE = 0.9
"""How much of the year's use the array is sized for where the grid takes the rest. Common practice, no source."""
OFF_GRID_SHARE = 1.6
"""Off-grid, winter decides: more than a year's use over the year. Common practice, no source."""
DC_OVER_AC, MOST_DC_OVER_AC = 1.25, 1.4
"""Modules over inverter power, wished for and at most: before a second inverter is taken, the first one clips a few
bright hours. Common practice, no source."""
MOST_BATTERIES = 6
DAYS_STORED = 1.5
"""Days without sun that the battery is sized for, at most. Common practice, no source."""
SHARE_ON_BACKUP = 0.4
"""Share of the whole use that must run, where nothing better is known. Common practice, no source."""


@dataclass(frozen=True)
class Proposal:
    planes: Sequence[RoofPlane]
    design: dict[str, Any]
    """Fields of Design."""
    assumptions: list[str] = field(default_factory=list)


def propose(job: Job, answers: LeadAnswers, findings: Findings) -> Proposal | None:
    """None, and problems, where the catalogue has nothing that fits."""
    kind = SystemKind(job.system_kind)
    module = ModuleModel.objects.filter(active=True).order_by("-power_w", "name").first()
    inverters = list(InverterModel.objects.filter(active=True, kind__in=FITTING_INVERTERS[kind]).order_by("ac_power_w"))
    inverters.sort(key=lambda inverter: inverter.kind != kind)
    battery = _battery(kind)
    if module is None:
        findings.add("equipment", "The catalogue has no module.")
    if not inverters:
        findings.add("equipment", f"The catalogue has no inverter for this kind of system ({kind.label.lower()}).")
    if kind != SystemKind.GRID_TIED and battery is None:
        findings.add("equipment", "The catalogue has no battery.")
    if module is None or not inverters or (kind != SystemKind.GRID_TIED and battery is None):
        return None
    assumptions: list[str] = []
    planes = _planes(job, assumptions)
    use_kwh = _use_kwh(job, answers)
    if kind == SystemKind.OFF_GRID and use_kwh <= 0:
        findings.add("loads", "Nothing on the list of loads uses energy, and no use in a year is given.")
        return None
    share = OFF_GRID_SHARE if kind == SystemKind.OFF_GRID else SHARE_OF_USE
    wanted = max(4, math.ceil(use_kwh * share / YIELD_KWH_PER_KW * 1000 / module.power_w))
    plane_modules = _spread(planes, studies.room_for(job, planes, module, wanted), wanted)
    placed = sum(line["modules"] for line in plane_modules)
    if placed < wanted:
        assumptions.append(f"The roof has room for {placed} modules; {wanted} would meet the aim of the first look.")
    inverter, count = _inverter(inverters, kind, placed * module.power_w)
    batteries = 0
    if battery is not None:
        usable = battery.usable_kwh * (1 - battery.reserve_fraction) * math.sqrt(battery.round_trip_efficiency)
        needed = _stored_kwh(job, kind, answers, use_kwh, assumptions)
        batteries = min(MOST_BATTERIES, max(1, math.ceil(needed / usable)))
    generator = GeneratorModel.objects.filter(active=True).order_by("power_w").first()
    if job.site.service_recorded_on is None:
        assumptions.append(
            "A house panel with a 200 A busbar is assumed until it is seen."
            if kind == SystemKind.OFF_GRID
            else "A 200 A service with a 200 A busbar is assumed until the panel is seen."
        )
    if not job.site.obstructions.exists() and job.site.obstructions_none_on is None:
        assumptions.append("Shade is not counted: nobody has looked at the trees yet.")
    return Proposal(
        planes=planes,
        design={
            "module": module,
            "inverter": inverter,
            "inverter_count": count,
            "battery": battery,
            "battery_count": batteries,
            "generator": generator if kind == SystemKind.OFF_GRID else None,
            "plane_modules": plane_modules,
            "strings": [],
            "connection": "busbar_opposite_end",
            "dc_run_m": 20.0,
            "ac_run_m": 10.0,
        },
        assumptions=assumptions,
    )


def _battery(kind: SystemKind) -> BatteryModel | None:
    if kind == SystemKind.GRID_TIED:
        return None
    offered = BatteryModel.objects.filter(active=True, listed_ul9540=True, coupling=BatteryModel.Coupling.DC)
    return offered.order_by("-usable_kwh", "name").first()


def _planes(job: Job, assumptions: list[str]) -> list[RoofPlane]:
    recorded = list(job.site.roof_planes.all())
    if recorded:
        return recorded
    assumptions.append("The roof is not measured yet: one plane facing south at 20°, 39 by 18 ft, is assumed.")
    return [RoofPlane(site=job.site, name="South roof (assumed)", **ASSUMED_PLANE)]


def _spread(planes: Sequence[RoofPlane], room: Mapping[str, int], wanted: int) -> list[dict[str, Any]]:
    """Fills the sunniest planes first: nearest to south, then nearest to 30° (northern hemisphere)."""
    order = sorted(planes, key=lambda p: (abs(p.azimuth_deg - 180) if p.tilt_deg > 5 else 30, abs(p.tilt_deg - 30)))
    left, counts = wanted, {}
    for plane in order:
        counts[plane.name] = min(left, room[plane.name])
        left -= counts[plane.name]
    return [{"plane": plane.name, "modules": counts[plane.name]} for plane in planes if counts[plane.name]]


def _inverter(inverters: Sequence[InverterModel], kind: SystemKind, dc_w: float) -> tuple[InverterModel, int]:
    """The smallest of the fitting kind that the array doesn't swamp, or as few of the largest as bear it."""
    same = [inverter for inverter in inverters if inverter.kind == kind] or list(inverters)
    for inverter in same:
        if inverter.ac_power_w * DC_OVER_AC >= dc_w:
            return inverter, 1
    largest = same[-1]
    return largest, math.ceil(dc_w / (largest.ac_power_w * MOST_DC_OVER_AC))


def _listed_kwh_per_day(job: Job, answers: LeadAnswers, *tiers: str) -> float:
    """Of the list of loads, or of these tiers alone."""
    listed = [a for a in studies.appliances_of(job, answers) if not tiers or a.tier in tiers]
    return sum(a.watts * a.count * a.hours_per_day for a in listed) / 1000


def _use_kwh(job: Job, answers: LeadAnswers) -> float:
    """A year's; of the list of loads where there is no bill."""
    if len(answers.monthly_kwh) == 12:
        return sum(answers.monthly_kwh)
    if answers.yearly_kwh is None:
        return _listed_kwh_per_day(job, answers) * 365
    return float(answers.yearly_kwh)


def _stored_kwh(job: Job, kind: SystemKind, answers: LeadAnswers, use_kwh: float, assumptions: list[str]) -> float:
    """What the batteries shall give without sun."""
    if kind == SystemKind.OFF_GRID:
        assumptions.append(
            "The battery is sized for a day and a half of the whole house without sun; sun and generator do the rest."
        )
        return use_kwh / 365 * DAYS_STORED
    per_day = _listed_kwh_per_day(job, answers, "must_run")
    if per_day <= 0:
        per_day = use_kwh / 365 * SHARE_ON_BACKUP
        assumptions.append(f"{SHARE_ON_BACKUP:.0%} of the whole use is taken as what must run in an outage.")
    assumptions.append("The battery is sized for what must run, one and a half days at most; the sun does the rest.")
    return per_day * min(answers.outage_days_wanted, DAYS_STORED)
