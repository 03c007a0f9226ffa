"""Where a house stands, without a network. Checked against pvlib's own lookup and published coordinates."""

from __future__ import annotations

import pytest

from projects import places


@pytest.mark.parametrize(
    ("latitude", "longitude"),
    [(36.0726, -79.792), (34.7253, -76.7531), (39.742476, -105.1786), (25.76, -80.19), (61.2, -149.9), (0.0, -30.0)],
)
def test_elevation_agrees_with_pvlibs_lookup(latitude: float, longitude: float) -> None:
    # Source: pvlib.location.lookup_altitude on the same map.
    from pvlib.location import lookup_altitude

    assert places.elevation_m(latitude, longitude) == lookup_altitude(latitude, longitude)


def test_greensboros_height_agrees_with_its_weather_station() -> None:
    # Source: the header of pvlib's 723170TYA.CSV (Greensboro, 36.10 N, 79.95 W): 273 m; the map has steps of 28 m and
    # is coarse, as pvlib says.
    assert places.elevation_m(36.1, -79.95) == pytest.approx(273, abs=60)


@pytest.mark.parametrize(
    ("state", "zip_code", "zone"),
    [
        ("NC", "27401", "America/New_York"),
        ("TX", "79901", "America/Denver"),  # El Paso keeps mountain time
        ("AZ", "85001", "America/Phoenix"),
        ("AK", "99501", "America/Anchorage"),
        ("HI", "96813", "Pacific/Honolulu"),
        ("PR", "00901", "America/Puerto_Rico"),
        ("FL", "32501", "America/Chicago"),  # Pensacola lies in the central zone
    ],
)
def test_time_zones_of_places_known_to_everybody(state: str, zip_code: str, zone: str) -> None:
    # Source: the IANA time zone database's zone descriptions; from memory for the single towns.
    assert places.locate(state=state, zip_code=zip_code).time_zone == zone


def test_greensboro_is_where_it_is() -> None:
    place = places.locate(state="NC", zip_code="27401")
    # Source: the header of pvlib's 723170TYA.CSV (Greensboro): 36.10 N, 79.95 W.
    assert places.distance_km(place.latitude_deg, place.longitude_deg, 36.1, -79.95) < 25
    assert place.county == "Guilford County"


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"state": "ZZ", "zip_code": "27401"}, "state"),
        ({"state": "NC", "zip_code": "2740"}, "zip_code"),
        ({"state": "NC", "zip_code": "00000"}, "zip_code"),
        ({"state": "VA", "zip_code": "27401"}, "zip_code"),
        ({"state": "NC", "zip_code": "27401", "latitude_deg": 36.0}, "longitude_deg"),
        ({"state": "NC", "zip_code": "27401", "longitude_deg": -79.0}, "latitude_deg"),
        ({"state": "NC", "zip_code": "27401", "latitude_deg": 96.0, "longitude_deg": -79.0}, "latitude_deg"),
        ({"state": "NC", "zip_code": "27401", "latitude_deg": 36.0, "longitude_deg": -279.0}, "longitude_deg"),
        ({"state": "NC", "zip_code": "27401", "latitude_deg": 36.0, "longitude_deg": 79.0}, "latitude_deg"),
        ({"state": "NC", "zip_code": "27401", "latitude_deg": float("nan"), "longitude_deg": -79.0}, "latitude_deg"),
    ],
)
def test_what_cannot_be_found_names_its_field(given: dict, field: str) -> None:
    with pytest.raises(places.NotFound) as told:
        places.locate(**given)
    assert told.value.field == field


def test_a_zip_code_newer_than_the_list_is_taken_with_coordinates() -> None:
    place = places.locate(state="NC", zip_code="28599", latitude_deg=34.86, longitude_deg=-76.78)
    assert (place.located_from, place.county, place.time_zone) == ("typed", "", "America/New_York")
    with pytest.raises(places.NotFound):
        places.locate(state="VA", zip_code="28599", latitude_deg=34.86, longitude_deg=-76.78)


def test_nine_digits_are_a_zip_code_too() -> None:
    assert places.locate(state="NC", zip_code="27401-1234").county == "Guilford County"


def test_a_degree_of_latitude_is_111_km() -> None:
    # Source: 2 pi 6371 km / 360.
    assert places.distance_km(35, -79, 36, -79) == pytest.approx(111.19, abs=0.01)


def test_a_homeowner_with_a_zip_code_newer_than_the_list_lies_roughly_in_its_region() -> None:
    place = places.locate(state="NC", zip_code="28599", roughly=True)
    assert (place.located_from, place.time_zone) == ("region", "America/New_York")
    # Source: zipcodes' own entry of 28557 (Morehead City), in the same region: 34.73 N, 76.75 W.
    assert places.distance_km(place.latitude_deg, place.longitude_deg, 34.73, -76.75) < 150
    for state, code in (("VA", "28599"), ("NC", "00000")):
        with pytest.raises(places.NotFound) as told:
            places.locate(state=state, zip_code=code, roughly=True)
        assert told.value.field == "zip_code"
