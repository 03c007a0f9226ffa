"""The roof plan: every module once, inside its plane, at the scale that it says."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest

from paperwork.content.roof_plan import bare, carrying
from paperwork.draw.outlines import depth_of_overlap, middle
from paperwork.draw.roof import POINTS_PER_M, PlanePlan, RoofDrawing, Spot, footprint, on_ground, roof_drawing
from paperwork.issue import issue_paper
from projects.models import OfficeProfile, Person, RoofPlane
from sizing.study.codec import result_to_dict
from tests import factories
from tests.paperwork.reading import reader, text_of
from tests.paperwork.study_facts import example_result, study_facts

SOUTH = {
    "name": "South",
    "tilt_deg": 0.0,
    "azimuth_deg": 180.0,
    "width_m": 10.0,
    "slope_length_m": 4.0,
    "x_m": 0.0,
    "y_m": 0.0,
}


def test_left_of_the_eave_is_left_as_one_faces_the_roof() -> None:
    """A roof facing south is faced looking north: its eave's left end is in the south-west."""
    assert on_ground(SOUTH, 0.0, 0.0) == pytest.approx((-5.0, -2.0))
    assert on_ground(SOUTH, 10.0, 4.0) == pytest.approx((5.0, 2.0))
    west = {**SOUTH, "azimuth_deg": 270.0}
    # Faced looking east: left is north, the eave in the west.
    assert on_ground(west, 0.0, 0.0) == pytest.approx((-2.0, 5.0))


def test_a_slope_seen_from_above_is_shorter_by_the_cosine() -> None:
    steep = {**SOUTH, "tilt_deg": 60.0}
    eave, ridge = on_ground(steep, 5.0, 0.0), on_ground(steep, 5.0, 4.0)
    assert math.dist(eave, ridge) == pytest.approx(4.0 * 0.5)


def test_what_is_drawn_has_the_scale_that_it_says() -> None:
    spot = Spot(1.0, 1.0, 1.2, 1.8)
    drawn = roof_drawing([PlanePlan("South", {**SOUTH, "modules": 1}, [spot])], [], 690.0, 322.0)
    paths = [part for part in drawn.drawing.parts if part.startswith("<path") and 'stroke-width="0.7"' in part]
    assert len(paths) == 1
    numbers = paths[0].split('d="M')[1].split("Z")[0].split("L")
    (x0, y0), (x1, y1) = (tuple(map(float, pair.split())) for pair in numbers[:2])
    assert math.dist((x0, y0), (x1, y1)) == pytest.approx(1.2 * POINTS_PER_M / drawn.scale, abs=0.02)


def test_every_module_lies_where_the_study_laid_it_inside_its_plane_and_clear_of_what_stays_free() -> None:
    plain = result_to_dict(example_result())
    plans = carrying(study_facts(roof_layout=plain["roof"]))
    laid = {plane["name"]: min(plane["modules"], plane["room_for"]) for plane in plain["roof"]["planes"]}
    assert {plan.name: len(plan.spots) for plan in plans} == laid and sum(laid.values()) > 20
    for plan in plans:
        rectangles = [(s.along_m, s.up_m, s.along_m + s.wide_m, s.up_m + s.tall_m) for s in plan.spots]
        for x0, y0, x1, y1 in rectangles:
            assert x0 >= -1e-9 and x1 <= plan.plane["width_m"] + 1e-9
            assert y0 >= -1e-9 and y1 <= plan.plane["slope_length_m"] + 1e-9
        free = [(z.along_m, z.up_m, z.along_m + z.wide_m, z.up_m + z.tall_m) for _, z in plan.clear]
        for at, a in enumerate(rectangles):
            for b in [*rectangles[at + 1 :], *free]:
                apart = a[2] <= b[0] + 1e-9 or b[2] <= a[0] + 1e-9 or a[3] <= b[1] + 1e-9 or b[3] <= a[1] + 1e-9
                assert apart


@pytest.mark.django_db
@pytest.mark.parametrize("kind", ["grid_tied", "hybrid", "off_grid"])
def test_a_jobs_roof_plan_is_one_sheet_with_scale_and_north(firm: OfficeProfile, office: Person, kind: str) -> None:
    job = factories.job_at("permits", kind)
    issued = issue_paper(job=job, kind="roof_plan", actor=office)
    assert issued.number == f"{job.label}-RP-1" and issued.pages == 1
    assert sum(len(plan.spots) for plan in carrying(issued.facts)) == 16
    text = text_of(bytes(issued.content))
    for part in ("Roof plan", "South roof", "16 modules", "39.4 ft (12 m)", "not certified"):
        assert part in text, part
    page = reader(bytes(issued.content)).pages[0]
    assert float(page.mediabox.width) > float(page.mediabox.height)
    assert f"Kept clear as {issued.facts['roof_layout']['code']} asks" in text


TRIANGLE = {
    **SOUTH,
    "modules": 0,
    "outline": [
        {"u_m": 0.0, "v_m": 0.0, "kind": "eave"},
        {"u_m": 10.0, "v_m": 0.0, "kind": "hip"},
        {"u_m": 5.0, "v_m": 4.0, "kind": "hip"},
    ],
}


def lines_of(drawn: RoofDrawing, width: str) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    found = [
        re.findall(r'(?:x1|y1|x2|y2)="([\d.]+)"', part) for part in drawn.drawing.parts if part.startswith("<line")
    ]
    wide = [part for part in drawn.drawing.parts if part.startswith("<line")]
    return [
        ((float(a), float(b)), (float(c), float(d)))
        for (a, b, c, d), part in zip(found, wide, strict=True)
        if f'stroke-width="{width}"' in part
    ]


def test_a_triangle_is_drawn_by_its_own_edges() -> None:
    drawn = roof_drawing([PlanePlan("Hip end", TRIANGLE, [])], [], 690.0, 322.0)
    k = POINTS_PER_M / drawn.scale
    [eave] = lines_of(drawn, "2.6")
    assert math.dist(*eave) == pytest.approx(10.0 * k, abs=0.02)
    hips = lines_of(drawn, "1.3")
    assert [math.dist(*hip) for hip in hips] == pytest.approx([math.hypot(5, 4) * k] * 2, abs=0.02)
    assert sum(">hip<" in part for part in drawn.drawing.parts) == 2


def test_a_wall_is_drawn_as_deep_as_it_is() -> None:
    wall = {"kind": "building", "bearing_deg": 90.0, "distance_m": 6.0, "width_m": 8.0, "depth_m": 0.4, "height_m": 3.0}
    assert sorted({round(x, 6) for x, _ in footprint(wall)}) == [5.8, 6.2]
    assert sorted({round(y, 6) for _, y in footprint(wall)}) == [-4.0, 4.0]
    chimney = {**wall, "depth_m": None, "width_m": 1.0, "bearing_deg": 0.0}
    assert sorted({round(y, 6) for _, y in footprint(chimney)}) == [5.5, 6.5]
    drawn = roof_drawing([PlanePlan("South", {**SOUTH, "modules": 1}, [])], [wall], 690.0, 322.0)
    k = POINTS_PER_M / drawn.scale
    ring = next(part for part in drawn.drawing.parts if part.startswith("<path") and 'fill="#ffffff"' in part)
    spots = [tuple(map(float, pair.split())) for pair in ring.split('d="M')[1].split("Z")[0].split("L")]
    sides = sorted(math.dist(a, b) for a, b in pairwise(spots))
    assert sides[0] == pytest.approx(0.4 * k, abs=0.02) and sides[-1] == pytest.approx(8.0 * k, abs=0.02)


HIPPED = {
    **SOUTH,
    "modules": 2,
    "y_m": -2.0,
    "outline": [
        {"u_m": 0.0, "v_m": 0.0, "kind": "eave"},
        {"u_m": 10.0, "v_m": 0.0, "kind": "hip"},
        {"u_m": 6.0, "v_m": 4.0, "kind": "ridge"},
        {"u_m": 4.0, "v_m": 4.0, "kind": "hip"},
    ],
}
"""Of a house 10 m by 8 m; the east end's triangle stands on its own side, 8 m long and 4 m deep."""
EAST_END = {
    "name": "E end",
    "tilt_deg": 0.0,
    "azimuth_deg": 90.0,
    "width_m": 8.0,
    "slope_length_m": 4.0,
    "x_m": 3.0,
    "y_m": 0.0,
    "modules": 0,
    "ridge_at_top": True,
    "outline": [
        {"u_m": 0.0, "v_m": 0.0, "kind": "eave"},
        {"u_m": 8.0, "v_m": 0.0, "kind": "hip"},
        {"u_m": 4.0, "v_m": 4.0, "kind": "hip"},
    ],
}
NORTH = {**SOUTH, "name": "North roof", "modules": 0, "azimuth_deg": 0.0, "y_m": 4.0, "ridge_at_top": True}


def test_a_plane_without_modules_is_an_outline_with_its_name_and_pitch_inside() -> None:
    drawn = roof_drawing(
        [PlanePlan("South", HIPPED, [Spot(4, 1, 1, 2)]), PlanePlan("E end", EAST_END, [])], [], 690, 322
    )
    text = "".join(drawn.drawing.parts)
    assert ">E end<" in text and ">0°, bare<" in text and "E end, bare" in drawn.drawing.title
    # Two eaves; the hip that the planes share is drawn once and named once, each plane's other hip as well.
    k = POINTS_PER_M / drawn.scale
    assert sorted(round(math.dist(*eave) / k, 2) for eave in lines_of(drawn, "2.6")) == [8.0, 10.0]
    hips = [part for part in drawn.drawing.parts if "9 2 2 2" in part]
    assert len(hips) == 3 and text.count(">hip<") == 3


def test_names_stand_clear_of_modules_where_another_plane_lies_beyond_the_ridge() -> None:
    south = {**SOUTH, "modules": 1}
    spot = Spot(0.2, 0.2, 9.6, 3.6)
    drawn = roof_drawing([PlanePlan("South", south, [spot]), PlanePlan("North roof", NORTH, [])], [], 690, 322)
    [module] = [part for part in drawn.drawing.parts if part.startswith("<path") and 'stroke-width="0.7"' in part]
    ring = [tuple(map(float, pair.split())) for pair in module.split('d="M')[1].split("Z")[0].split("L")]
    top, bottom = min(y for _, y in ring), max(y for _, y in ring)
    said = re.findall(r'<text x="[^"]+" y="([^"]+)"[^>]*>([^<]+)<', "".join(drawn.drawing.parts))
    places = {words: float(y) for y, words in said}
    assert places["South"] > bottom and places["North roof"] < top


def test_planes_whose_place_nobody_recorded_are_listed_and_not_drawn_over_one_another() -> None:
    beside, upon = {**NORTH, "name": "North roof"}, {**NORTH, "name": "Porch", "y_m": 0.0}
    plans = [PlanePlan("South", {**SOUTH, "modules": 1}, [])]
    placed, loose = bare({"bare_planes": [beside, upon]}, plans)
    assert [plan.name for plan in placed] == ["North roof"] and [plan.name for plan in loose] == ["Porch"]
    assert bare({}, plans) == ([], [])


def test_how_far_outlines_reach_into_one_another() -> None:
    square = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]
    assert depth_of_overlap(square, [(x + 2.0, y) for x, y in square]) == 0.0
    assert depth_of_overlap(square, [(x + 1.5, y) for x, y in square]) == pytest.approx(0.5)
    assert depth_of_overlap(square, square) == pytest.approx(2.0)
    assert middle([(0.0, 0.0), (3.0, 0.0), (0.0, 3.0)]) == pytest.approx((1.0, 1.0))
    assert middle([(0.0, 0.0), (2.0, 0.0)]) == pytest.approx((1.0, 0.0))


@pytest.mark.django_db
def test_the_rest_of_the_roof_is_on_a_jobs_plan(firm: OfficeProfile, office: Person) -> None:
    job = factories.job_at("permits", "hybrid")
    [south] = job.site.roof_planes.all()
    RoofPlane.objects.create(
        site=job.site,
        name="North roof",
        tilt_deg=south.tilt_deg,
        azimuth_deg=0.0,
        width_m=south.width_m,
        slope_length_m=south.slope_length_m,
        x_m=south.x_m,
        y_m=south.y_m + 20,
        order=9,
    )
    issued = issue_paper(job=job, kind="roof_plan", actor=office)
    assert issued.pages == 1 and [plane["name"] for plane in issued.facts["bare_planes"]] == ["North roof"]
    text = text_of(bytes(issued.content))
    assert "North roof" in text and "bare" in text and "all of it, no modules" in text
