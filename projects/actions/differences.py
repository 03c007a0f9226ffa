"""What differs between two frozen designs, in words, as a plan reviewer would want it listed. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from projects.actions.storage_places import in_words as storage_words
from projects.models.roof_shape import in_words

_SERVICE = {
    "rating_a": ("Service rating", " A"),
    "busbar_a": ("Busbar", " A"),
    "main_breaker_a": ("Main breaker", " A"),
    "free_breaker_spaces": ("Free breaker spaces", ""),
    "voltage_v": ("Service voltage", " V"),
}
_PLANE = {
    "tilt_deg": ("tilt", "°"),
    "azimuth_deg": ("azimuth", "°"),
    "width_m": ("width", " m"),
    "slope_length_m": ("slope length", " m"),
    "eave_height_m": ("eave height", " m"),
    "x_m": ("position east", " m"),
    "y_m": ("position north", " m"),
}
_CONNECTION = {"busbar_opposite_end": "breaker at the far end of the busbar", "supply_side": "supply side"}
_SYSTEM = {"off_grid": "off-grid", "grid_tied": "grid-tied", "hybrid": "hybrid"}


def differences(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[str, ...]:
    """Sentences without full stop, in the order of the design; empty where nothing differs."""
    if before == after:
        return ()
    found: list[str] = []
    if before.get("system_type") != after.get("system_type"):
        found.append(f"System type: {_named(_SYSTEM, before, 'system_type')} → {_named(_SYSTEM, after, 'system_type')}")
    found += _equipment("Module", before.get("module"), after.get("module"))
    found += _equipment("Inverter", before.get("inverter"), after.get("inverter"))
    found += _count("Inverters", before.get("inverter_count", 0), after.get("inverter_count", 0))
    found += _equipment("Battery", before.get("battery"), after.get("battery"))
    found += _count("Battery units", before.get("battery_count", 0), after.get("battery_count", 0))
    if before.get("storage", {}) != after.get("storage", {}):
        old, new = storage_words(before.get("storage", {})), storage_words(after.get("storage", {}))
        found.append(f"The battery's place: {old} → {new}")
    found += _equipment("Generator", before.get("generator"), after.get("generator"))
    found += _planes(before.get("planes", []), after.get("planes", []))
    found += _strings(before.get("strings", []), after.get("strings", []))
    for key, (label, unit) in _SERVICE.items():
        old, new = before.get("service", {}).get(key), after.get("service", {}).get(key)
        if old != new:
            found.append(f"{label}: {_value(old, unit)} → {_value(new, unit)}")
    if before.get("connection") != after.get("connection"):
        old, new = _named(_CONNECTION, before, "connection"), _named(_CONNECTION, after, "connection")
        found.append(f"Connection: {old} → {new}")
    for key, label in (("dc_m", "DC run"), ("ac_m", "AC run")):
        old, new = before.get("runs", {}).get(key), after.get("runs", {}).get(key)
        if old != new:
            found.append(f"{label}: {_value(old, ' m')} → {_value(new, ' m')}")
    return tuple(found) or ("The design differs",)


def _named(names: Mapping[str, str], frozen: Mapping[str, Any], key: str) -> str:
    return names.get(frozen.get(key) or "", "none")


def _value(value: object, unit: str) -> str:
    if value is None:
        return "unknown"
    return f"{value:g}{unit}" if isinstance(value, int | float) else f"{value}{unit}"


def _count(label: str, old: int, new: int) -> list[str]:
    return [f"{label}: {old} → {new}"] if old != new else []


def _equipment(label: str, old: Mapping[str, Any] | None, new: Mapping[str, Any] | None) -> list[str]:
    if old == new:
        return []
    if old is None or new is None or old.get("name") != new.get("name"):
        return [f"{label}: {old['name'] if old else 'none'} → {new['name'] if new else 'none'}"]
    changed = sorted(key for key in {*old, *new} if old.get(key) != new.get(key))
    return [f"{label} {new['name']}: other ratings ({', '.join(changed)})"]


def _planes(old: list[Mapping[str, Any]], new: list[Mapping[str, Any]]) -> list[str]:
    before, after = {p["name"]: p for p in old}, {p["name"]: p for p in new}
    found = []
    for name in [*before, *(n for n in after if n not in before)]:
        was, now = before.get(name), after.get(name)
        old_n, new_n = (was or {}).get("modules", 0), (now or {}).get("modules", 0)
        if old_n != new_n:
            found.append(f"Modules on {name}: {old_n} → {new_n}")
        if was and now:
            for key, (label, unit) in _PLANE.items():
                if was.get(key) != now.get(key):
                    found.append(f"{name}, {label}: {_value(was.get(key), unit)} → {_value(now.get(key), unit)}")
            if was.get("outline", []) != now.get("outline", []):
                old_shape, new_shape = in_words(was.get("outline", [])), in_words(now.get("outline", []))
                same = old_shape == new_shape
                found.append(f"{name}, outline: {'other corners' if same else f'{old_shape} → {new_shape}'}")
    return found


def _strings(old: list[Mapping[str, Any]], new: list[Mapping[str, Any]]) -> list[str]:
    def words(lines: list[Mapping[str, Any]]) -> str:
        return (
            ", ".join(f"{s['strings']}×{s['modules_in_series']} on {s['plane']} (input {s['mppt']})" for s in lines)
            or "as the study proposes"
        )

    return [f"Strings: {words(old)} → {words(new)}"] if old != new else []
