"""Design temperatures against the ASHRAE Handbook of Fundamentals as weather files carry it."""

from __future__ import annotations

from pathlib import Path

import pytest

from sizing.climate.design_temperatures import nearest_extreme
from sizing.climate.epw_header import parse_design_conditions
from sizing.errors import InputError
from tests.published.cases import case

LINES = (Path(__file__).parent / "data" / "design_conditions_2009.txt").read_text(encoding="ascii").splitlines()[1:]
PUBLISHED_2009 = (
    # place, latitude, longitude, mean minimum, mean maximum: ASHRAE 2009, extreme annual mean dry bulb
    ("Phoenix", 33.45, -111.98, 1.3, 45.8),
    ("Las Vegas", 36.08, -115.15, -3.8, 44.5),
    ("Denver", 39.72, -104.75, -22.3, 36.9),
    ("Golden", 39.74, -105.18, -22.9, 36.1),
    ("Miami", 25.82, -80.30, 5.1, 35.0),
    ("Newark", 40.72, -74.18, -14.7, 37.2),
    ("Chicago", 41.98, -87.92, -23.7, 35.9),
)


@case("TEMP-01")
@pytest.mark.parametrize(("line", "place"), list(zip(LINES, PUBLISHED_2009, strict=True)))
def test_extremes_of_the_2009_layout(line: str, place) -> None:
    """Between wind speeds and dry bulbs stands a maximum wet bulb. (Denver: the Buckley station.)"""
    design = parse_design_conditions(line)
    assert design is not None
    assert (design.extreme_mean_min_c, design.extreme_mean_max_c) == place[3:]


@case("TEMP-03")
def test_extremes_of_the_2021_layout() -> None:
    """Northway AK, 2021 edition: -45.8 and 28.5 C. The wet bulb is gone, the same position would give 28.5 as the
    minimum. Only the group that is read stands here; its three wind speeds are invented."""
    line = "DESIGN CONDITIONS,1,2021 ASHRAE Handbook -- Fundamentals,,Extremes,7.1,6.0,5.2,-45.8,28.5,4.1,2.2"
    design = parse_design_conditions(line)
    assert design is not None
    assert (design.extreme_mean_min_c, design.extreme_mean_max_c) == (-45.8, 28.5)


def test_a_2021_group_under_a_2009_heading_is_refused() -> None:
    """Read by the wrong layout the minimum (28.5) isn't below the maximum (4.1): better no value than a wrong one."""
    line = "DESIGN CONDITIONS,1,Climate Design Data 2009 ASHRAE Handbook,,Extremes,7.1,6.0,5.2,-45.8,28.5,4.1,2.2"
    with pytest.raises(InputError, match="extreme minimum"):
        parse_design_conditions(line)


def test_a_file_without_design_conditions() -> None:
    assert parse_design_conditions("DESIGN CONDITIONS,0") is None


@case("TEMP-01")
@pytest.mark.parametrize("place", PUBLISHED_2009, ids=lambda place: place[0])
def test_the_carried_table_has_the_published_values(place) -> None:
    found = nearest_extreme(place[1], place[2])
    assert found is not None
    station, distance_km = found
    assert distance_km < 5.0
    assert (station.mean_min_c, station.mean_max_c) == place[3:]
