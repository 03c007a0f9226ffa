"""Whether a design can be drawn at all; whether it is a good one is the study's to say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any

from projects import studies
from projects.actions.findings import Findings
from projects.actions.storage_places import check_storage
from projects.models import BatteryModel, Design, InverterModel, Job, RoofPlane, SystemKind
from projects.models.roof_shape import Shape

CONNECTIONS = tuple(key for key, _ in Design._meta.get_field("connection").choices or ())
FITTING_INVERTERS = {
    SystemKind.GRID_TIED: {InverterModel.Kind.GRID_TIED, InverterModel.Kind.HYBRID},
    SystemKind.HYBRID: {InverterModel.Kind.HYBRID},
    SystemKind.OFF_GRID: {InverterModel.Kind.OFF_GRID, InverterModel.Kind.HYBRID},
}
MOST_UNITS = 50


def planes_of(job: Job) -> list[RoofPlane]:
    return list(job.site.roof_planes.all())


def check_design(
    findings: Findings, job: Job, planes: Sequence[RoofPlane], wanted: Mapping[str, Any], *, preliminary: bool
) -> None:
    if not job.system_kind:
        findings.add("", "Decide the kind of system first.")
    if not preliminary and job.site.service_recorded_on is None:
        findings.add("", "The electrical service is not recorded yet.")
    if not preliminary and not planes:
        findings.add("plane_modules", "No roof plane is recorded yet.")
    _equipment(findings, job, wanted)
    check_storage(findings, wanted["storage"])
    _plane_modules(findings, planes, wanted)
    _strings(findings, wanted)
    if wanted["connection"] not in CONNECTIONS:
        findings.add("connection", "Choose how the inverter is connected.")
    for field in ("dc_run_m", "ac_run_m"):
        value = wanted[field]
        if not isinstance(value, int | float) or not 0 < value <= 300:
            findings.add(field, "Metres, above 0 and at most 300.")
    _loan(findings, wanted)


def _equipment(findings: Findings, job: Job, wanted: Mapping[str, Any]) -> None:
    inverter, battery = wanted["inverter"], wanted["battery"]
    own_inverter = battery is not None and battery.coupling == BatteryModel.Coupling.AC
    findings.need("module", wanted["module"], "Choose a module.")
    if findings.need("inverter", inverter, "Choose an inverter.") and job.system_kind:
        kind = SystemKind(job.system_kind)
        if own_inverter:  # it forms the grid, and any inverter can follow it
            pass
        elif inverter.kind not in FITTING_INVERTERS[kind]:
            article = "an off-grid" if kind == SystemKind.OFF_GRID else f"a {kind.label.lower()}"
            findings.add("inverter", f"{inverter.name} doesn't suit {article} system.")
        elif kind != SystemKind.GRID_TIED and inverter.backup_power_w <= 0:
            findings.add("inverter", f"{inverter.name} can't carry loads without the grid.")
    if not isinstance(wanted["inverter_count"], int) or not 1 <= wanted["inverter_count"] <= MOST_UNITS:
        findings.add("inverter_count", f"Between 1 and {MOST_UNITS}.")
    if job.system_kind in (SystemKind.HYBRID, SystemKind.OFF_GRID):
        findings.need("battery", battery, "This kind of system needs a battery.")
    if battery is not None and not 1 <= (wanted["battery_count"] or 0) <= MOST_UNITS:
        findings.add("battery_count", f"Between 1 and {MOST_UNITS}.")
    if own_inverter and job.system_kind == SystemKind.GRID_TIED:
        findings.add("battery", "A battery with an inverter of its own makes this a hybrid: change the kind first.")
    elif battery is not None and not own_inverter and inverter and inverter.kind == InverterModel.Kind.GRID_TIED:
        findings.add("battery", f"{inverter.name} has no battery connection.")


def _plane_modules(findings: Findings, planes: Sequence[RoofPlane], wanted: Mapping[str, Any]) -> None:
    by_name = {plane.name: plane for plane in planes}
    module, total = wanted["module"], 0
    for name, times in Counter(line.get("plane") for line in wanted["plane_modules"]).items():
        if times > 1:
            findings.add("plane_modules", f"{name} is named twice.")
    for line in wanted["plane_modules"]:
        plane, count = by_name.get(line.get("plane", "")), line.get("modules")
        if plane is None:
            findings.add("plane_modules", f"There is no roof plane called {line.get('plane')}.")
            continue
        if not isinstance(count, int) or not 0 <= count <= 500:
            findings.add("plane_modules", f"{plane.name}: modules in whole numbers, 0 to 500.")
            continue
        total += count
        if module is not None:
            most = most_modules(plane, module.length_m, module.width_m)
            if count > most:
                findings.add("plane_modules", f"{plane.name} has room for {most} of these modules at most.")
    if not total and planes:
        findings.add("plane_modules", "Put at least one module on a roof plane.")


def most_modules(plane: RoofPlane, length_m: float, width_m: float) -> int:
    """The larger of all-upright and all-lying rows on the bare plane, before setbacks and pathways are kept."""
    if plane.shape != Shape.RECTANGLE:
        return studies.bare_room(plane, length_m, width_m)
    # A hair of slack: planes are measured with a tape.
    wide, deep = plane.width_m * 1.001, plane.slope_length_m * 1.001
    upright = int(wide // width_m) * int(deep // length_m)
    lying = int(wide // length_m) * int(deep // width_m)
    return max(upright, lying)


def _strings(findings: Findings, wanted: Mapping[str, Any]) -> None:
    if not wanted["strings"]:
        return
    placed = {line.get("plane"): line.get("modules") for line in wanted["plane_modules"]}
    strung: Counter[str] = Counter()
    inverter = wanted["inverter"]
    inputs = inverter.mppt_inputs * (wanted["inverter_count"] or 1) if inverter else None
    for line in wanted["strings"]:
        keys = ("modules_in_series", "strings", "mppt")
        if set(line) != {"plane", *keys} or any(not isinstance(line[k], int) or line[k] < 1 for k in keys):
            findings.add("strings", "Each line: plane, modules in series, strings, input; whole numbers from 1.")
            return
        if inputs is not None and line["mppt"] > inputs:
            findings.add("strings", f"There are only {inputs} inputs.")
        strung[line["plane"]] += line["modules_in_series"] * line["strings"]
    for name in [*placed, *(n for n in strung if n not in placed)]:
        if strung[name] != (placed.get(name) or 0):
            findings.add("strings", f"{name}: {strung[name]} modules in strings, {placed.get(name) or 0} on the roof.")


def _loan(findings: Findings, wanted: Mapping[str, Any]) -> None:
    try:
        rate = Decimal(str(wanted["loan_rate_per_year"]))
    except InvalidOperation:
        rate = Decimal(-1)
    if not 0 <= rate <= Decimal("0.4"):
        findings.add("loan_rate_per_year", "A yearly rate as a fraction, 0 to 0.4 (0.075 is 7.5 %).")
    if not isinstance(wanted["loan_months"], int) or not 12 <= wanted["loan_months"] <= 480:
        findings.add("loan_months", "Between 12 and 480 months.")
