"""Energy storage at dwellings: NFPA 855 (2023) chapter 15, IRC R328.

ESS-01: two public summaries; ESS-02: nfpa.org blog; ESS-06: from memory.
"""

import pytest

from sizing.electrical.storage import LIMIT_KWH, storage_checks
from sizing.study.request import Battery


def battery(kwh=13.5, units=1, location="attached_garage", listed=True):
    return Battery("b", kwh, 5, 5, 0.9, listed_ul9540=listed, units=units, location=location)


def passes(answer):
    return {check.key: check.passes for check in answer}


def test_ess_01_limits_per_location():
    assert LIMIT_KWH == {"utility_closet": 40, "attached_garage": 80, "detached_garage": 80, "outdoors": 80}


@pytest.mark.parametrize(
    ("location", "kwh", "units", "ok"),
    [
        ("utility_closet", 20, 2, True), ("utility_closet", 13.5, 3, False), ("attached_garage", 20, 4, True),
        ("attached_garage", 16.2, 5, False), ("outdoors", 20, 4, True), ("detached_garage", 20, 5, False),
    ],
)  # fmt: skip
def test_ess_01_aggregate(location, kwh, units, ok):
    assert passes(storage_checks(battery(kwh, units, location)))["storage.aggregate"] is ok


def test_ess_02_unit_of_25_kwh_is_not_residential():
    assert passes(storage_checks(battery(20)))["storage.unit"]
    failing = storage_checks(battery(25))
    assert not passes(failing)["storage.unit"]
    assert "commercial" in next(check.advice for check in failing if check.key == "storage.unit")


def test_ess_06_only_a_ul_9540_listing_passes():
    assert passes(storage_checks(battery(listed=True)))["storage.listing"]
    failing = next(check for check in storage_checks(battery(listed=False)) if check.key == "storage.listing")
    assert not failing.passes
    assert "UL 1973" in failing.advice and "9540A" in failing.advice
