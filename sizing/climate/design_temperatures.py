"""The two temperatures that string voltages hang on: the site's record low and its 2 % hot day.

"Record low" is the extreme annual mean minimum design dry bulb, the value that NEC 690.7(A) has in its informational
note. It is taken from the request, else from the weather file's header, else from the nearest published station
within reach, else estimated from the hourly year with a margin and a warning: the coldest hour of a typical year is
the coldest of *typical* months, not of many winters.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import numpy as np

from sizing.climate.hours import ClimateHours
from sizing.climate.shelf import great_circle_km
from sizing.working import Term, Working

NEAR_KM = 50.0
COLD_MARGIN_C = 5.0
"""Over 15 US stations whose typical year carries the published value as well, the published extreme mean minimum lay
between 4.3 degrees below (Colorado Springs) and 4.3 above (Champaign) the year's own coldest hour."""
HOT_MARGIN_C = 1.0
"""Over the same 15 stations the published 2 % value lay at most 0.8 degrees above the year's own 98th percentile."""
SYNTHETIC_COLD_MARGIN_C = 17.0
"""A year made from monthly means has no cold waves at all. Over the same stations the published extreme mean minimum
lay 4 to 16.8 degrees below the minimum of such a year."""
SYNTHETIC_HOT_MARGIN_C = 5.0
"""Over the same stations the published 2 % value lay 0.1 to 4.8 degrees above the 98th percentile of such a year."""


@dataclass(frozen=True)
class Extreme:
    station: str
    latitude_deg: float
    longitude_deg: float
    mean_min_c: float
    mean_max_c: float
    cooling_2pct_c: float | None
    edition: str


@dataclass(frozen=True)
class DesignTemps:
    record_low_c: float
    record_low_source: str
    high_2pct_c: float
    high_2pct_source: str
    working: tuple[Working, ...]
    warnings: tuple[str, ...]


@lru_cache(maxsize=1)
def published_extremes() -> tuple[Extreme, ...]:
    """The stations of ``extremes.csv`` (its head names the source)."""
    text = files("sizing.climate").joinpath("extremes.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(
        Extreme(
            row["station"],
            float(row["latitude_deg"]),
            float(row["longitude_deg"]),
            float(row["mean_min_c"]),
            float(row["mean_max_c"]),
            float(row["cooling_2pct_c"]) if row["cooling_2pct_c"] else None,
            row["edition"],
        )
        for row in rows
    )


def nearest_extreme(latitude_deg: float, longitude_deg: float) -> tuple[Extreme, float] | None:
    """The nearest published station within ``NEAR_KM``, and its distance in km."""
    ranked = [
        (great_circle_km(latitude_deg, longitude_deg, e.latitude_deg, e.longitude_deg), e) for e in published_extremes()
    ]
    distance, extreme = min(ranked, key=lambda pair: pair[0])
    return (extreme, distance) if distance <= NEAR_KM else None


def settle(
    climate: ClimateHours,
    latitude_deg: float,
    longitude_deg: float,
    given_low_c: float | None,
    given_high_c: float | None,
    climate_distance_km: float | None,
) -> DesignTemps:
    """Settle both temperatures; every one says where it comes from."""
    header_counts = climate_distance_km is not None and climate_distance_km <= NEAR_KM
    station = nearest_extreme(latitude_deg, longitude_deg)
    synthetic = climate.kind == "monthly means"
    far = climate_distance_km is not None and climate_distance_km > NEAR_KM
    whose = f"the weather year of a place {climate_distance_km:.0f} km away" if far else "the weather year"
    warnings: list[str] = []

    low, low_source, low_terms = _pick(
        given_low_c,
        climate.record_low_c if header_counts else None,
        climate.design_source,
        (station[0].mean_min_c, station) if station else None,
    )
    if low is None:
        margin = SYNTHETIC_COLD_MARGIN_C if synthetic else COLD_MARGIN_C
        coldest = float(climate.temp_air_c.min())
        low = coldest - margin
        low_source = f"estimated: coldest hour of the year used ({coldest:.1f} C) less {margin:g} C"
        low_terms = (
            Term("T_coldest", coldest, "C", f"coldest hour of {climate.name}"),
            Term("margin", margin, "C", "a typical year is milder than the record"),
        )
        warnings.append(
            f"No published record low for this place: {low:.1f} C is an estimate from {whose}. Put in the "
            "published extreme annual mean minimum before string voltages go to plan review."
        )
    high, high_source, high_terms = _pick(
        given_high_c,
        climate.high_2pct_c if header_counts else None,
        climate.design_source,
        (station[0].cooling_2pct_c, station) if station and station[0].cooling_2pct_c is not None else None,
    )
    if high is None:
        margin = SYNTHETIC_HOT_MARGIN_C if synthetic else HOT_MARGIN_C
        hot = float(np.percentile(climate.temp_air_c, 98.0))
        high = hot + margin
        high_source = f"estimated: 98th percentile of the year used ({hot:.1f} C) plus {margin:g} C"
        high_terms = (
            Term("T_98", hot, "C", f"98th percentile of {climate.name}"),
            Term("margin", margin, "C", "a typical year is milder than the handbook's"),
        )
        warnings.append(
            f"No published 2 % summer temperature for this place: {high:.1f} C is an estimate from {whose}."
        )
    estimated_low, estimated_high = low_source.startswith("estimated"), high_source.startswith("estimated")
    working = (
        Working(
            key="climate.record_low",
            label="Record low for string voltage (extreme annual mean minimum)",
            formula="T_coldest - margin" if estimated_low else "as published",
            terms=low_terms,
            result=low,
            unit="C",
            source=low_source,
            remark="An estimate: a typical year's own minimum is not the record low." if estimated_low else "",
        ),
        Working(
            key="climate.high_2pct",
            label="Summer design temperature (2 % of hours are hotter)",
            formula="T_98 + margin" if estimated_high else "as published",
            terms=high_terms,
            result=high,
            unit="C",
            source=high_source,
            remark="An estimate from the weather year." if estimated_high else "",
        ),
    )
    return DesignTemps(low, low_source, high, high_source, working, tuple(warnings))


def _pick(
    given: float | None,
    header: float | None,
    header_source: str,
    station: tuple[float | None, tuple[Extreme, float]] | None,
) -> tuple[float | None, str, tuple[Term, ...]]:
    if given is not None:
        return given, "given with the site", (Term("T", given, "C", "given with the site"),)
    if header is not None:
        return header, header_source, (Term("T", header, "C", header_source),)
    if station is not None and station[0] is not None:
        extreme, distance = station[1]
        source = f"ASHRAE Handbook of Fundamentals {extreme.edition}, {extreme.station}, {distance:.0f} km away"
        return station[0], source, (Term("T", station[0], "C", source),)
    return None, "", ()
