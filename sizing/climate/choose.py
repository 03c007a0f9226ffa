"""Which weather a study of a site uses."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sizing.climate.hours import ClimateHours
from sizing.climate.monthly import year_from_monthly_means
from sizing.climate.reader import FIELD, read_typical_year
from sizing.climate.shelf import bundled, great_circle_km, nearest
from sizing.climate.zone import standard_offset_h
from sizing.errors import InputError
from sizing.study.request import Climate, Site

STAND_IN_KM = 50.0
"""Beyond this a file stands in for another place, and the study says so."""
REFUSE_KM = 1500.0
REFUSE_LATITUDE_DEG = 8.0
"""Beyond these a carried file says nothing about the site. A file named on purpose is used, with a warning, as long
as its seasons are those of the site."""


@dataclass(frozen=True, eq=False)
class ChosenClimate:
    hours: ClimateHours
    distance_km: float | None
    warnings: tuple[str, ...]


def choose_climate(site: Site, climate: Climate) -> ChosenClimate:
    """Read or make the hourly year that a request asks for. Raises InputError on fields under "climate"."""
    if climate.kind == "monthly_means":
        hours = year_from_monthly_means(
            climate.ghi_kwh_per_m2_day,
            climate.temp_air_c,
            site.latitude_deg,
            site.longitude_deg,
            site.elevation_m,
            standard_offset_h(site.time_zone),
            climate.seed,
        )
        remark = (
            "The hourly weather is made from monthly means: monthly sums are as given, the order of clear and dull "
            "days is drawn at random (same seed, same year)."
        )
        return ChosenClimate(hours, None, (remark,))
    hours = read_typical_year(_path(site, climate))
    distance = great_circle_km(site.latitude_deg, site.longitude_deg, hours.latitude_deg, hours.longitude_deg)
    return ChosenClimate(hours, distance, hours.warnings + _remarks(site, hours, distance))


def _path(site: Site, climate: Climate) -> Path:
    if climate.file is None:
        shelf, distance = nearest(site.latitude_deg, site.longitude_deg)
        apart = abs(site.latitude_deg - shelf.latitude_deg)
        if distance > REFUSE_KM or apart > REFUSE_LATITUDE_DEG:
            raise InputError(
                FIELD,
                f"the nearest carried weather year is {shelf.name} ({shelf.latitude_deg:.2f}, "
                f"{shelf.longitude_deg:.2f}), {distance:.0f} km from the site: name a TMY2, TMY3 or EPW file of the "
                "region, or give monthly means",
            )
        return shelf.path
    for shelf in bundled():
        if climate.file == shelf.file:
            return shelf.path
    return Path(climate.file)


def _remarks(site: Site, hours: ClimateHours, distance_km: float) -> tuple[str, ...]:
    if site.latitude_deg * hours.latitude_deg < 0 and abs(site.latitude_deg - hours.latitude_deg) > 5.0:
        raise InputError(FIELD, f"{hours.name} lies on the other side of the equator; its seasons are not the site's")
    if distance_km <= STAND_IN_KM:
        return ()
    return (
        f"The weather is that of {hours.name} ({hours.latitude_deg:.2f}, {hours.longitude_deg:.2f}), "
        f"{distance_km:.0f} km from the site ({site.latitude_deg:.2f}, {site.longitude_deg:.2f}). It stands in for "
        "the site, and so do its sun and its clock: a file of a nearer place, or monthly means, would be better.",
    )
