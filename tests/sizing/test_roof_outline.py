"""Hips and valleys: counts by hand, and every module inside the outline and far enough from each hip and valley."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.errors import InputErrors
from sizing.roof import study_roof
from sizing.roof.outline import corners_of, signed_area_m2, slope_area_m2, sloping_ends, within
from sizing.study.codec import request_from_dict, request_to_dict
from sizing.study.example import example_request
from sizing.study.request import AccessRules, RoofEdge, RoofPlane
from sizing.study.validate import check_request
from sizing.sun.shade import plane_points

TRIANGLE = RoofPlane(
    "Hip end", 30.0, 180.0, 10.0, 5.0, modules=4, pathway="elsewhere", outline=sloping_ends(10, 5, "hip", 5, "hip", 5)
)
HIPPED = replace(TRIANGLE, name="Hipped front", width_m=14.0, outline=sloping_ends(14, 5, "hip", 4, "hip", 4))
SETBACK_18_IN_M = 18 * 0.0254


def request_for(plane, **rules):
    request = example_request()
    module = replace(request.module, length_m=1.70, width_m=1.10)
    return replace(request, planes=(plane,), strings=(), module=module, access=AccessRules(**rules))


def room(plane, **rules):
    return study_roof(request_for(plane, **rules))[0].planes[0]


def beyond(plane):
    return replace(plane, outline=tuple(replace(edge, modules_beyond=True) for edge in plane.outline))


def test_a_triangle_between_hips_by_hand():
    # landscape rows of 1.10 m: 7.80, 5.56 and 3.32 m wide at their tops: 4 + 3 + 1; portrait 6.60 and 3.16 m: 5 + 2
    plane = room(TRIANGLE)
    assert (plane.orientation, plane.room_for) == ("landscape", 8)
    assert plane.keep_clear == ()
    assert slope_area_m2(TRIANGLE) == pytest.approx(25.0)


def test_eighteen_inches_beside_both_hips_by_hand():
    # hips at 45 degrees: 0.4572 x sqrt 2 off each end: 6.51, 4.27 and 2.03 m: 3 + 2 + 1; portrait 5.31, 1.87: 4 + 1
    plane = room(beyond(TRIANGLE), edition="2015")
    assert (plane.orientation, plane.room_for) == ("landscape", 6)
    assert {zone.label for zone in plane.keep_clear} == {"18 in beside the hip"}


def test_a_triangle_between_valleys_is_filled_from_its_ridge_down():
    # 18 in below the ridge; rows hang from 4.5428 m: landscape 6.89, 4.65, 2.41 m: 4 + 2 + 1; portrait 5.69 and 2.25 m:
    # 5 + 2
    valleys = replace(TRIANGLE, outline=sloping_ends(10, 5, "valley", 5, "valley", 5))
    plane = room(valleys)
    assert (plane.orientation, plane.room_for) == ("portrait", 7)


def test_who_asks_for_room_at_hips_and_valleys():
    """2015: with modules on both sides; later editions don't; a jurisdiction's own figure always; never at 2:12."""
    alone, shared = room(HIPPED, edition="2015"), room(beyond(HIPPED), edition="2015")
    labels = {zone.label for zone in shared.keep_clear}
    assert "18 in beside the hip" in labels
    assert not any("hip" in zone.label for zone in alone.keep_clear)
    assert shared.room_for < alone.room_for
    for edition in ("2018", "2021", "2024"):
        assert not any("hip" in zone.label for zone in room(beyond(HIPPED), edition=edition).keep_clear)
    own = room(HIPPED, edition="2021", hip_valley_setback_m=36 * 0.0254)
    assert "36 in beside the hip" in {zone.label for zone in own.keep_clear}
    assert room(replace(beyond(HIPPED), tilt_deg=9.0), edition="2015").keep_clear == ()


def test_the_pathway_of_a_hipped_plane_reaches_its_ridge():
    clear = room(replace(HIPPED, pathway="right"), edition="2021").keep_clear
    path = next(zone for zone in clear if "pathway" in zone.label)
    assert path.u_m + path.width_m == pytest.approx(10.0)  # the ridge runs from 4 to 10 m
    assert path.width_m == pytest.approx(36 * 0.0254)
    assert (path.v_m, path.height_m) == (0.0, 5.0)
    point = next(z for z in room(replace(TRIANGLE, pathway="left")).keep_clear if "pathway" in z.label)
    assert point.u_m + point.width_m / 2 == pytest.approx(5.0)


def test_an_outline_measured_the_other_way_round_is_the_same_plane():
    ring = TRIANGLE.outline
    corners = [(edge.u_m, edge.v_m) for edge in ring]
    kinds = [edge.kind for edge in ring]
    turned = tuple(RoofEdge(*corners[i], kinds[(i - 1) % len(ring)]) for i in range(len(ring) - 1, -1, -1))
    assert room(replace(TRIANGLE, outline=turned)).room_for == 8
    assert signed_area_m2(corners_of(replace(TRIANGLE, outline=turned))) == pytest.approx(25.0)


def test_a_rectangle_drawn_as_an_outline_holds_as_much_as_the_rectangle():
    plain = replace(TRIANGLE, outline=(), width_m=12.0)
    drawn = replace(plain, outline=sloping_ends(12, 5))
    for rules in ({}, {"edition": "2015"}, {"edge_margin_m": 0.3}):
        assert room(drawn, **rules).room_for == room(plain, **rules).room_for


def test_samples_of_light_lie_within_the_outline():
    points = plane_points(TRIANGLE)
    assert 50 < len(points) < 100  # half of 144
    rise = (points[:, 2] - TRIANGLE.eave_height_m) / np.sin(np.radians(30.0))
    assert np.all(np.abs(points[:, 0]) <= 5.0 * (1 - rise / 5.0) + 1e-9)


def test_the_part_of_a_square_that_a_strip_covers():
    square = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
    part = within(square, ((-1.0, 1.0), (9.0, 1.0), (9.0, 2.0), (-1.0, 2.0)))
    assert signed_area_m2(part) == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("outline", "field"),
    [
        ((RoofEdge(0, 0, "eave"), RoofEdge(9, 0, "rake")), "planes[0].outline"),
        ((RoofEdge(0, 0, "eave"), RoofEdge(11, 0, "hip"), RoofEdge(5, 5, "hip")), "planes[0].outline[1].u_m"),
        ((RoofEdge(0, 0, "eave"), RoofEdge(9, 0, "gable"), RoofEdge(5, 5, "hip")), "planes[0].outline[1].kind"),
        (
            (RoofEdge(0, 0, "eave"), RoofEdge(10, 5, "rake"), RoofEdge(10, 0, "ridge"), RoofEdge(0, 5, "rake")),
            "planes[0].outline",
        ),
        ((RoofEdge(0, 0, "eave"), RoofEdge(0, 0, "hip"), RoofEdge(5, 5, "hip")), "planes[0].outline[0]"),
    ],
)
def test_an_outline_that_can_not_be_is_named(outline, field):
    with pytest.raises(InputErrors) as caught:
        check_request(request_for(replace(TRIANGLE, outline=outline)))
    assert field in [problem.field for problem in caught.value.problems]


def test_more_modules_than_the_outline_has_room_for_are_named():
    with pytest.raises(InputErrors) as caught:
        check_request(request_for(replace(TRIANGLE, modules=20)))
    assert [problem.field for problem in caught.value.problems] == ["planes[0].modules"]


def test_an_outline_survives_json():
    request = request_for(beyond(HIPPED), hip_valley_setback_m=0.5)
    assert request_from_dict(request_to_dict(request)) == request


def distance_m(rect, a, b) -> float:
    """From a rectangle to a segment, by points along both: no shorter than the true one by more than 1 mm."""
    along = np.linspace(0, 1, 400)[:, None]
    line = np.array(a) + along * (np.array(b) - np.array(a))
    u = np.clip(line[:, 0], rect.u_m, rect.u_m + rect.width_m)
    v = np.clip(line[:, 1], rect.v_m, rect.v_m + rect.height_m)
    return float(np.hypot(line[:, 0] - u, line[:, 1] - v).min())


def winding(corners, u, v) -> int:
    turns = 0
    for (ua, va), (ub, vb) in zip(corners, [*corners[1:], corners[0]], strict=True):
        left = (ub - ua) * (v - va) - (u - ua) * (vb - va)
        turns += int(va <= v < vb and left > 0) - int(vb <= v < va and left < 0)
    return turns


@given(
    width=st.floats(6, 18),
    slope=st.floats(3, 8),
    kinds=st.tuples(st.sampled_from(["hip", "valley"]), st.sampled_from(["hip", "valley", "rake"])),
    leans=st.tuples(st.floats(0.2, 2.9), st.floats(0.2, 2.9)),
    pathway=st.sampled_from(["left", "right", "both", "elsewhere"]),
    share=st.sampled_from([5, 30]),
)
@settings(max_examples=60, deadline=None)
def test_modules_lie_within_the_outline_and_keep_off_its_hips_and_valleys(width, slope, kinds, leans, pathway, share):
    outline = sloping_ends(width, slope, kinds[0], leans[0], kinds[1], leans[1], left_beyond=True, right_beyond=True)
    plane = RoofPlane("P", 30.0, 180.0, width, slope, modules=share, pathway=pathway, outline=outline)
    placed = room(plane, edition="2015")
    corners = corners_of(plane)
    for i, place in enumerate(placed.places):
        for u in (place.u_m + 1e-6, place.u_m + place.width_m / 2, place.u_m + place.width_m - 1e-6):
            for v in (place.v_m + 1e-6, place.v_m + place.height_m - 1e-6):
                assert winding(corners, u, v) == 1
        for a, b in zip(outline, [*outline[1:], outline[0]], strict=True):
            if a.kind in ("hip", "valley"):
                assert distance_m(place, (a.u_m, a.v_m), (b.u_m, b.v_m)) >= SETBACK_18_IN_M - 1e-6
        for other in placed.places[:i]:
            apart_u = max(place.u_m, other.u_m) - min(place.u_m + place.width_m, other.u_m + other.width_m)
            apart_v = max(place.v_m, other.v_m) - min(place.v_m + place.height_m, other.v_m + other.height_m)
            assert max(apart_u, apart_v) > -1e-6
    one_side = replace(plane, outline=tuple(replace(edge, modules_beyond=False) for edge in outline))
    assert room(one_side, edition="2015").room_for >= placed.room_for


def test_around_an_inner_corner_nothing_lies_across_the_valley():
    """An L: the wing's valley cuts in from the eave; the outline is not convex."""
    ring = (
        RoofEdge(0, 0, "eave"), RoofEdge(5, 0, "valley"), RoofEdge(8, 3, "eave"), RoofEdge(12, 3, "rake"),
        RoofEdge(12, 6, "ridge"), RoofEdge(0, 6, "rake"),
    )  # fmt: skip
    plane = RoofPlane("L", 30.0, 180.0, 12.0, 6.0, modules=20, pathway="left", outline=ring)
    placed = room(plane)
    assert len(placed.places) == placed.room_for == 15
    corners = corners_of(plane)
    for place in placed.places:
        points = np.stack(
            np.meshgrid(
                np.linspace(place.u_m + 1e-6, place.u_m + place.width_m - 1e-6, 9),
                np.linspace(place.v_m + 1e-6, place.v_m + place.height_m - 1e-6, 9),
            ),
            -1,
        ).reshape(-1, 2)
        assert all(winding(corners, u, v) == 1 for u, v in points)
