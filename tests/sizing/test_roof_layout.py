"""Modules on planes: counts by hand, nothing on a zone that stays free, more room never holds fewer."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.errors import InputErrors
from sizing.roof import study_roof
from sizing.roof.pack import Rect, pack
from sizing.study.example import example_request
from sizing.study.request import AccessRules, RoofObstacle, RoofPlane
from sizing.study.run import run_study

INCH = 0.0254
GABLE = RoofPlane("South", 30.0, 180.0, width_m=12.0, slope_length_m=5.0, modules=10)


def layout(plane=GABLE, **rules):
    request = example_request()
    roof = replace(request, planes=(plane,), strings=(), access=AccessRules(**rules))
    module = replace(request.module, length_m=1.70, width_m=1.10)
    return study_roof(replace(roof, module=module))


def test_a_bare_rectangle_by_hand():
    # 10 m / 1.12 m: 8 in a row; 5 m / 1.72 m: 2 rows, in landscape 10 / 1.72: 5 and 5 / 1.12: 4 rows
    assert len(pack(Rect(0, 0, 10, 5), (), 1.10, 1.70, 0.02)) == 16
    assert len(pack(Rect(0, 0, 10, 5), (), 1.70, 1.10, 0.02)) == 20


def test_pathway_and_ridge_leave_what_is_left():
    # 12 - 0.9144 = 11.0856 m: 9 across in portrait; 5 - 0.4572 = 4.5428 m: 2 rows; landscape 6 across, 4 rows
    result, working, _ = layout()
    plane = result.planes[0]
    assert result.array_share_of_plan == pytest.approx(10 * 1.7 * 1.1 / 60)
    assert (result.ridge_setback_m, result.pathway_m) == (pytest.approx(18 * INCH), pytest.approx(36 * INCH))
    assert (plane.orientation, plane.room_for, plane.fits, len(plane.places)) == ("landscape", 24, True, 10)
    assert {line.key for line in working} == {"roof.array_share", "roof.0.room"}


def test_above_a_third_of_the_roof_the_ridge_needs_twice_as_much():
    result, _, warnings = layout(replace(GABLE, modules=22))  # 41 m2 of 60 m2
    assert result.ridge_setback_m == pytest.approx(36 * INCH)
    assert (result.planes[0].room_for, result.planes[0].fits) == (18, False)  # 4.0856 m: 3 landscape rows or 2 portrait
    assert warnings and not result.checks[0].passes
    whole_roof, *_ = layout(replace(GABLE, modules=22), roof_plan_area_m2=160.0)
    assert whole_roof.ridge_setback_m == pytest.approx(18 * INCH) and whole_roof.planes[0].fits


def test_editions_slopes_and_ground():
    assert len([z for z in layout(edition="2015")[0].planes[0].keep_clear if "pathway" in z.label]) == 2
    assert layout(edition="2015")[0].ridge_setback_m == pytest.approx(36 * INCH)
    for free in (replace(GABLE, tilt_deg=9.0), replace(GABLE, mounting="ground")):
        assert layout(free)[0].planes[0].keep_clear == ()
    shed = layout(replace(GABLE, ridge_at_top=False, pathway="elsewhere"))[0]
    assert shed.planes[0].keep_clear == ()
    ground = layout(replace(GABLE, mounting="ground"))[1]
    assert any(line.key == "roof.0.row_gap" for line in ground)


def test_an_escape_window_keeps_the_roof_below_it_free():
    window = RoofObstacle("escape_window", 4.0, 3.0, 1.0, 1.0, 0.0)
    plane = layout(replace(GABLE, obstacles=(window,)))[0].planes[0]
    zone = next(zone for zone in plane.keep_clear if zone.label == "escape window")
    assert (zone.v_m, zone.height_m) == (0.0, 4.0)


@given(
    width=st.floats(3, 20),
    slope=st.floats(2, 9),
    u=st.floats(0, 15),
    v=st.floats(0, 6),
    size=st.floats(0.1, 2),
    edition=st.sampled_from(["2015", "2018", "2021"]),
    modules=st.integers(0, 40),
)
@settings(max_examples=60, deadline=None)
def test_modules_lie_on_the_plane_apart_and_off_every_free_zone(width, slope, u, v, size, edition, modules):
    plane = replace(
        GABLE,
        width_m=width,
        slope_length_m=slope,
        modules=modules,
        obstacles=(RoofObstacle("chimney", u, v, size, size),),
    )
    placed = layout(plane, edition=edition)[0].planes[0]
    rects = [Rect(p.u_m, p.v_m, p.width_m, p.height_m) for p in placed.places]
    zones = [Rect(z.u_m, z.v_m, z.width_m, z.height_m) for z in placed.keep_clear if z.width_m > 0 and z.height_m > 0]
    assert len(rects) == min(modules, placed.room_for)
    for i, rect in enumerate(rects):
        assert rect.u_m >= -1e-6 and rect.v_m >= -1e-6
        assert rect.right_m <= width + 1e-5 and rect.top_m <= slope + 1e-5
        assert not any(rect.overlaps(zone) for zone in zones)
        assert not any(rect.overlaps(other) for other in rects[:i])
    without = layout(replace(plane, obstacles=()), edition=edition)[0].planes[0]
    assert without.room_for >= placed.room_for


def test_the_study_carries_the_layout_and_names_a_chimney_off_the_roof():
    result = run_study(example_request())
    assert result.roof is not None and [plane.name for plane in result.roof.planes] == [
        "South roof",
        "Garage roof, west",
    ]
    plane = replace(example_request().planes[0], obstacles=(RoofObstacle("vent", 40.0, 1.0, 0.2, 0.2),))
    with pytest.raises(InputErrors) as caught:
        run_study(replace(example_request(), planes=(plane,), strings=()))
    assert [problem.field for problem in caught.value.problems] == ["planes[0].obstacles[0].u_m"]
