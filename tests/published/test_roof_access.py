"""Roof access of dwellings: IRC R324.6 (2018, 2021).

ACC-01, ACC-04: page text of the 2018 IRC; ACC-02: trade article of 2019 on the 18 in setback and public texts; ACC-03:
page text of IFC 605.11 (2012, 2015); ACC-05: the same from memory, the width also on a trade page.
"""

from dataclasses import replace

import pytest

from sizing.roof.clear import access_of_plane, hip_valley_m, keep_clear
from sizing.roof.ground import row_gap_m, sun_on_shortest_day
from sizing.roof.outline import Edge, sloping_ends
from sizing.structure.access import roof_access
from sizing.study.request import AccessRules, RoofPlane
from tests.published.cases import case


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


def hipped(**change):
    plane = RoofPlane("Hipped", 30.0, 180.0, 14.0, 5.0, modules=6, outline=sloping_ends(14, 5, "hip", 4, "hip", 4))
    return replace(plane, **change)


@case("ACC-03")
def test_acc_03_one_pathway_from_eave_to_ridge_on_each_hipped_slope():
    rules = AccessRules(edition="2015")
    paths = [zone.rect for zone in keep_clear(hipped(), rules, 0.1) if "pathway" in zone.label]
    assert [(path.v_m, path.height_m, round(path.width_m / 0.3048, 6)) for path in paths] == [(0.0, 5.0, 3.0)]
    gable = [zone for zone in keep_clear(hipped(outline=()), rules, 0.1) if "pathway" in zone.label]
    assert len(gable) == 2


@case("ACC-05")
@pytest.mark.parametrize(("both_sides", "inches"), [(True, 18.0), (False, 0.0)])
def test_acc_05_hips_and_valleys_with_modules_on_both_sides(both_sides, inches):
    rules = AccessRules(edition="2015")
    access = access_of_plane(hipped(), rules, 0.1)
    for kind in ("hip", "valley"):
        edge = Edge((14.0, 0.0), (10.0, 5.0), kind, both_sides)
        assert hip_valley_m(edge, rules, access) / 0.0254 == pytest.approx(inches)
