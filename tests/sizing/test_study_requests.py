"""What is wrong with a request is all said at once, at the field where it was typed."""

from __future__ import annotations

import json
import math
from copy import deepcopy
from dataclasses import replace

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.errors import InputErrors
from sizing.study.codec import request_from_dict, request_to_dict
from sizing.study.example import example_request
from sizing.study.request import Obstruction, Site, StringGroup, StudyRequest, Usage
from sizing.study.schema import SCHEMA_FILE, schema_text, study_schema
from sizing.study.validate import check_request
from tests.sizing.study_builders import GREENSBORO, SOUTH, monthly_climate, plain_request


def fields_of(request: StudyRequest) -> list[str]:
    with pytest.raises(InputErrors) as caught:
        check_request(request)
    return [problem.field for problem in caught.value.problems]


def test_the_example_and_the_plain_request_pass() -> None:
    check_request(example_request())
    check_request(plain_request())


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"site": replace(GREENSBORO, latitude_deg=91.0)}, "site.latitude_deg"),
        ({"site": replace(GREENSBORO, longitude_deg=-181.0)}, "site.longitude_deg"),
        ({"site": replace(GREENSBORO, latitude_deg=math.nan)}, "site.latitude_deg"),
        ({"site": replace(GREENSBORO, time_zone="Piedmont/Standard")}, "site.time_zone"),
        ({"site": replace(GREENSBORO, longitude_deg=79.95)}, "site.time_zone"),
        ({"planes": ()}, "planes"),
        ({"planes": (replace(SOUTH, modules=0),)}, "planes"),
        ({"planes": (replace(SOUTH, modules=-1),)}, "planes[0].modules"),
        ({"planes": (replace(SOUTH, modules=60),)}, "planes[0].modules"),
        ({"planes": (replace(SOUTH, tilt_deg=-3.0),)}, "planes[0].tilt_deg"),
        ({"planes": (replace(SOUTH, width_m=0.0),)}, "planes[0].width_m"),
        ({"planes": (SOUTH, SOUTH)}, "planes[1].name"),
        ({"planes": (replace(SOUTH, azimuth_deg=math.inf),)}, "planes[0].azimuth_deg"),
        ({"climate": monthly_climate(ghi_kwh_per_m2_day=(4.0,) * 11)}, "climate.ghi_kwh_per_m2_day"),
        ({"climate": monthly_climate(temp_air_c=())}, "climate.temp_air_c"),
        ({"climate": monthly_climate(ghi=-1.0)}, "climate.ghi_kwh_per_m2_day[0]"),
        ({"climate": monthly_climate(ghi=0.0)}, "climate.ghi_kwh_per_m2_day"),
        ({"climate": monthly_climate(record_low_c=35.0)}, "climate.record_low_c"),
        ({"climate": monthly_climate(record_low_c=20.0, high_2pct_c=10.0)}, "climate.record_low_c"),
        ({"usage": Usage(monthly_kwh=(900.0,) * 13)}, "usage.monthly_kwh"),
        ({"inverter_count": 0}, "inverter_count"),
        ({"ground_albedo": 1.5}, "ground_albedo"),
        ({"system_type": "off_grid", "battery": None}, "battery"),
        ({"strings": (StringGroup("South roof", 8, 1),)}, "strings"),
        ({"strings": (StringGroup("East roof", 8, 2),)}, "strings[0].plane"),
        ({"strings": (StringGroup("South roof", 8, 2, mppt=4),)}, "strings[0].mppt"),
        ({"strings": (StringGroup("South roof", 0, 2),)}, "strings[0].modules_in_series"),
        ({"obstructions": (Obstruction("tree", 180.0, 10.0, 0.0, 5.0),)}, "obstructions[0].height_m"),
        ({"obstructions": (Obstruction("tree", 0.0, 9.0, 5.0, 5.0, None, 5.0),)}, "obstructions[0].crown_base_m"),
        ({"obstructions": (Obstruction("kite", 180.0, 10.0, 5.0, 5.0),)}, "obstructions[0].kind"),
    ],
)  # fmt: skip
def test_one_wrong_value_is_named(changes: dict, field: str) -> None:
    assert field in fields_of(plain_request(**changes))


@pytest.mark.parametrize(
    ("part", "name", "value"),
    [
        ("module", "power_w", 0.0),
        ("module", "voc_v", -40.0),
        ("module", "vmp_v", 45.0),
        ("module", "power_w", 550.0),
        ("module", "temp_coeff_voc_pct_per_c", 0.3),
        ("inverter", "efficiency", 96.5),
        ("inverter", "mppt_inputs", 0),
        ("inverter", "mppt_min_v", 700.0),
        ("battery", "usable_kwh", 0.0),
        ("battery", "round_trip_efficiency", 92.0),
        ("battery", "units", 0),
        ("tariff", "energy_usd_per_kwh", 12.8),
        ("loan", "rate_per_year", 6.99),
        ("losses", "soiling", 2.0),
        ("service", "busbar_a", 0.0),
        ("runs", "dc_m", -1.0),
        ("backup", "start_state_of_charge", 80.0),
    ],
)
def test_one_wrong_value_of_the_equipment_is_named(part: str, name: str, value: float) -> None:
    request = plain_request()
    wrong = replace(request, **{part: replace(getattr(request, part), **{name: value})})
    assert f"{part}.{name}" in fields_of(wrong)


def test_all_problems_come_at_once_in_the_order_of_the_request() -> None:
    request = plain_request(
        site=Site(99.0, -79.95, 273.0, "Nowhere"),
        planes=(replace(SOUTH, tilt_deg=120.0, modules=8),),
        inverter_count=0,
        ground_albedo=-0.1,
    )
    assert fields_of(request) == [
        "site.latitude_deg",
        "site.time_zone",
        "planes[0].tilt_deg",
        "inverter_count",
        "ground_albedo",
    ]


def test_a_request_survives_the_way_through_json() -> None:
    plain = json.loads(json.dumps(request_to_dict(example_request())))
    assert request_from_dict(plain) == example_request()


def test_whole_numbers_may_stand_for_decimal_ones() -> None:
    plain = request_to_dict(example_request())
    plain["site"]["latitude_deg"] = 36
    plain["planes"][0]["modules"] = 18.0
    request = request_from_dict(plain)
    assert isinstance(request.site.latitude_deg, float)
    assert isinstance(request.planes[0].modules, int)


@pytest.mark.parametrize(
    ("change", "field", "message"),
    [
        (lambda d: d.update(latitude=36.0), "latitude", "not a field"),
        (lambda d: d["planes"][1].update(pitch=5), "planes[1].pitch", "not a field"),
        (lambda d: d["planes"][0].pop("tilt_deg"), "planes[0].tilt_deg", "missing"),
        (lambda d: d.pop("inverter"), "inverter", "missing"),
        (lambda d: d["site"].update(latitude_deg="36"), "site.latitude_deg", "text where a number"),
        (lambda d: d["site"].update(latitude_deg=True), "site.latitude_deg", "true or false where a number"),
        (lambda d: d["site"].update(latitude_deg=None), "site.latitude_deg", "null where a number"),
        (lambda d: d["site"].update(latitude_deg=10**400), "site.latitude_deg", "too large"),
        (lambda d: d["planes"][0].update(modules=3.5), "planes[0].modules", "not a whole number"),
        (lambda d: d.update(planes={}), "planes", "object where a list"),
        (lambda d: d.update(site=[]), "site", "list where an object"),
        (lambda d: d.update(system_type="wind"), "system_type", "none of"),
        (lambda d: d["battery"].update(listed_ul9540=1), "battery.listed_ul9540", "number where true or false"),
        (lambda d: d["appliances"][2].update(months=["May"]), "appliances[2].months[0]", "text where a whole number"),
    ],
)
def test_strict_reading_names_the_path(change, field: str, message: str) -> None:
    plain = deepcopy(request_to_dict(example_request()))
    change(plain)
    with pytest.raises(InputErrors) as caught:
        request_from_dict(plain)
    assert field in [problem.field for problem in caught.value.problems]
    assert any(message in problem.message for problem in caught.value.problems)


@pytest.mark.parametrize("junk", [None, 3, "request", [], [1, 2], {"site": 1, "planes": [None, 5]}])
def test_reading_junk_raises_nothing_else(junk) -> None:
    with pytest.raises(InputErrors):
        request_from_dict(junk)


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)
PATHS = [
    ("site", "latitude_deg"), ("site", "time_zone"), ("climate", "file"), ("climate", "ghi_kwh_per_m2_day"),
    ("module", "voc_v"), ("battery", "units"), ("usage", "monthly_kwh"), ("backup", "tiers"), ("tariff", "kind"),
]  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(path=st.sampled_from(PATHS), value=json_values)
def test_any_value_anywhere_is_read_or_refused_politely(path, value) -> None:
    plain = request_to_dict(example_request())
    plain[path[0]][path[1]] = value
    try:
        check_request(request_from_dict(plain))
    except InputErrors as errors:
        assert errors.problems
        assert all(problem.field.startswith(path[0]) for problem in errors.problems)


def test_the_stored_schema_is_the_present_one() -> None:
    assert SCHEMA_FILE.read_text(encoding="utf-8") == schema_text()


def test_the_schema_is_sound_and_accepts_the_example() -> None:
    schema = study_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    plain = request_to_dict(example_request())
    jsonschema.validate(plain, schema)
    plain["colour"] = "red"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(plain, schema)


def test_the_schema_says_units_and_meanings() -> None:
    plane = study_schema()["$defs"]["RoofPlane"]["properties"]
    assert plane["slope_length_m"]["description"] == "From eave to ridge, measured on the roof."
    assert plane["eave_height_m"]["default"] == 3.0
