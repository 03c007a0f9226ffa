"""Which weather and which design temperatures a study uses, and how it says so."""

from __future__ import annotations

import numpy as np
import pytest

from sizing.climate.choose import choose_climate
from sizing.climate.design_temperatures import settle
from sizing.climate.shelf import bundled, great_circle_km, nearest
from sizing.climate.zone import standard_offset_h
from sizing.errors import InputError
from sizing.study.request import Climate, Site
from tests.sizing.study_builders import GREENSBORO, monthly_climate

WILMINGTON = Site(34.2, -77.9, 10.0, "America/New_York")
DENVER = Site(39.74, -104.98, 1600.0, "America/Denver")
SYDNEY = Site(-33.87, 151.21, 20.0, "Australia/Sydney")


def test_the_shelf_holds_three_years_with_their_places() -> None:
    assert [shelf.file for shelf in bundled()] == ["723170TYA.CSV", "12839.tm2", "703165TY.csv"]
    for shelf in bundled():
        assert shelf.path.is_file()
        assert -90 <= shelf.latitude_deg <= 90


def test_distance_over_the_globe() -> None:
    """A degree along a meridian of a 6371 km sphere is 111.195 km; a quarter of the equator 10 007.5 km."""
    assert great_circle_km(36.0, -79.0, 37.0, -79.0) == pytest.approx(111.195, abs=0.001)
    assert great_circle_km(0.0, 179.0, 0.0, -91.0) == pytest.approx(10_007.54, abs=0.01)
    assert great_circle_km(12.0, 34.0, 12.0, 34.0) == 0.0


def test_the_nearest_year_is_taken() -> None:
    assert nearest(36.0, -79.0)[0].file == "723170TYA.CSV"
    assert nearest(26.0, -80.0)[0].file == "12839.tm2"


def test_a_near_file_passes_without_remark_and_a_far_one_says_where_it_is_from() -> None:
    assert choose_climate(GREENSBORO, Climate()).warnings == ()
    chosen = choose_climate(WILMINGTON, Climate())
    assert chosen.distance_km == pytest.approx(280.0, abs=5.0)
    assert "stands in for the site" in chosen.warnings[0]
    assert "36.10" in chosen.warnings[0]
    assert "34.20" in chosen.warnings[0]


def test_no_far_year_is_taken_silently() -> None:
    with pytest.raises(InputError, match="give monthly means") as caught:
        choose_climate(DENVER, Climate())
    assert caught.value.field == "climate.file"
    named = choose_climate(DENVER, Climate(file="723170TYA.CSV"))
    assert "stands in" in named.warnings[0]


def test_a_year_of_the_other_hemisphere_is_refused() -> None:
    with pytest.raises(InputError, match="other side of the equator"):
        choose_climate(SYDNEY, Climate(file="12839.tm2"))


@pytest.mark.parametrize(
    ("zone", "offset"),
    [
        ("America/New_York", -5.0),
        ("Australia/Sydney", 10.0),
        ("Asia/Kolkata", 5.5),
        ("America/Phoenix", -7.0),
        ("Europe/Dublin", 0.0),
        ("Pacific/Chatham", 12.75),
    ],
)
def test_standard_time(zone: str, offset: float) -> None:
    assert standard_offset_h(zone) == offset


@pytest.mark.parametrize("zone", ["", "Carolina", "../etc/passwd", "America"])
def test_names_that_are_no_zone(zone: str) -> None:
    with pytest.raises(KeyError):
        standard_offset_h(zone)


def temps(site: Site, climate: Climate):
    chosen = choose_climate(site, climate)
    return chosen.hours, settle(
        chosen.hours,
        site.latitude_deg,
        site.longitude_deg,
        climate.record_low_c,
        climate.high_2pct_c,
        chosen.distance_km,
    )


def test_given_design_temperatures_win() -> None:
    _, settled = temps(GREENSBORO, Climate(record_low_c=-13.0, high_2pct_c=31.5))
    assert (settled.record_low_c, settled.high_2pct_c) == (-13.0, 31.5)
    assert settled.warnings == ()
    assert "given" in settled.record_low_source


def test_a_published_station_nearby_is_used_and_named() -> None:
    _, settled = temps(Site(25.8, -80.2, 3.0, "America/New_York"), Climate())
    assert (settled.record_low_c, settled.high_2pct_c) == (5.1, 32.1)
    assert "Miami" in settled.record_low_source
    assert "2009" in settled.record_low_source


def test_an_estimate_is_colder_than_the_typical_year_and_says_so() -> None:
    hours, settled = temps(GREENSBORO, Climate())
    assert settled.record_low_c == pytest.approx(hours.temp_air_c.min() - 5.0)
    assert settled.high_2pct_c == pytest.approx(np.percentile(hours.temp_air_c, 98) + 1.0)
    assert any("is an estimate" in warning for warning in settled.warnings)
    assert "not the record low" in settled.working[0].remark


def test_a_year_from_monthly_means_gets_a_wider_margin() -> None:
    hours, settled = temps(Site(45.0, -100.0, 500.0, "America/Chicago"), monthly_climate(1.4, 5.0))
    assert settled.record_low_c == pytest.approx(hours.temp_air_c.min() - 17.0)
