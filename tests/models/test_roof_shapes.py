"""Corners that follow from how a plane was measured: the same as sizing's own for hips and valleys, and by hand."""

from __future__ import annotations

import pytest

from projects.models import RoofPlane
from projects.models.roof_shape import area_m2, in_words, ring_of
from sizing.roof.outline import sloping_ends
from sizing.study.request import RoofEdge


def plane(shape: str, **measures) -> RoofPlane:
    return RoofPlane(**{"shape": shape, "width_m": 14.0, "slope_length_m": 5.0, **measures})


def edges(measured: RoofPlane) -> tuple[RoofEdge, ...]:
    return tuple(RoofEdge(**edge) for edge in measured.outline)


def test_a_rectangle_has_no_outline_of_its_own() -> None:
    assert plane("rectangle").outline == []
    assert in_words([]) == "rectangle"


@pytest.mark.parametrize(
    ("measured", "wanted"),
    [
        (plane("hip", narrow_m=6.0), sloping_ends(14, 5, "hip", 4, "hip", 4)),
        (plane("hip", narrow_m=6.0, narrow_from_left_m=1.0), sloping_ends(14, 5, "hip", 1, "hip", 7)),
        (plane("hip", narrow_m=10.0, narrow_from_left_m=0.0), sloping_ends(14, 5, "rake", 0, "hip", 4)),
        (plane("triangle"), sloping_ends(14, 5, "hip", 7, "hip", 7)),
        (plane("triangle", narrow_from_left_m=5.0), sloping_ends(14, 5, "hip", 5, "hip", 9)),
        (plane("valley_left", narrow_m=9.0), sloping_ends(14, 5, "valley", 5, "rake", 0)),
        (plane("valley_right", narrow_m=9.0), sloping_ends(14, 5, "rake", 0, "valley", 5)),
    ],
)
def test_hips_and_valleys_are_sizings(measured: RoofPlane, wanted: tuple[RoofEdge, ...]) -> None:
    measured.modules_beyond = False
    assert edges(measured) == wanted


def test_modules_beyond_are_told_of_hips_and_valleys_alone() -> None:
    told = {edge["kind"]: edge["modules_beyond"] for edge in plane("hip", narrow_m=6.0).outline}
    assert told == {"eave": False, "hip": True, "ridge": False}


L_SHAPE = [(0, 0), (10, 0), (10, 3), (6, 3), (6, 6), (0, 6)]


@pytest.mark.parametrize("turned", [False, True])
def test_edges_of_typed_corners_are_named_by_the_way_they_run(turned: bool) -> None:
    """By hand: a plane with a hip at its left, a valley at its lower right and a rake above it."""
    ring = [(0, 0), (6, 0), (9, 3), (9, 5), (4, 5)]
    kinds = {((0, 0), (6, 0)): "eave", ((6, 0), (9, 3)): "valley", ((9, 3), (9, 5)): "rake"}
    kinds |= {((9, 5), (4, 5)): "ridge", ((4, 5), (0, 0)): "hip"}
    if turned:
        ring.reverse()
        kinds = {(b, a): kind for (a, b), kind in kinds.items()}
    outline = plane("corners", corners=[{"u_m": u, "v_m": v, "kind": ""} for u, v in ring]).outline
    found = {
        ((a["u_m"], a["v_m"]), (b["u_m"], b["v_m"])): a["kind"]
        for a, b in zip(outline, [*outline[1:], outline[0]], strict=True)
    }
    assert found == kinds


def test_a_named_edge_and_a_wall_win_over_the_way_it_runs() -> None:
    corners = [{"u_m": u, "v_m": v, "kind": ""} for u, v in L_SHAPE]
    corners[2]["kind"] = "wall"
    outline = plane("corners", corners=corners).outline
    assert [edge["kind"] for edge in outline] == ["eave", "rake", "wall", "rake", "ridge", "rake"]
    beside = plane("corners", corners=corners, ridge_at_top=False).outline
    assert [edge["kind"] for edge in beside][4] == "wall"


def test_a_tapes_slip_keeps_an_eave_level() -> None:
    ring = [(0.0, 0.05), (12.0, 0.0), (12.1, 5.0), (0.0, 5.0)]
    outline = plane("corners", corners=[{"u_m": u, "v_m": v} for u, v in ring]).outline
    assert [edge["kind"] for edge in outline] == ["eave", "rake", "ridge", "rake"]


def test_areas_by_hand() -> None:
    assert area_m2(ring_of(plane("triangle"))) == pytest.approx(35.0)
    assert area_m2(ring_of(plane("hip", narrow_m=6.0))) == pytest.approx(50.0)
    assert area_m2(ring_of(plane("valley_left", narrow_m=9.0))) == pytest.approx(57.5)
    assert area_m2(L_SHAPE) == pytest.approx(48.0)


def test_shapes_in_words() -> None:
    assert in_words(plane("triangle").outline) == "3 corners, with hip"
    assert in_words(plane("valley_right", narrow_m=9.0).outline) == "4 corners, with valley"
