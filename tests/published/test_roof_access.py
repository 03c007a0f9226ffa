"""Roof access of dwellings: IRC R324.6 (2018, 2021).

ACC-01, ACC-04: page text of the 2018 IRC; ACC-02: trade article of 2019 on the 18 in setback and public texts.
"""

import pytest
from tests.published.cases import case

from sizing.roof.ground import row_gap_m, sun_on_shortest_day
from sizing.structure.access import roof_access


@case("ACC-01")
def test_acc_01_two_pathways_one_toward_the_street():
    access = roof_access(0.30)
    assert (access.pathways, access.pathway_in, access.street_side) == (2, 36, 1)


@case("ACC-02")
@pytest.mark.parametrize(
    ("share", "sprinklered", "setback_in"), [(0.30, False, 18), (0.40, False, 36), (0.60, True, 18), (0.70, True, 36)]
)
def test_acc_02_ridge_setback(share, sprinklered, setback_in):
    assert roof_access(share, sprinklered=sprinklered).ridge_setback_in == setback_in


@case("ACC-04")
def test_acc_04_exemptions():
    flat, garage = roof_access(0.5, rise_in_12=2.0), roof_access(0.5, detached_nonhabitable=True)
    for access in (flat, garage):
        assert (access.pathways, access.ridge_setback_in) == (0, 0)
        assert access.exempt
    assert roof_access(0.5, rise_in_12=2.5).pathways == 2


@case("SHADE-06")
def test_shade_06_row_gap_on_the_shortest_day():
    """Duffie and Beckman eqs. 1.6.5, 1.6.6 at 40 N, 9:00 and noon solar; numbers computed from them."""
    altitude, azimuth = sun_on_shortest_day(40.0, 9.0)
    assert altitude == pytest.approx(13.95, abs=0.05)
    assert azimuth == pytest.approx(41.9, abs=0.1)
    assert row_gap_m(40.0, 1.0) == pytest.approx(2.99, abs=0.02)
    assert sun_on_shortest_day(40.0, 12.0)[0] == pytest.approx(26.55, abs=0.01)
