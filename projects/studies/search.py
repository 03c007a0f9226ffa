"""The office's catalogue and a job's house as the search takes them, and its answer as plain data."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from projects.actions.freezing import ratings
from projects.models import BatteryModel, InverterModel, Job, ModuleModel, RoofPlane, SystemKind
from projects.studies.money import INSTALLED_OVER_EQUIPMENT
from projects.studies.request import house_of
from projects.studies.roof import planes_as_recorded
from projects.studies.weather import resolved
from sizing.errors import InputErrors
from sizing.study import request as ask
from sizing.study.codec import to_plain

MOST_INVERTERS, MOST_BATTERIES, MOST_BATTERIES_OFF_GRID = 2, 5, 10
ABOUT_SO_MANY = 15_000
"""Designs tried at most, or so: modules are counted in larger steps on a large roof."""
STEPS = (1, 2, 3, 4, 6, 8, 12, 20)
RUNS_UNTIL_MEASURED = ask.Runs(dc_m=20.0, ac_m=10.0)


@dataclass(frozen=True)
class Catalogue:
    """Rows that a design of this kind of system may be drawn from."""

    modules: Sequence[ModuleModel]
    inverters: Sequence[InverterModel]
    batteries: Sequence[BatteryModel]


@dataclass(frozen=True)
class Wanted:
    bill_offset: float
    ride_through_share: float
    most_usd: float | None
    carried_share: float = 0.0
    """Off the grid, of the year's hours; and days without sun."""
    autonomy_days: float = 0.0


def asked_of(job: Job, catalogue: Catalogue) -> dict[str, Any]:
    """All that the answer hangs on, as plain data: compared later to see whether it still holds."""
    request, space = _question(job, catalogue)
    return {"request": to_plain(request), "space": to_plain(space)}


def look_for(
    job: Job, catalogue: Catalogue, wanted: Wanted, progress: Callable[[str, float], None] | None = None
) -> dict[str, Any]:
    """Runs the search. Raises InputErrors.

    Returns "tried", "passing", "step", "failed" [[check, designs]], "designs" (each with its catalogue ids) and the
    places of "front" (cheapest first), "cheapest", "runner_up", "closest" in them (None where there is none).
    """
    from sizing.search import Wish, search  # brings pvlib and SciPy: not at start-up

    request, space = _question(job, catalogue)
    wish = Wish(**asdict(wanted))
    found = search(resolved(request), space, wish, progress)
    designs = list(found.front)
    places = {}
    for key in ("cheapest", "runner_up", "closest"):
        one = getattr(found, key)
        if one is not None and one not in designs:
            designs.append(one)
        places[key] = designs.index(one) if one is not None else None
    ids = {
        "module": {row.name: row.pk for row in catalogue.modules},
        "inverter": {row.name: row.pk for row in catalogue.inverters},
        "battery": {row.name: row.pk for row in catalogue.batteries},
    }
    names = [plane.name for plane in request.planes]
    return {
        "tried": found.tried,
        "passing": found.passing,
        "step": space.module_step,
        "failed": [list(pair) for pair in found.failed],
        "designs": [_plain(one, ids, names) for one in designs],
        "front": list(range(len(found.front))),
        **places,
    }


def _plain(one: Any, ids: Mapping[str, Mapping[str, int]], names: Sequence[str]) -> dict[str, Any]:
    plain: dict[str, Any] = to_plain(one)
    counts = plain.pop("modules_by_plane")
    plain["plane_modules"] = [{"plane": name, "modules": n} for name, n in zip(names, counts, strict=True) if n]
    for key in ("module", "inverter", "battery"):
        plain[f"{key}_id"] = ids[key].get(plain[key]) if plain[key] else None
    return plain


def _question(job: Job, catalogue: Catalogue) -> tuple[ask.StudyRequest, Any]:
    """Raises InputErrors where sizing can't take what the job or the catalogue says."""
    from sizing.search import BatteryOffer, CostRule, InverterOffer, ModuleOffer, Space

    rows = list(job.site.roof_planes.all())
    modules = tuple(ModuleOffer(module_of(row), float(row.price_usd)) for row in catalogue.modules)
    inverters = tuple(
        InverterOffer(
            inverter_of(row),
            float(row.price_usd),
            takes_battery=takes_battery(row),
            follows=row.kind != InverterModel.Kind.OFF_GRID,
        )
        for row in catalogue.inverters
    )
    place = _current(job, "storage", {})
    batteries = tuple(
        BatteryOffer(replace(battery_of(row), **place), float(row.price_usd)) for row in catalogue.batteries
    )
    planes = planes_as_recorded(rows)
    needs_battery = job.system_kind != SystemKind.GRID_TIED
    request = ask.StudyRequest(
        **house_of(job),
        system_type=job.system_kind,  # type: ignore[arg-type]
        # A request needs a module somewhere, and a battery off the grid, to be valid; the search counts its own.
        planes=(replace(planes[0], modules=1), *planes[1:]),
        module=modules[0].module,
        inverter=inverters[0].inverter,
        battery=batteries[0].battery if needs_battery else None,
        runs=_runs(job),
        service=_service(job),
    )
    space = Space(
        modules=modules,
        inverters=inverters,
        batteries=batteries,
        most_inverters=MOST_INVERTERS,
        most_batteries=most_batteries(job.system_kind) if batteries else 0,
        least_batteries=1 if needs_battery else 0,
        module_step=module_step(rows, catalogue, job.system_kind),
        cost=CostRule(over_equipment=INSTALLED_OVER_EQUIPMENT),
    )
    return request, space


def most_batteries(kind: str) -> int:
    return MOST_BATTERIES_OFF_GRID if kind == SystemKind.OFF_GRID else MOST_BATTERIES


def module_step(planes: Sequence[RoofPlane], catalogue: Catalogue, kind: str) -> int:
    """The finest step of module counts that keeps the search to about ``ABOUT_SO_MANY`` designs."""
    own = sum(row.coupling == BatteryModel.Coupling.AC for row in catalogue.batteries)
    beside = [len(catalogue.batteries) if takes_battery(row) else own for row in catalogue.inverters]
    pairs = sum(beside) if catalogue.batteries else len(catalogue.inverters)
    others = MOST_INVERTERS * (most_batteries(kind) if catalogue.batteries else 1) * max(pairs, 1)
    for step in STEPS:
        arrays = sum(
            math.prod(1 + math.ceil(_room(plane, module) / step) for plane in planes) for module in catalogue.modules
        )
        if arrays * others <= ABOUT_SO_MANY:
            return step
    return STEPS[-1]


def _room(plane: RoofPlane, module: ModuleModel) -> int:
    """Modules on the bare plane, roughly: setbacks only make it fewer."""
    return int(plane.width_m * plane.slope_length_m / (module.length_m * module.width_m))


def _service(job: Job) -> ask.Service:
    from projects.actions.freezing import service

    known = {key: value for key, value in service(job.site).items() if value is not None}
    return ask.Service(**known, connection=_current(job, "connection", "busbar_opposite_end"))


def _runs(job: Job) -> ask.Runs:
    dc_m = _current(job, "dc_run_m", RUNS_UNTIL_MEASURED.dc_m)
    return ask.Runs(dc_m=dc_m, ac_m=_current(job, "ac_run_m", RUNS_UNTIL_MEASURED.ac_m))


def _current(job: Job, field: str, usual: Any) -> Any:
    value = job.designs.order_by("-revision").values_list(field, flat=True).first()
    return usual if value is None else value


def takes_battery(row: InverterModel) -> bool:
    """Whether a DC-coupled battery can be joined to it and carry loads through it in an outage."""
    return row.kind != InverterModel.Kind.GRID_TIED and row.backup_power_w > 0


def module_of(row: ModuleModel) -> ask.Module:
    return ask.Module(**ratings(row))


def inverter_of(row: InverterModel) -> ask.Inverter:
    return ask.Inverter(**{key: value for key, value in ratings(row).items() if key != "kind"})


def battery_of(row: BatteryModel) -> ask.Battery:
    return ask.Battery(**ratings(row))


__all__ = ["Catalogue", "InputErrors", "Wanted", "asked_of", "look_for"]
