"""Charts and the plan of the house: what they draw is where it should be, and what was typed is only text."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from types import SimpleNamespace

import pytest

from projects.screens import charts
from projects.screens.house_from_above import corners, middle_of_plane
from projects.screens.site_plan import plan_svg


def plane(**changes):
    known = {
        "name": "South",
        "tilt_deg": 0.0,
        "azimuth_deg": 180.0,
        "width_m": 10.0,
        "slope_length_m": 4.0,
        "x_m": 0.0,
        "y_m": -2.0,
        "outline": (),
    }
    return SimpleNamespace(**(known | changes))


def tree(**changes):
    known = {
        "kind": "tree",
        "bearing_deg": 90.0,
        "distance_m": 20.0,
        "height_m": 10.0,
        "width_m": 6.0,
        "depth_m": None,
        "evergreen": False,
    }
    return SimpleNamespace(**(known | changes))


def test_a_plane_facing_south_has_its_eave_in_the_south() -> None:
    eave_left, eave_right, ridge_right, ridge_left = corners(plane())
    assert [eave_left[1], eave_right[1]] == pytest.approx([-4, -4])
    assert [ridge_left[1], ridge_right[1]] == pytest.approx([0, 0], abs=1e-9)
    assert {round(eave_left[0]), round(eave_right[0])} == {-5, 5}


def test_a_steep_plane_looks_shorter_from_above() -> None:
    # cos 60° = 1/2
    _, eave, ridge, _ = corners(plane(tilt_deg=60.0))
    assert eave[1] - ridge[1] == pytest.approx(-2)


def test_a_tree_in_the_east_is_drawn_right_of_the_house_and_to_scale() -> None:
    svg = ElementTree.fromstring(plan_svg([plane()], [tree()], unit="m"))
    circle = next(e for e in svg.iter() if e.tag == "circle" and "pl-crown" in e.get("class", ""))
    roof = next(e for e in svg.iter() if e.tag == "polygon")
    xs = [float(pair.split(",")[0]) for pair in roof.get("points").split()]
    scale = (max(xs) - min(xs)) / 10
    middle = (max(xs) + min(xs)) / 2
    assert float(circle.get("cx")) - middle == pytest.approx(20 * scale, abs=0.5)
    assert float(circle.get("r")) == pytest.approx(3 * scale, abs=0.2)


TRIANGLE = (
    {"u_m": 0.0, "v_m": 0.0, "kind": "eave"},
    {"u_m": 10.0, "v_m": 0.0, "kind": "hip"},
    {"u_m": 5.0, "v_m": 4.0, "kind": "hip"},
)


def test_a_triangle_has_three_corners_and_its_middle_a_third_up() -> None:
    drawn = plane(outline=TRIANGLE)
    assert [(round(x, 6), round(y, 6)) for x, y in corners(drawn)] == [(-5, -4), (5, -4), (0, 0)]
    assert middle_of_plane(drawn) == pytest.approx((0.0, -4 + 4 / 3))
    assert middle_of_plane(plane()) == pytest.approx((0.0, -2.0))


@pytest.mark.parametrize("southern", [False, True])
@pytest.mark.parametrize("modules", [None, {"Ground mount": 12}])
@pytest.mark.parametrize("x_m", [-6.0, -2.0, 0.0, 3.0, 8.0])
def test_a_name_never_lies_over_the_noon_sun(southern: bool, modules: dict | None, x_m: float) -> None:
    side = 1.0 if southern else -1.0
    mount = plane(
        name="Ground mount",
        y_m=18.0 * side,
        x_m=x_m,
        width_m=12.0,
        tilt_deg=38.0,
        azimuth_deg=0.0 if southern else 180.0,
    )
    root = ElementTree.fromstring(plan_svg([mount], [], modules=modules, southern=southern))
    texts = {"".join(e.itertext()): e for e in root.iter("text")}
    sun = _box(texts.pop("noon sun"))
    sun = (sun[0] - 42, sun[1], sun[2], sun[3])  # the disc and its rays stand before the words
    words = [_box(e) for text, e in texts.items() if text == "Ground mount" or "°" in text or "modules" in text]
    assert len(words) >= 2
    for box in words:
        apart = box[2] < sun[0] or sun[2] < box[0] or box[3] < sun[1] or sun[3] < box[1]
        assert apart, (box, sun)
        assert box[0] >= 0 and box[2] <= 640 and box[1] >= 0 and box[3] <= 520


def _box(text) -> tuple[float, float, float, float]:
    """Roughly: half of its size wide a character, as high as it is."""
    x, y, size = (float(text.get(name)) for name in ("x", "y", "font-size"))
    wide = 0.5 * size * len("".join(text.itertext()))
    left = x - wide / 2 if text.get("text-anchor") == "middle" else x
    return left, y - size, left + wide, y + 0.2 * size


def test_names_are_text_and_the_drawing_says_itself_in_words() -> None:
    svg = plan_svg([plane(name='<script>"x"</script>')], [], unit="ft")
    assert "<script" not in svg
    root = ElementTree.fromstring(svg)
    assert "faces 180° S" in root.get("aria-label")


@pytest.mark.parametrize("planes", [[], [plane()], [plane(width_m=0.5, slope_length_m=0.5)]])
@pytest.mark.parametrize("around", [[], [tree(distance_m=500.0, width_m=200.0)], [tree(kind="building")]])
def test_any_house_can_be_drawn_and_stays_on_the_sheet(planes, around) -> None:
    root = ElementTree.fromstring(plan_svg(planes, around, unit="ft", draft=around[0] if around else None))
    for circle in root.iter("circle"):
        assert -1 <= float(circle.get("cx")) <= 641 and -1 <= float(circle.get("cy")) <= 521


def test_bars_stand_in_the_proportion_of_their_values() -> None:
    svg = charts.paired_months([100.0] * 11 + [50.0], [0.0] * 12, solid_name="A", open_name="B", unit="kWh")
    heights = [float(h) for h in re.findall(r'height="([\d.]+)" fill="#1d2733"', svg)][:12]
    assert heights[11] == pytest.approx(heights[0] / 2, abs=0.2)


def test_grid_lines_are_round_numbers() -> None:
    for largest in (0.3, 7, 99, 1394, 52_000):
        step = charts.nice_step(largest)
        assert largest / step <= 4.001
        digits = f"{step:e}".split("e")[0].rstrip("0").rstrip(".")
        assert digits in ("1", "2", "2.5", "5")


def test_the_sun_of_the_southern_half_stands_in_the_north() -> None:
    arc = [(60.0, 0.0), (30.0, 30.0), (0.0, 45.0), (330.0, 30.0), (300.0, 0.0)]
    svg = charts.sun_path([("21 December", arc)], [], [])
    assert ">north<" in svg and ">south<" not in svg
    path = next(d for d in re.findall(r'<path d="M([\d. L]+)"[^>]*stroke-width="2.6"', svg))
    xs = [float(pair.split()[0]) for pair in path.split("L")]
    assert xs == sorted(xs) or xs == sorted(xs, reverse=True)


def test_no_drawing_carries_inline_style() -> None:
    drawn = [
        charts.paired_months([1.0] * 12, [2.0] * 12, solid_name="A", open_name="B", unit="$", level=1.5),
        charts.sun_path(
            [("21 June", [(90.0, 0.0), (180.0, 70.0), (270.0, 0.0)])],
            [("Oak", [(200.0, 0.0), (210.0, 20.0), (220.0, 0.0)])],
            [],
        ),
        charts.ride_through_curve([(6, 1.0), (24, 0.9), (72, 0.4)], 24),
        charts.charge_traces([("worst", 10, [1.0, 0.5, 0.1])]),
        charts.access_strip([0.9] * 12, name="South"),
    ]
    for svg in drawn:
        assert " style=" not in svg and ElementTree.fromstring(svg).get("role") == "img"


@pytest.mark.parametrize(("hours", "words"), [(6, "6 h"), (24, "1 day"), (36, "1.5 days"), (336, "14 days")])
def test_durations_read_as_people_say_them(hours: float, words: str) -> None:
    assert charts.duration(hours) == words
