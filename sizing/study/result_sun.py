"""Climate, light and production of a study's answer."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ClimateUsed:
    kind: str
    name: str
    """Plain words: "Greensboro Piedmont Triad, typical year (TMY3)"."""
    distance_km: float | None
    """From the site to the place the climate was measured; None for monthly means typed for the site itself."""
    ghi_kwh_per_m2_year: float
    record_low_c: float
    record_low_source: str
    high_2pct_c: float
    high_2pct_source: str


@dataclass(frozen=True)
class PlaneResult:
    name: str
    modules: int
    dc_kw: float
    poa_kwh_per_m2_year: float
    """Plane-of-array irradiation with shade."""
    poa_unshaded_kwh_per_m2_year: float
    solar_access_by_month: tuple[float, ...]
    """12 fractions, shaded over unshaded plane-of-array irradiation."""
    solar_access_year: float
    sky_view_fraction: float
    """Share of the unobstructed diffuse sky of the plane that is left."""


@dataclass(frozen=True)
class LossStep:
    name: str
    fraction: float
    """Of the energy before this step."""
    kwh_year_after: float


@dataclass(frozen=True)
class Production:
    dc_kw: float
    ac_kw: float
    ac_kwh_by_month: tuple[float, ...]
    ac_kwh_year: float
    specific_yield_kwh_per_kw: float
    losses: tuple[LossStep, ...]
    """From sunlight on the open plane to the meter; they add up to ``ac_kwh_year``."""


@dataclass(frozen=True)
class SunPath:
    """The sky as seen from the middle of the array, for the picture.

    ``arcs``: for 21 Dec, 21 Mar (and Sep) and 21 Jun a name and (azimuth_deg, elevation_deg) pairs in true solar time
    steps; ``silhouettes``: per obstruction its name and the outline as (azimuth_deg, elevation_deg) pairs;
    ``hour_marks``: (label, ((azimuth_deg, elevation_deg), ...)) per solar hour across the three arcs. Azimuths of one
    line run on past 0 or 360 at north instead of jumping.
    """

    arcs: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    silhouettes: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    hour_marks: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
