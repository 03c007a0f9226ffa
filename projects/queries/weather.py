"""Which weather file serves which open jobs."""

from __future__ import annotations

from dataclasses import dataclass

from projects import studies
from projects.models import Site, SiteWeather, Stage, WeatherFile
from projects.queries.pipeline import under_way

LOOKED_AT = ("site__latitude_deg", "site__longitude_deg", "site__weather__choice", "site__weather__file")


@dataclass
class Serving:
    jobs: int = 0
    farthest_km: float = 0.0


def open_jobs_by_file() -> dict[int | None, Serving]:
    """By file (None: one that the program carries): the open jobs whose next study it serves, and the farthest."""
    rows = list(WeatherFile.objects.filter(retired_at=None))
    found: dict[int | None, Serving] = {}
    # What is done has no next study.
    for job in under_way().exclude(stage=Stage.IN_SERVICE).select_related("site", "site__weather").only(*LOOKED_AT):
        chosen = getattr(job.site, "weather", None)
        if chosen is not None and chosen.choice == SiteWeather.Choice.MEANS:
            continue
        shelf = studies.shelf_of(job.site, rows)
        if chosen is not None and chosen.choice == SiteWeather.Choice.FILE:
            shelf = [entry for entry in shelf if entry.row is not None and entry.row.pk == chosen.file_id]
        if not shelf:
            continue
        entry = found.setdefault(shelf[0].row.pk if shelf[0].row else None, Serving())
        entry.jobs += 1
        entry.farthest_km = max(entry.farthest_km, shelf[0].distance_km)
    return found


def carried_files() -> list[studies.Shelved]:
    """The typical years that come with the program."""
    return [entry for entry in studies.shelf_of(Site(latitude_deg=0, longitude_deg=0), []) if entry.row is None]
