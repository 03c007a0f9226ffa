"""The structure sheet by hand, and what it refuses."""

from dataclasses import replace

import pytest

from sizing.errors import InputErrors
from sizing.structure.study import rail_rows
from sizing.study.request import RoofObstacle, Structure
from sizing.study.result import ModulePlace
from sizing.study.run import run_study

from .study_builders import SOUTH, plain_request

GIVEN = Structure(115.0, 10.0, -1.5, rafter_spacing_m=0.6096, wood="spruce-pine-fir")


def test_one_row_by_hand():
    request = plain_request(planes=(replace(SOUTH, modules=6),), structure=GIVEN)
    result = run_study(request)
    sheet = result.structure
    # 0.00256 x 0.85 x 0.85 x 115^2 = 24.46 psf; dead 21.5 kg / 1.9436 m2 x 0.2048 + 0.5 = 2.766 psf
    assert sheet.velocity_pressure_psf == pytest.approx(24.46, abs=0.01)
    assert sheet.dead_load_psf == pytest.approx(2.766, abs=0.001)
    # 0.6 x 24.46 x 1.5 x 1.5 - 0.6 x 2.766 = 31.36 psf; a lag 1800 x 0.42^1.5 x 0.3125^0.75 x 2.5 x 1.6 = 819 lb
    assert sheet.net_uplift_psf == pytest.approx(31.36, abs=0.02)
    assert sheet.lag_allowed_lb == pytest.approx(819, abs=1)
    assert sheet.attachment_spacing_m == pytest.approx(1.2192)  # two rafters within 1.22 m
    plane = sheet.planes[0]
    # portrait or landscape, one row of six: 6.88 m or 10.42 m, 6 or 9 bays of 1.2192 m, two rails
    assert plane.attachments == {"portrait": 14, "landscape": 20}[result.roof.planes[0].orientation]
    assert plane.uplift_lb == pytest.approx(31.36 * 6 * 1.72 * 1.13 / 0.3048**2, rel=1e-3)
    assert plane.allowed_lb > plane.uplift_lb
    assert "licensed engineer" in sheet.note


def test_no_rail_lies_across_what_is_kept_clear():
    vents = tuple(RoofObstacle("chimney", u_m=5.5, v_m=v, width_m=1.0, height_m=1.0) for v in (0.5, 2.5))
    plane = replace(SOUTH, modules=SOUTH.modules, obstacles=vents)
    result = run_study(plain_request(planes=(plane,), structure=GIVEN))
    layout, held = result.roof.planes[0], result.structure.planes[0]
    assert held.attachments == len(held.spots) > 0
    for zone in layout.keep_clear:
        for u, v in held.spots:
            across = zone.u_m + 1e-9 < u < zone.u_m + zone.width_m - 1e-9
            assert not (across and zone.v_m + 1e-9 < v < zone.v_m + zone.height_m - 1e-9), (zone.label, u, v)
    whole_rows = {place.v_m for place in layout.places}
    assert len(rail_rows(layout.places)) > len(whole_rows)


def test_a_row_ends_at_a_gap_wider_than_a_rail_bridges():
    row = [ModulePlace(u, 1.0, 1.0, 1.7) for u in (0.0, 1.02, 3.0, 4.02)]
    assert [[place.u_m for place in part] for part in rail_rows(row)] == [[0.0, 1.02], [3.0, 4.02]]
    above = ModulePlace(0.0, 2.72, 1.0, 1.7)
    assert len(rail_rows([above, *row])) == 3


def test_more_wind_never_needs_fewer_and_without_data_there_is_no_sheet():
    counts = [
        run_study(plain_request(structure=replace(GIVEN, wind_mph=mph, gcp=-3.0))).structure.planes[0].attachments
        for mph in (100.0, 150.0, 200.0)
    ]
    assert counts == sorted(counts) and counts[-1] > counts[0]
    assert run_study(plain_request()).structure is None


def test_unusable_values_are_named():
    with pytest.raises(InputErrors) as caught:
        run_study(plain_request(structure=replace(GIVEN, wind_mph=10.0, gcp=1.0)))
    assert [problem.field for problem in caught.value.problems] == ["structure.wind_mph", "structure.gcp"]
