"""The design as plain data: everything that the fingerprint covers, and the fingerprint."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any

from projects.models import BatteryModel, GeneratorModel, InverterModel, Job, ModuleModel, RoofPlane, Site

_NOT_RATINGS = frozenset({"id", "price_usd", "active", "warranty_years"})
PLANE = ("name", "tilt_deg", "azimuth_deg", "width_m", "slope_length_m", "eave_height_m", "x_m", "y_m")
SERVICE_VOLTAGE_V = 240.0


def freeze(
    *,
    job: Job,
    planes: Sequence[RoofPlane],
    module: ModuleModel,
    inverter: InverterModel,
    inverter_count: int,
    battery: BatteryModel | None,
    battery_count: int,
    generator: GeneratorModel | None,
    plane_modules: Sequence[Mapping[str, Any]],
    strings: Sequence[Mapping[str, Any]],
    connection: str,
    dc_run_m: float,
    ac_run_m: float,
    storage: Mapping[str, Any] | None = None,
    assumptions: Sequence[str] = (),
) -> dict[str, Any]:
    """Planes without modules are left out: recording another bare plane makes no new design."""
    by_name = {plane.name: plane for plane in planes}
    frozen: dict[str, Any] = {
        "system_type": job.system_kind or "grid_tied",
        "module": ratings(module),
        "inverter": ratings(inverter),
        "inverter_count": inverter_count,
        "battery": ratings(battery) if battery else None,
        "battery_count": battery_count if battery else 0,
        "generator": ratings(generator) if generator else None,
        "planes": [
            {**measures(by_name[line["plane"]]), "modules": line["modules"]}
            for line in plane_modules
            if line["modules"] > 0
        ],
        "strings": [dict(line) for line in strings],
        "service": service(job.site),
        "connection": connection,
        "runs": {"dc_m": dc_run_m, "ac_m": ac_run_m},
    }
    if battery and storage:
        frozen["storage"] = dict(storage)
    if assumptions:
        frozen["assumptions"] = list(assumptions)
    return json.loads(canonical(frozen))


def measures(plane: RoofPlane) -> dict[str, Any]:
    """What a design says of a plane; a rectangle has no outline, as in designs drawn before there were others."""
    outline = plane.outline
    return {**{key: getattr(plane, key) for key in PLANE}, **({"outline": outline} if outline else {})}


def ratings(row: ModuleModel | InverterModel | BatteryModel | GeneratorModel) -> dict[str, Any]:
    """Datasheet values of a catalogue row; price and warranty aren't part of the design.

    What a datasheet leaves open is left out, so that a rating that catalogues learn to hold later makes no new design.
    """
    values = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    return {name: value for name, value in values.items() if name not in _NOT_RATINGS and value is not None}


def service(site: Site) -> dict[str, Any]:
    return {
        "rating_a": site.service_rating_a,
        "busbar_a": site.busbar_a,
        "main_breaker_a": site.main_breaker_a,
        "free_breaker_spaces": site.free_breaker_spaces,
        "voltage_v": SERVICE_VOLTAGE_V,
    }


def fingerprint(frozen: Mapping[str, Any]) -> str:
    """SHA-256 of the canonical JSON: the same design gives the same 64 hexadecimal digits on every machine."""
    return hashlib.sha256(canonical(frozen).encode()).hexdigest()


def canonical(frozen: Mapping[str, Any]) -> str:
    # 20 and 20.0 are the same length of cable, whichever way a form or the database gave it back.
    return json.dumps(_plain(frozen), sort_keys=True, separators=(",", ":"), ensure_ascii=True)


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value
