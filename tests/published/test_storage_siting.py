"""Energy storage at dwellings: NFPA 855 (2023) chapter 15, IRC R328.

ESS-01: two public summaries; ESS-02: nfpa.org blog; ESS-04: a public training page; ESS-06: from
memory.
"""

from dataclasses import replace

import pytest

from sizing.electrical.storage import LIMIT_KWH, storage_checks
from sizing.study.request import Battery
from tests.published.cases import case


def battery(kwh=13.5, units=1, location="attached_garage", listed=True):
    return Battery("b", kwh, 5, 5, 0.9, listed_ul9540=listed, units=units, location=location)


def passes(answer):
    return {check.key: check.passes for check in answer}


@case("ESS-01")
def test_ess_01_limits_per_location():
    assert LIMIT_KWH == {"utility_closet": 40, "attached_garage": 80, "detached_garage": 80, "outdoors": 80}


@case("ESS-01")
@pytest.mark.parametrize(
    ("location", "kwh", "units", "ok"),
    [
        ("utility_closet", 20, 2, True), ("utility_closet", 13.5, 3, False), ("attached_garage", 20, 4, True),
        ("attached_garage", 16.2, 5, False), ("outdoors", 20, 4, True), ("detached_garage", 20, 5, False),
    ],
)  # fmt: skip
def test_ess_01_aggregate(location, kwh, units, ok):
    assert passes(storage_checks(battery(kwh, units, location)))["storage.aggregate"] is ok


@case("ESS-02")
def test_ess_02_unit_of_25_kwh_is_not_residential():
    assert passes(storage_checks(battery(20)))["storage.unit"]
    failing = storage_checks(battery(25))
    assert not passes(failing)["storage.unit"]
    assert "commercial" in next(check.advice for check in failing if check.key == "storage.unit")


@case("ESS-06")
def test_ess_06_only_a_ul_9540_listing_passes():
    assert passes(storage_checks(battery(listed=True)))["storage.listing"]
    failing = next(check for check in storage_checks(battery(listed=False)) if check.key == "storage.listing")
    assert not failing.passes
    assert "UL 1973" in failing.advice and "9540A" in failing.advice


@case("ESS-04")
@pytest.mark.parametrize(("gap_ft", "ok"), [(3.0, True), (2.9, False)])
def test_ess_04_three_feet_between_units_and_from_openings(gap_ft, ok):
    two = replace(battery(units=2, location="outdoors"), unit_gap_m=gap_ft * 0.3048, opening_gap_m=gap_ft * 0.3048)
    found = passes(storage_checks(two))
    assert (found["storage.spacing"], found["storage.openings"]) == (ok, ok)


@case("ESS-04")
def test_ess_04_a_fire_test_moves_units_together_but_no_window():
    close = replace(battery(units=2, location="outdoors"), unit_gap_m=0.3, opening_gap_m=0.3, fire_tested_close=True)
    found = passes(storage_checks(close))
    assert (found["storage.spacing"], found["storage.openings"]) == (True, False)


def test_spacing_says_nothing_of_what_was_not_measured_or_does_not_arise():
    assert "storage.spacing" not in passes(storage_checks(battery(units=2)))
    assert "storage.spacing" not in passes(storage_checks(replace(battery(), unit_gap_m=0.1)))
    assert "storage.openings" not in passes(storage_checks(replace(battery(), opening_gap_m=0.1)))


@case("ESS-07")
@pytest.mark.parametrize("location", ["attached_garage", "detached_garage", "outdoors"])
def test_ess_07_where_a_vehicle_can_hit_it_stands_a_barrier(location):
    """IRC R328.8 (2021), from memory: storage subject to vehicle damage is protected by approved barriers."""
    found = passes(storage_checks(replace(battery(location=location), vehicle_guarded=True)))
    assert found["storage.impact"]
    failing = storage_checks(replace(battery(location=location), vehicle_guarded=False))
    assert not passes(failing)["storage.impact"]
    assert "barrier" in next(check.advice for check in failing if check.key == "storage.impact")
    assert "storage.impact" not in passes(storage_checks(battery(location=location)))
