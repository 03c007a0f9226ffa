"""sizing's list of common appliances as fields of the load worksheet, and the words households use for its keys."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from functools import cache
from typing import Any

_SHORT = {
    "well_pump": "well_pump_half_hp",
    "central_air": "central_air_3_ton",
    "refrigerator": "fridge",
    "freezer": "chest_freezer",
    "heat_pump": "heat_pump_3_ton",
}
"""A kind of thing that a household names without its size."""


@cache
def _by_key() -> dict[str, dict[str, Any]]:
    from sizing.loads.library import appliance_library

    entries = {}
    for item in appliance_library():
        fields = asdict(item.appliance)
        fields["months"] = list(fields["months"])
        fields["code_letter"] = fields["code_letter"] or ""
        entries[item.key] = {"key": item.key, **fields, "source": item.source, "note": item.note}
    return entries


def library() -> list[dict[str, Any]]:
    """Entries with "key", "source" and "note" beside the fields of LoadLine, in the list's order."""
    return [dict(entry) for entry in _by_key().values()]


def known_keys(said: Iterable[str]) -> list[str]:
    """Keys of the library among what was said, each once; plain words are left to the office."""
    keys = (_SHORT.get(item.lower(), item.lower()) for item in said)
    return list(dict.fromkeys(key for key in keys if key in _by_key()))


def fields_of(key: str) -> dict[str, Any]:
    """Fields of LoadLine."""
    return {name: value for name, value in _by_key()[key].items() if name not in ("key", "source", "note")}
