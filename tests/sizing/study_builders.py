"""Short ways to a request for tests."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from sizing.study.example import example_request
from sizing.study.request import Climate, RoofPlane, Site, StudyRequest

SOUTH = RoofPlane(
    name="South roof", tilt_deg=25.0, azimuth_deg=180.0, width_m=12.0, slope_length_m=6.0, x_m=0.0, y_m=-2.7, modules=16
)
GREENSBORO = Site(36.1, -79.95, 273.0, "America/New_York")


def plain_request(**changes: Any) -> StudyRequest:
    """One unshaded south roof at Greensboro, strings left to the study; keyword arguments replace fields."""
    request = replace(
        example_request(),
        site=GREENSBORO,
        climate=Climate(file="723170TYA.CSV"),
        planes=(SOUTH,),
        strings=(),
        obstructions=(),
    )
    return replace(request, **changes)


def monthly_climate(ghi: float = 5.0, temp: float = 15.0, **changes: Any) -> Climate:
    return replace(Climate(kind="monthly_means", ghi_kwh_per_m2_day=(ghi,) * 12, temp_air_c=(temp,) * 12), **changes)
