"""sizing's list of common appliances under keys that stay the same, as the lead's answers name them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import asdict
from functools import cache
from typing import Any

_KEY_OF_NAME = {
    "Refrigerator": "fridge",
    "Well pump, 1/2 hp, 230 V": "well_pump_half_hp",
    "Well pump, 3/4 hp, 230 V": "well_pump_three_quarter_hp",
    "Well pump, 1 hp, 230 V": "well_pump_1_hp",
    "Sump pump, 1/3 hp": "sump_pump",
    "Central air, 3 ton": "central_air_3_ton",
    "Window air conditioner, 8000 Btu/h": "window_air",
    "Furnace blower, gas or oil heat": "furnace_blower",
    "Oxygen concentrator": "medical",
    "Internet router and modem": "internet",
    "LED lights, essential rooms": "lights",
    "Microwave oven": "microwave",
    "Garage door opener": "garage_door",
    "Water heater, electric tank": "water_heater",
}
"""The rest are named after their name: "Chest freezer" is "chest_freezer"."""
_SHORT = {
    "well_pump": "well_pump_half_hp",
    "central_air": "central_air_3_ton",
    "refrigerator": "fridge",
    "freezer": "chest_freezer",
    "heat_pump": "ductless_heat_pump_1_ton_cooling",
}
"""A kind of thing that a household names without its size."""


@cache
def _by_key() -> dict[str, dict[str, Any]]:
    from sizing.loads.library import appliance_library

    entries = {}
    for item in appliance_library():
        fields = asdict(item.appliance)
        name = item.appliance.name
        key = _KEY_OF_NAME.get(name) or re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")
        fields["months"] = list(fields["months"])
        fields["code_letter"] = fields["code_letter"] or ""
        entries[key] = {"key": key, **fields, "source": item.source}
    return entries


def library() -> list[dict[str, Any]]:
    """Entries with "key" and "source" beside the fields of LoadLine, in the list's order."""
    return [dict(entry) for entry in _by_key().values()]


def known_keys(said: Iterable[str]) -> list[str]:
    """Keys of the library among what was said, each once; plain words are left to the office."""
    keys = (_SHORT.get(item.lower(), item.lower()) for item in said)
    return list(dict.fromkeys(key for key in keys if key in _by_key()))


def fields_of(key: str) -> dict[str, Any]:
    """Fields of LoadLine."""
    return {name: value for name, value in _by_key()[key].items() if name not in ("key", "source")}
