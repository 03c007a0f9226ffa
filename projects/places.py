"""Where a house stands, found without a network: ZIP to coordinates and county, time zone, height above the sea."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

# fmt: off
STATES = frozenset((
    "AL", "AK", "AZ", "AR", "CA", "CO", "CT", "DE", "DC", "FL", "GA", "HI", "ID", "IL", "IN", "IA", "KS", "KY", "LA",
    "ME", "MD", "MA", "MI", "MN", "MS", "MO", "MT", "NE", "NV", "NH", "NJ", "NM", "NY", "NC", "ND", "OH", "OK", "OR",
    "PA", "PR", "RI", "SC", "SD", "TN", "TX", "UT", "VT", "VI", "VA", "WA", "WV", "WI", "WY",
))
# fmt: on
ZIP = re.compile(r"^\d{5}(-\d{4})?$")
FAR_FROM_ZIP_KM = 150.0


@dataclass(frozen=True)
class Place:
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    time_zone: str
    """IANA name."""
    county: str
    located_from: str
    """"zip", "typed" or "region" (roughly: the middle of the ZIP codes with the same three first digits)."""


class NotFound(ValueError):
    """``field`` is "zip_code", "state", "latitude_deg" or "longitude_deg"; the message is for whoever typed it."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


def locate(
    *,
    state: str,
    zip_code: str,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    roughly: bool = False,
) -> Place:
    """The place of an address; typed coordinates win over the middle of the ZIP area. Raises NotFound.

    A ZIP code newer than the list is taken where coordinates are typed and its region lies in the state. ``roughly``:
    without coordinates too, since a homeowner has none; it then lies in the middle of its region until the office
    types them.
    """
    state = state.strip().upper()
    if state not in STATES:
        raise NotFound("state", "Two letters of a state, as in NC.")
    if not ZIP.match(zip_code.strip()):
        raise NotFound("zip_code", "A ZIP code has five digits.")
    five = zip_code.strip()[:5]
    typed = latitude_deg is not None or longitude_deg is not None
    entry = _zip_entry(five)
    if entry is None and not typed and not (roughly and _region(five[:3])):
        raise NotFound("zip_code", f"No place known here has the ZIP code {five}: check it, or type coordinates.")
    states = {str(entry["state"])} if entry else _states_of_region(five[:3])
    if state not in states:
        where = " or ".join(sorted(states)) or "no state"
        raise NotFound("zip_code", f"{five} is in {where}, not in {state}.")
    if not typed and entry:
        latitude, longitude, origin = float(str(entry["lat"])), float(str(entry["long"])), "zip"
    elif not typed:
        latitude, longitude = _middle_of(_middles_in(five[:3], state))
        origin = "region"
    else:
        latitude, longitude = _checked(latitude_deg, longitude_deg)
        if all(distance_km(latitude, longitude, *middle) > FAR_FROM_ZIP_KM for middle in _middles(five)):
            raise NotFound("latitude_deg", f"These coordinates are far from ZIP {five}; check signs and digits.")
        origin = "typed"
    county = str(entry.get("county") or "") if entry else ""
    return Place(latitude, longitude, elevation_m(latitude, longitude), time_zone(latitude, longitude), county, origin)


def named(zip_code: str) -> tuple[str, str] | None:
    """City and state of a ZIP; None where it is unknown or not complete."""
    entry = _zip_entry(zip_code.strip()[:5]) if ZIP.match(zip_code.strip()) else None
    return (str(entry["city"]), str(entry["state"])) if entry else None


def _checked(latitude_deg: float | None, longitude_deg: float | None) -> tuple[float, float]:
    if latitude_deg is None or longitude_deg is None:
        missing = "latitude_deg" if latitude_deg is None else "longitude_deg"
        raise NotFound(missing, "Give both coordinates, or neither.")
    if not -90 <= latitude_deg <= 90:
        raise NotFound("latitude_deg", "Latitude runs from -90 to 90.")
    if not -180 <= longitude_deg <= 180:
        raise NotFound("longitude_deg", "Longitude runs from -180 to 180 (west is negative).")
    return latitude_deg, longitude_deg


@lru_cache(maxsize=4096)
def _zip_entry(five: str) -> dict[str, object] | None:
    import zipcodes  # reads its list on import: not at start-up

    found = zipcodes.matching(five)
    return found[0] if found else None


@lru_cache(maxsize=64)
def _region(three: str) -> tuple[dict[str, object], ...]:
    """All ZIP codes that share the first three digits (one sorting region of the postal service)."""
    import zipcodes

    return tuple(zipcodes.similar_to(three))


def _states_of_region(three: str) -> set[str]:
    return {str(entry["state"]) for entry in _region(three)}


def _middles(five: str) -> list[tuple[float, float]]:
    entry = _zip_entry(five)
    entries = [entry] if entry else list(_region(five[:3]))
    return [(float(str(e["lat"])), float(str(e["long"]))) for e in entries]


def _middles_in(three: str, state: str) -> list[tuple[float, float]]:
    return [(float(str(e["lat"])), float(str(e["long"]))) for e in _region(three) if e["state"] == state]


def _middle_of(points: list[tuple[float, float]]) -> tuple[float, float]:
    return sum(lat for lat, _ in points) / len(points), sum(lon for _, lon in points) / len(points)


@lru_cache(maxsize=4096)
def time_zone(latitude_deg: float, longitude_deg: float) -> str:
    from tzfpy import get_tz

    return get_tz(longitude_deg, latitude_deg)


def elevation_m(latitude_deg: float, longitude_deg: float) -> float:
    """Height above the sea from pvlib's altitude map (28 m steps, cells of 5 minutes of arc); 0 where the map has none.

    Read from the file directly, as pvlib.location.lookup_altitude does, since importing pvlib costs a second.
    """
    pixel = _altitude_pixel(latitude_deg, longitude_deg)
    # Source: pvlib.location.lookup_altitude: value 255 means no data; altitude = 28 m * value - 450 m.
    return 0.0 if pixel == 255 else max(-450.0, pixel * 28.0 - 450.0)


@lru_cache(maxsize=4096)
def _altitude_pixel(latitude_deg: float, longitude_deg: float) -> int:
    from importlib.util import find_spec
    from pathlib import Path

    import h5py

    spec = find_spec("pvlib")
    folder = Path(spec.origin).parent / "data" if spec and spec.origin else Path()
    with h5py.File(folder / "Altitude.h5") as file:
        grid = file["Altitude"]
        rows, columns = grid.shape
        row = min(rows - 1, max(0, round((90 - latitude_deg) / 180 * rows - 0.5)))
        column = min(columns - 1, max(0, round((longitude_deg + 180) / 360 * columns - 0.5)))
        return int(grid[row, column])


def distance_km(latitude_1: float, longitude_1: float, latitude_2: float, longitude_2: float) -> float:
    """Great-circle distance (haversine, mean earth radius 6371 km)."""
    from math import asin, cos, radians, sin, sqrt

    phi_1, phi_2 = radians(latitude_1), radians(latitude_2)
    half = sin((phi_2 - phi_1) / 2) ** 2
    half += cos(phi_1) * cos(phi_2) * sin(radians(longitude_2 - longitude_1) / 2) ** 2
    return 2 * 6371.0 * asin(sqrt(half))
