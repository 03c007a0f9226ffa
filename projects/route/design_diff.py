"""What differs between two frozen designs, in the words a plan reviewer would want.

A frozen design is plain data: numbers, words, mappings and lists of them. Keys carry their unit at the end
("tilt_deg", "rating_a"). Equipment is a mapping with a "name", its number beside it ("battery", "battery_count").
Lists of mappings with a "name" (roof planes) are matched by it. Nothing that differs goes unnamed: a key this file
doesn't know is named by its own words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

Frozen = Mapping[str, object]

_UNITS = {
    "deg": "°",
    "mm": " mm",
    "m": " m",
    "kwh": " kWh",
    "kw": " kW",
    "va": " VA",
    "w": " W",
    "v": " V",
    "a": " A",
    "c": " °C",
    "pct": " %",
    "usd": " USD",
    "mph": " mph",
    "psf": " psf",
}
_LABELS = {
    "dc_m": "DC run",
    "ac_m": "AC run",
    "dc_run_m": "DC run",
    "ac_run_m": "AC run",
    "rating_a": "rating",
    "mppt": "input",
}
_VALUES = {
    "off_grid": "off-grid",
    "grid_tied": "grid-tied",
    "busbar_opposite_end": "breaker at the far end of the busbar",
    "supply_side": "supply side",
    "": "none",
}


def differences(old: Frozen, new: Frozen) -> tuple[str, ...]:
    """Short phrases without full stop ("modules on South roof: 12 → 14"), in the order of the design; empty if none."""
    return tuple(_mappings(old, new, ""))


def _mappings(old: Frozen, new: Frozen, of: str) -> list[str]:
    found = []
    keys = list(dict.fromkeys((*old, *new)))
    for key in keys:
        if key.endswith("_count") and key.removesuffix("_count") in keys:
            continue
        was, now = old.get(key), new.get(key)
        counter = f"{key}_count"
        if counter in keys:
            found += _equipment(key, was, now, old.get(counter), new.get(counter))
        elif was != now:
            found += _values(key, was, now, of)
    return found


def _values(key: str, old: object, new: object, of: str) -> list[str]:
    name = _label(key)
    if _is_strings(old) or _is_strings(new):
        return [f"{name}: {_strings(old)} → {_strings(new)}"]
    if _are_named(old) and _are_named(new):
        return _named_lines(old, new)
    if _is_equipment(old) or _is_equipment(new):
        return _equipment(key, old, new, None, None)
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        return _mappings(old, new, f"{of}{name}, ")
    return [f"{of}{name}: {_said(key, old)} → {_said(key, new)}"]


def _equipment(key: str, old: object, new: object, old_count: object, new_count: object) -> list[str]:
    was, now = _counted(old, old_count), _counted(new, new_count)
    found = [f"{_label(key)}: {was} → {now}"] if was != now else []
    if isinstance(old, Mapping) and isinstance(new, Mapping) and old.get("name") == new.get("name"):
        found += _mappings(old, new, f"{_label(key)} {_name(old)}, ")
    if not found and (old, old_count) != (new, new_count):
        # Equipment whose count is 0 on both sides: not built, but no longer what was submitted.
        found.append(f"{_label(key)}: {_said(key, old)} → {_said(key, new)}")
    return found


def _counted(item: object, count: object) -> str:
    if item is None or count == 0:
        return "none"
    name = _name(item)
    return name if count is None else f"{count} × {name}"


def _named_lines(old: object, new: object) -> list[str]:
    before, after = _by_name(old), _by_name(new)
    found = []
    for name in dict.fromkeys((*before, *after)):
        was, now = before.get(name), after.get(name)
        if was is None or now is None:
            line = was or now or {}
            if "modules" in line:
                modules = _said("modules", line["modules"])
                found.append(f"modules on {name}: " + (f"{modules} → none" if now is None else f"none → {modules}"))
            else:
                found.append(f"{name}: {'removed' if now is None else 'added'}")
            continue
        for key in dict.fromkeys((*was, *now)):
            if was.get(key) == now.get(key):
                continue
            if key == "modules":
                found.append(f"modules on {name}: {_said(key, was.get(key))} → {_said(key, now.get(key))}")
            else:
                found += _values(key, was.get(key), now.get(key), f"{name}, ")
    # The same lines in another order are another design to a reviewer: strings and drawings follow the order.
    if not found:
        found.append(f"order: {', '.join(before)} → {', '.join(after)}")
    return found


def _by_name(lines: object) -> dict[str, Frozen]:
    items = lines if isinstance(lines, Sequence) else ()
    return {_name(line): line for line in items if isinstance(line, Mapping)}


def _are_named(lines: object) -> bool:
    """A list (perhaps empty) of mappings, each with a name of its own."""
    if not isinstance(lines, list | tuple):
        return lines is None
    names = [_name(line) for line in lines if isinstance(line, Mapping) and "name" in line]
    return len(names) == len(lines) == len(set(names))


def _is_equipment(value: object) -> bool:
    return isinstance(value, Mapping) and "name" in value


def _is_strings(value: object) -> bool:
    return isinstance(value, list | tuple) and any(
        isinstance(line, Mapping) and "modules_in_series" in line for line in value
    )


def _strings(value: object) -> str:
    """ "2 × 7 on South roof (input 1)"."""
    lines = [line for line in value if isinstance(line, Mapping)] if isinstance(value, list | tuple) else []
    words = []
    for line in lines:
        place = f" on {line['plane']}" if line.get("plane") else ""
        tracker = f" (input {line['mppt']})" if line.get("mppt") is not None else ""
        words.append(f"{line.get('strings', 1)} × {line.get('modules_in_series')}{place}{tracker}")
    return ", ".join(words) or "as the study proposes"


def _name(item: object) -> str:
    return str(item.get("name", "unnamed")) if isinstance(item, Mapping) else str(item)


def _label(key: str) -> str:
    if key in _LABELS:
        return _LABELS[key]
    words = key.split("_")
    if _unit(key):
        words = words[:-1]
    return " ".join(words)


def _said(key: str, value: object) -> str:
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.10g}{_unit(key)}"
    if isinstance(value, Mapping):
        return _name(value) if "name" in value else ", ".join(f"{_label(k)} {_said(k, v)}" for k, v in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(_said(key, item) for item in value) or "none"
    return _VALUES.get(str(value), str(value))


def _unit(key: str) -> str:
    if "_per_" in key:
        return ""
    stem, _, last = key.rpartition("_")
    return _UNITS.get(last, "") if stem else ""
