"""The report's drawings: bars as tall as their figures, silhouettes where they stand, nothing told by colour alone."""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from paperwork.draw.bill import bill_drawing
from paperwork.draw.months import months_drawing, scale_top
from paperwork.draw.ride_through import ride_through_drawing
from paperwork.draw.route_line import route_line_drawing
from paperwork.draw.sun_path import SILHOUETTE, sun_path_drawing, unrolled
from paperwork.draw.svg import ACCENT, INK, PAPER, Drawing, text_width, wrapped
from tests.paperwork import hand_made

STUDY = hand_made.as_dict(hand_made.result("hybrid"))


def rects(drawing: Drawing, fill: str) -> list[dict[str, float]]:
    found = []
    for part in drawing.parts:
        if part.startswith("<rect") and f'fill="{fill}"' in part:
            found.append({k: float(v) for k, v in re.findall(r' (x|y|width|height)="([-\d.]+)"', part)})
    return found


def luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def bars(drawing: Drawing, fill: str) -> list[dict[str, float]]:
    """The rectangles of one path: "Mx yhWvHh-WZ" each."""
    (d,) = [re.search(r' d="([^"]*)"', part)[1] for part in drawing.parts if part.startswith("<path") and fill in part]
    found = re.findall(r"M(\S+) (\S+)h(\S+?)v(\S+?)h\S+?Z", d)
    return [dict(zip(("x", "y", "width", "height"), map(float, row), strict=True)) for row in found]


def test_bars_are_as_tall_as_their_figures() -> None:
    made = [float(100 * (m + 1)) for m in range(12)]
    used = [600.0] * 12
    drawing = months_drawing(made, used)
    filled, open_bars = bars(drawing, ACCENT), bars(drawing, "#ffffff")
    assert len(filled) == len(open_bars) == 12
    per_kwh = filled[11]["height"] / 1200
    for kwh, bar in zip(made, filled, strict=True):
        assert bar["height"] == pytest.approx(kwh * per_kwh, abs=0.02)
    assert all(bar["height"] == pytest.approx(600 * per_kwh, abs=0.02) for bar in open_bars)
    assert len({round(bar["y"] + bar["height"], 1) for bar in (*filled, *open_bars)}) == 1


@pytest.mark.parametrize(
    ("largest", "top", "step"),
    [(1480, 1500, 500), (1150, 1500, 500), (999, 1000, 250), (40, 40, 10), (0, 1, 1), (2.4, 3, 1), (0.9, 1.0, 0.25)],
)
def test_axes_end_on_round_figures(largest: float, top: float, step: float) -> None:
    assert scale_top(largest) == pytest.approx((top, step))


def test_a_house_that_uses_nothing_is_drawn() -> None:
    assert months_drawing([0.0] * 12, [0.0] * 12).svg().startswith("<svg")


def test_made_and_used_differ_without_colour() -> None:
    drawing = months_drawing(list(hand_made.MADE), list(hand_made.USED))
    text = drawing.svg()
    assert "made by the panels" in text and "used by the house" in text
    assert contrast(ACCENT, PAPER) >= 4.5


def test_inks_are_legible_in_black_and_white() -> None:
    for colour in (INK, ACCENT, "#55606c"):
        assert contrast(colour, PAPER) >= 4.5, colour
    assert contrast(SILHOUETTE, PAPER) >= 2.0
    assert contrast(SILHOUETTE, INK) >= 3.0


def test_silhouettes_hide_the_arcs_that_they_shade() -> None:
    """Drawn after the arcs, so that the hidden part of a path can't be seen; labels come last."""
    parts = sun_path_drawing(STUDY["sun_path"]).parts
    arcs = [i for i, part in enumerate(parts) if f'stroke="{ACCENT}"' in part]
    shapes = [i for i, part in enumerate(parts) if f'fill="{SILHOUETTE}"' in part]
    labels = [i for i, part in enumerate(parts) if "December" in part]
    assert len(arcs) == 3 and len(shapes) == 2
    assert max(arcs) < min(shapes) < max(shapes) < min(labels)


def test_a_silhouette_stands_at_its_bearing_and_height() -> None:
    drawing = sun_path_drawing(STUDY["sun_path"], width=262, height=118)
    oak = next(part for part in drawing.parts if f'fill="{SILHOUETTE}"' in part)
    points = [tuple(map(float, pair.split())) for pair in re.findall(r"([-\d.]+ [-\d.]+)", oak)]
    top = min(points, key=lambda p: p[1])
    summer = [
        p for part in drawing.parts if f'stroke="{ACCENT}"' in part for p in re.findall(r"([-\d.]+) ([-\d.]+)", part)
    ]
    highest = min(float(y) for _, y in summer)
    bottom = 118 - 12
    # The oak's top is 46 degrees high, the sun of 21 June at latitude 35 reaches 78.4 (90 - 35 + 23.44).
    assert (bottom - top[1]) / (bottom - highest) == pytest.approx(46 / 78.44, abs=0.01)
    assert top[0] < 131


def test_an_outline_across_north_stays_in_one_piece() -> None:
    assert unrolled([(350, 0), (355, 10), (5, 10), (10, 0)]) == [(350, 0), (355, 10), (365, 10), (370, 0)]


def test_south_of_the_equator_the_view_is_to_the_north() -> None:
    northern = {
        "arcs": [["21 June", [[50, 5], [0, 30], [310, 5]]]],
        "silhouettes": [["tree", [[340, 0], [350, 20], [10, 20], [20, 0]]]],
        "hour_marks": [],
    }
    drawing = sun_path_drawing(northern, southern=True)
    assert ">N</text>" in drawing.svg() and ">S</text>" not in drawing.svg()
    assert any(f'fill="{SILHOUETTE}"' in part for part in drawing.parts)


def test_the_ride_through_falls_from_left_to_right_and_says_its_figures() -> None:
    drawing = ride_through_drawing(STUDY["ride_through"])
    assert "93 that last 3 days" in drawing.title and "22 that last 14 days" in drawing.title
    heights = [
        float(v) for part in drawing.parts if part.startswith("<circle") for v in re.findall(r'cy="([\d.]+)"', part)
    ]
    assert heights == sorted(heights)


def test_bill_and_loan_are_on_one_scale() -> None:
    drawing = bill_drawing(168, 69, 265)
    bars = [*rects(drawing, "#ffffff"), *rects(drawing, ACCENT)]
    per_usd = bars[0]["width"] / 168
    assert bars[1]["width"] == pytest.approx(69 * per_usd, abs=0.02)
    assert bars[2]["width"] == pytest.approx(265 * per_usd, abs=0.02)
    assert bars[2]["x"] == pytest.approx(bars[1]["x"] + bars[1]["width"], abs=0.02)
    assert "together $334 a month" in drawing.title


@pytest.mark.parametrize("after", [0.0, -22.0, 400.0])
def test_a_credit_or_a_dearer_bill_stays_on_the_sheet(after: float) -> None:
    for bar in rects(bill_drawing(120, after, 300), ACCENT):
        assert bar["width"] > 0 and bar["x"] + bar["width"] <= 262


def test_stage_names_keep_clear_of_each_other_in_both_languages() -> None:
    from paperwork.content.checklist_stages import STAGE_SHORT

    for spoken in (0, 1):
        for now in STAGE_SHORT:
            states = [(names[spoken], "now" if key == now else "later") for key, names in STAGE_SHORT.items()]
            drawing = route_line_drawing(states, "route")
            assert not [(a.what, b.what) for a, b in combinations(drawing.boxes, 2) if a.overlaps(b, gap=2)]
            assert all(box.x0 >= 0 and box.x1 <= drawing.width for box in drawing.boxes)


def test_text_is_measured_with_the_real_font() -> None:
    assert text_width("WWW", 10) > text_width("iii", 10) > 0
    assert text_width("ab", 20) == pytest.approx(2 * text_width("ab", 10))
    for line in wrapped("The quick brown fox jumps over the lazy dog", 7, 60):
        assert text_width(line, 7) <= 60
    assert wrapped("40\u00a0A and 240\u00a0V", 7, 30)[0] == "40\u00a0A and"


def test_what_people_typed_is_escaped_in_a_drawing() -> None:
    drawing = Drawing(50, 50, "<title> & more")
    drawing.text(1, 10, "<b>&")
    assert "&lt;b&gt;&amp;" in drawing.svg() and "<b>" not in drawing.svg()
