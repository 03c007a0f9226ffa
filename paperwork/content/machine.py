"""What a packet says, as data for other programs: attached to its PDF as JSON.

Nothing stands here that the pages don't show: no bills, no loan, no answers of the household.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

FORMAT = "rafterbook.packet.1"
FILE_NAME = "packet.json"
UNITS = (
    "SI with the unit in each name (_kw, _w, _v, _a, _m, _deg, _c, _pct); _ft, _ft2, _in, _lb and _psf where American "
    "standards print them; dates as ISO 8601"
)
REQUEST_PARTS = (
    "system_type",
    "planes",
    "obstructions",
    "module",
    "inverter",
    "inverter_count",
    "battery",
    "generator",
    "strings",
    "service",
    "runs",
    "code_edition",
)
OWN_PARTS = (
    "profile",
    "roof",
    "roof_layout",
    "bare_planes",
    "structure",
    "labels",
    "attach",
    "permission",
    "warranties",
    "days",
)
"""Parts that only some kinds of packet freeze."""


def machine_facts(facts: Mapping[str, Any]) -> dict[str, Any]:
    study = facts["study"]
    site = facts["site"]
    return {
        "format": FORMAT,
        "units": UNITS,
        "standing": "prepared for review by those licensed to; not certified",
        "paper": {key: facts[key] for key in ("kind", "number", "issue", "on", "replaces", "changes") if key in facts},
        "firm": facts["firm"],
        "job": facts["job"],
        "customer": {"name": facts["customer"]["name"]},
        "site": {key: site[key] for key in ("street", "city", "state", "zip_code", "county", "latitude_deg")},
        "jurisdiction": facts["jurisdiction"],
        "utility": facts["utility"],
        "system_kind": facts["system_kind"],
        "design": {key: facts["design"][key] for key in ("revision", "fingerprint", "designed_on")},
        "licences": facts["licences"],
        "system": {key: study["request"][key] for key in REQUEST_PARTS},
        "climate": study["climate"],
        "production": study["production"],
        "electrical": study["electrical"],
        **{key: facts[key] for key in OWN_PARTS if facts.get(key) is not None},
    }
