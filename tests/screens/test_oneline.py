"""The progress drawing: what it says must follow from the gates, in every shape."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from projects.route.standing_types import Gate, GateState, Standing
from projects.screens.oneline import oneline_small, oneline_tall, oneline_wide
from projects.screens.oneline.pen import BUS, LAMP, LIVE, wrap

STAGES = (
    ("lead", "Lead"),
    ("site_assessment", "Site assessment"),
    ("engineering", "Engineering"),
    ("permit_building", "Building permit"),
    ("permit_electrical", "Electrical permit"),
    ("permit_fire", "Fire review"),
    ("installation", "Installation"),
    ("inspection", "Inspection"),
    ("interconnection", "Interconnection"),
    ("operation", "Permission to operate"),
)


def standing(
    closed: int, *, branches: int = 2, state: GateState = "live", caption: str = "", lit: bool = False
) -> Standing:
    """The first ``closed`` gates are closed, the next one is in ``state``, the rest lie in the future."""
    names = [s for s in STAGES if not s[0].startswith("permit_")]
    names[3:3] = [s for s in STAGES if s[0].startswith("permit_")][:branches]
    gates = tuple(
        Gate(
            key,
            title,
            caption,
            "closed" if i < closed else state if i == closed else "future",
            branches > 1 and key.startswith("permit_"),
            i == closed,
            0,
            0,
        )
        for i, (key, title) in enumerate(names)
    )
    return Standing("lead", "Lead", lit, (), gates, None, "", "", None)


def thick(svg: str) -> int:
    return len(re.findall(rf'stroke-width="{BUS:g}"', svg))


@pytest.mark.parametrize("draw", [oneline_wide, oneline_tall])
@pytest.mark.parametrize("branches", [1, 2, 3])
def test_every_drawing_is_well_formed_and_fits_its_box(draw, branches):
    svg = draw(standing(4, branches=branches, caption="plan review, answer due 2 Dec"))
    root = ET.fromstring(svg)
    _, _, width, height = map(float, root.get("viewBox").split())
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        assert 0 < float(text.get("x")) < width
        assert 0 < float(text.get("y")) < height


@pytest.mark.parametrize("draw", [oneline_wide, oneline_tall])
def test_the_energised_part_grows_with_each_closed_gate(draw):
    counts = [thick(draw(standing(closed))) for closed in range(9)]
    assert counts == sorted(counts)
    assert counts[0] < counts[3] < counts[8]


@pytest.mark.parametrize("draw", [oneline_wide, oneline_tall])
def test_the_lamp_lights_in_service_alone(draw):
    assert LAMP not in draw(standing(8))
    assert LAMP in draw(standing(9, lit=True))


def test_waiting_and_live_gates_differ_by_symbol_not_only_by_colour():
    live, waiting = oneline_wide(standing(2, state="live")), oneline_wide(standing(2, state="waiting"))
    strip = re.compile(r"#[0-9a-f]{6}")
    assert strip.sub("", live) != strip.sub("", waiting)


def test_what_is_done_carries_no_accent():
    assert LIVE not in oneline_wide(standing(10, lit=True))


def test_the_drawing_is_told_in_words_to_those_who_hear_it():
    root = ET.fromstring(oneline_wide(standing(3, caption="3 Nov")))
    assert root.get("role") == "img"
    assert "Building permit: 3 Nov" in root.get("aria-label")


def test_a_title_can_smuggle_no_markup_in():
    gates = (Gate("lead", "<script>alert(1)</script>", 'a "quoted" & <b>', "live", False, True, 0, 1),)
    svg = oneline_wide(Standing("lead", "Lead", False, (), gates, None, "", "", None))
    assert "<script" not in svg
    ET.fromstring(svg)


def test_nothing_in_the_drawing_needs_an_inline_style():
    for svg in (oneline_wide(standing(4)), oneline_tall(standing(4)), oneline_small([("live", "lead")])):
        assert "style=" not in svg


def test_small_stacks_the_permit_branches_in_one_place():
    apart = oneline_small([("closed", "lead"), ("live", "engineering"), ("future", "installation")])
    stacked = oneline_small([("closed", "lead"), ("live", "permit_building"), ("future", "permit_electrical")])
    width = lambda svg: float(ET.fromstring(svg).get("viewBox").split()[2])  # noqa: E731
    assert width(stacked) < width(apart)


@pytest.mark.parametrize("width_px", [60, 120, 200])
def test_captions_break_at_spaces_and_never_grow_past_two_lines(width_px):
    rows = wrap("plan review by the fire marshal, answer due 2 December at noon", width_px, 15)
    assert 1 <= len(rows) <= 2
    assert all(row.strip() == row for row in rows)
