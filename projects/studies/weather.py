"""The office's weather shelf as ``sizing`` takes it: what a file holds, and which year serves a site.

A request names a shelved file by its place in the data folder ("weather/1f0c….epw"), never by a path of one machine;
``resolved`` turns that into a path for the moment of reading.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from projects.models import Jurisdiction, Site, SiteWeather, WeatherFile
from sizing.climate.shelf import bundled, great_circle_km
from sizing.errors import InputError, InputErrors
from sizing.study import request as ask

FOLDER = "weather/"
FARTHEST_FROM_ITS_CLOCK_H = 4.0


@dataclass(frozen=True)
class Shelved:
    """A typical year and how far from a site it was measured."""

    name: str
    kind: str
    distance_km: float
    file: str | None
    """As a request names it; None: a file that the program carries, found by distance."""
    row: WeatherFile | None = None
    latitudes_apart_deg: float = 0.0

    @property
    def stands_in(self) -> bool:
        """So far away that it speaks for another place."""
        from sizing.climate.choose import STAND_IN_KM

        return self.distance_km > STAND_IN_KM

    @property
    def too_far(self) -> bool:
        """A carried file that no study takes by itself."""
        from sizing.climate.choose import REFUSE_KM, REFUSE_LATITUDE_DEG

        far = self.distance_km > REFUSE_KM or self.latitudes_apart_deg > REFUSE_LATITUDE_DEG
        return self.row is None and far


def look_into(path: Path) -> dict[str, Any]:
    """What a typical-year file holds, as fields of WeatherFile. Raises InputErrors where a check fails."""
    from sizing.climate.checks import closure_w_per_m2
    from sizing.climate.reader import FIELD, read_typical_year

    try:
        year = read_typical_year(path)
    except InputError as problem:
        raise InputErrors([problem]) from problem
    except Exception as problem:  # a reader of a stranger's file may stumble over anything
        raise InputErrors([InputError(FIELD, f"{path.name} does not read as a typical-year file")]) from problem
    problems = []
    if not (-90 <= year.latitude_deg <= 90 and -180 <= year.longitude_deg <= 180):
        problems.append(f"its place ({year.latitude_deg:g}, {year.longitude_deg:g}) is not on the map")
    elif abs((year.longitude_deg / 15 - year.utc_offset_h + 12) % 24 - 12) > FARTHEST_FROM_ITS_CLOCK_H:
        problems.append(
            f"its clock (UTC {year.utc_offset_h:+g} h) is not that of its longitude ({year.longitude_deg:g}°, west is "
            "negative)"
        )
    if problems:
        raise InputErrors([InputError(FIELD, words) for words in problems])
    return {
        "name": year.name.partition(", typical year")[0][:120],
        "kind": year.kind,
        "latitude_deg": year.latitude_deg,
        "longitude_deg": year.longitude_deg,
        "elevation_m": year.elevation_m,
        "ghi_kwh_per_m2_year": float(year.ghi.sum() / 1000),
        "temp_air_min_c": float(year.temp_air_c.min()),
        "temp_air_max_c": float(year.temp_air_c.max()),
        "record_low_c": year.record_low_c,
        "high_2pct_c": year.high_2pct_c,
        "closure_w_per_m2": float(abs(closure_w_per_m2(year)).mean()),
        "remarks": list(year.warnings),
    }


def shelf_of(site: Site, rows: list[WeatherFile] | None = None) -> list[Shelved]:
    """Every year that could serve the site, nearest first; of equally near ones the office's own comes first.

    ``rows``: the office's files in use, where the caller has them.
    """
    mine = WeatherFile.objects.filter(retired_at=None) if rows is None else rows
    found = [
        Shelved(row.name, row.kind, _km(site, row.latitude_deg, row.longitude_deg), row.file.name, row) for row in mine
    ]
    found += [
        Shelved(
            file.name,
            file.kind,
            _km(site, file.latitude_deg, file.longitude_deg),
            None,
            latitudes_apart_deg=abs(site.latitude_deg - file.latitude_deg),
        )
        for file in bundled()
    ]
    return sorted(found, key=lambda entry: (round(entry.distance_km, 1), entry.row is None, entry.name))


def _km(site: Site, latitude_deg: float, longitude_deg: float) -> float:
    return great_circle_km(site.latitude_deg, site.longitude_deg, latitude_deg, longitude_deg)


def climate_of(site: Site, jurisdiction: Jurisdiction | None) -> ask.Climate:
    """The office's choice for the site, else the nearest file; the jurisdiction's design temperatures come first."""
    low = jurisdiction.record_low_c if jurisdiction else None
    high = jurisdiction.high_2pct_c if jurisdiction else None
    chosen = SiteWeather.objects.select_related("file").filter(site=site).first()
    if chosen is not None and chosen.choice == SiteWeather.Choice.MEANS:
        return ask.Climate(
            kind="monthly_means",
            ghi_kwh_per_m2_day=tuple(chosen.ghi_kwh_per_m2_day),
            temp_air_c=tuple(chosen.temp_air_c),
            record_low_c=low,
            high_2pct_c=high,
        )
    if chosen is not None and chosen.choice == SiteWeather.Choice.FILE and chosen.file is not None:
        return ask.Climate(file=chosen.file.file.name, record_low_c=low, high_2pct_c=high)
    nearest = next(iter(shelf_of(site)), None)
    return ask.Climate(file=nearest.file if nearest else None, record_low_c=low, high_2pct_c=high)


def resolved(request: ask.StudyRequest) -> ask.StudyRequest:
    """The same request with a shelved file's path on this machine. Raises InputErrors where the file is gone."""
    file = request.climate.file
    if file is None or not file.startswith(FOLDER):
        return request
    storage = WeatherFile._meta.get_field("file").storage
    if not storage.exists(file):
        words = "the weather file that the shelf lists is missing from the data folder: add it again"
        raise InputErrors([InputError("climate.file", words)])
    return replace(request, climate=replace(request.climate, file=storage.path(file)))
