"""The weather files the module carries, and which of them is nearest to a site."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from sizing.climate.tmy2 import parse_header

EARTH_RADIUS_KM = 6371.0


@dataclass(frozen=True)
class ShelfFile:
    file: str
    """The name by which a request asks for it."""
    name: str
    kind: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    path: Path


_CARRIED = (("723170TYA.CSV", "TMY3"), ("12839.tm2", "TMY2"), ("703165TY.csv", "TMY3"))


def great_circle_km(latitude_1: float, longitude_1: float, latitude_2: float, longitude_2: float) -> float:
    """Distance over a sphere of 6371 km radius between two places given in degrees (haversine formula)."""
    phi_1, phi_2 = math.radians(latitude_1), math.radians(latitude_2)
    half_lat = (phi_2 - phi_1) / 2.0
    half_lon = math.radians(longitude_2 - longitude_1) / 2.0
    h = math.sin(half_lat) ** 2 + math.cos(phi_1) * math.cos(phi_2) * math.sin(half_lon) ** 2
    return 2.0 * EARTH_RADIUS_KM * math.asin(min(1.0, math.sqrt(h)))


@lru_cache(maxsize=1)
def bundled() -> tuple[ShelfFile, ...]:
    """Every carried weather file. They come inside pvlib's distribution; looking them up doesn't import pvlib."""
    spec = find_spec("pvlib")
    if spec is None or not spec.submodule_search_locations:
        return ()
    folder = Path(next(iter(spec.submodule_search_locations))) / "data"
    return tuple(_describe(folder / file, kind) for file, kind in _CARRIED if (folder / file).is_file())


def _describe(path: Path, kind: str) -> ShelfFile:
    with path.open(encoding="ascii", errors="replace") as lines:
        line = next(lines)
    if kind == "TMY2":
        header = parse_header(line)
        name, state = header.city, header.state
        latitude, longitude, elevation = header.latitude_deg, header.longitude_deg, header.elevation_m
    else:
        cells = [cell.strip().strip('"') for cell in line.split(",")]
        name, state = cells[1].title(), cells[2]
        latitude, longitude, elevation = float(cells[4]), float(cells[5]), float(cells[6])
    return ShelfFile(path.name, f"{name}, {state}", kind, latitude, longitude, elevation, path)


def nearest(latitude_deg: float, longitude_deg: float) -> tuple[ShelfFile, float]:
    """The carried file nearest to a place, and how far away it was measured, in km."""
    ranked = sorted(
        ((great_circle_km(latitude_deg, longitude_deg, f.latitude_deg, f.longitude_deg), f) for f in bundled()),
        key=lambda pair: pair[0],
    )
    if not ranked:
        raise FileNotFoundError("pvlib's weather files are missing")
    distance, file = ranked[0]
    return file, distance
