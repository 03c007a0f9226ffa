"""Where an address lies, in words, while it is being typed. Found in tables on this machine."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from projects import places


@dataclass(frozen=True)
class FoundPlace:
    city: str
    state: str
    words: str
    """``Morehead City, NC, Carteret County; 34.73° N, 76.75° W, near sea level, New York time``."""


def find_place(zip_code: str, latitude_deg: Any = None, longitude_deg: Any = None) -> FoundPlace | None:
    """None where the ZIP is unknown or not complete yet, or where coordinates can't be those of the ZIP."""
    zip_code = zip_code.strip()
    if not places.ZIP.match(zip_code):
        return None
    import zipcodes  # reads its list on import: not at start-up

    entries = zipcodes.matching(zip_code[:5])
    if not entries:
        return None
    city, state = str(entries[0]["city"]), str(entries[0]["state"])
    try:
        place = places.locate(
            state=state,
            zip_code=zip_code,
            latitude_deg=_number(latitude_deg),
            longitude_deg=_number(longitude_deg),
        )
    except places.NotFound:
        return None
    north = f"{abs(place.latitude_deg):.3f}° {'N' if place.latitude_deg >= 0 else 'S'}"
    east = f"{abs(place.longitude_deg):.3f}° {'E' if place.longitude_deg >= 0 else 'W'}"
    clock = place.time_zone.rsplit("/", 1)[-1].replace("_", " ")
    # The map of heights has steps of 28 m: more digits would be made up.
    feet = round(place.elevation_m / 0.3048 / 100) * 100
    height = f"about {feet:,} ft above the sea" if feet > 0 else "near sea level"
    county = f", {place.county}" if place.county else ""
    return FoundPlace(city, state, f"{city}, {state}{county}: {north}, {east}, {height}, {clock} time")


def _number(typed: Any) -> float | None:
    try:
        return float(str(typed).strip())
    except ValueError:
        return None
