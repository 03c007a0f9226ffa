"""No label touches another, a symbol or a wire, whatever design is drawn."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from paperwork.content.single_line import one_line_of
from paperwork.draw.one_line import MOST_ROWS, one_line_drawing
from paperwork.draw.svg import Box, Drawing
from paperwork.words import glued
from sizing.study import request as q
from tests.paperwork import hand_made
from tests.paperwork.hand_facts import facts_of

LONG = "Osprey Ridge Extended Temperature Dual-Voltage Hybrid Series 12 K"
WORDS = st.sampled_from(["Tern 400", "Heron 7600", LONG, "X", "W" * 60])


@st.composite
def designs(draw: st.DrawFn) -> q.StudyRequest:
    kind = draw(st.sampled_from(["grid_tied", "hybrid", "off_grid"]))
    groups = draw(st.integers(1, 14))
    strings = tuple(
        q.StringGroup(
            draw(st.sampled_from(["South", "West dormer above the garage", "M" * 40])),
            draw(st.integers(4, 18)),
            draw(st.integers(1, 4)),
            i + 1,
        )
        for i in range(groups)
    )
    base = hand_made.request(kind)
    coupling = draw(st.sampled_from(["dc", "ac"]))
    battery = replace(hand_made.BATTERY, name=draw(WORDS), units=draw(st.integers(1, 6)), coupling=coupling)
    return replace(
        base,
        strings=strings,
        inverter=replace(hand_made.INVERTER, name=draw(WORDS), strings_per_mppt=draw(st.integers(1, 3))),
        inverter_count=draw(st.integers(1, 4)),
        battery=battery if kind != "grid_tied" and draw(st.booleans()) else None,
        generator=q.Generator(draw(WORDS), draw(st.floats(3000, 24000)))
        if kind != "grid_tied" and draw(st.booleans())
        else None,
        service=q.Service(
            rating_a=draw(st.sampled_from([100.0, 200.0, 400.0])),
            connection=draw(st.sampled_from(["busbar_opposite_end", "supply_side"])),
        ),
    )


def overlaps(drawing: Drawing) -> list[tuple[str, str]]:
    sheet = Box(0, 0, drawing.width, drawing.height)
    found = [(box.what, "the sheet's edge") for box in (*drawing.boxes, *drawing.symbols) if not box.inside(sheet)]
    found += [(a.what, b.what) for a, b in combinations(drawing.boxes, 2) if a.overlaps(b)]
    found += [(a.what, b.what) for a, b in combinations(drawing.symbols, 2) if a.overlaps(b)]
    found += [(a.what, b.what) for a in drawing.boxes for b in (*drawing.symbols, *drawing.wires) if a.overlaps(b)]
    for wire in drawing.wires:
        for symbol in drawing.symbols:
            if symbol.what.startswith("tag"):
                continue
            inner = Box(symbol.x0 + 1, symbol.y0 + 1, symbol.x1 - 1, symbol.y1 - 1)
            if wire.overlaps(inner):
                found.append(("wire", symbol.what))
    return found


def wanted(facts: dict[str, Any]) -> list[str]:
    """Every device of the design by its name in the drawing, strings with their rapid shutdown apart."""
    asked, circuits = facts["study"]["request"], {c["key"] for c in facts["study"]["electrical"]["circuits"]}
    names = ["DC disconnect", "inverter", "main panel", "grounding electrode"]
    names += ["combiner"] if "pv_output" in circuits else []
    names += ["battery", "battery disconnect"] if asked["battery"] else []
    names += ["generator", "generator disconnect"] if asked["generator"] else []
    names += ["AC disconnect"] if "inverter_output" in circuits or asked["system_type"] != "off_grid" else []
    coupled = asked["system_type"] == "hybrid" and asked["battery"] and asked["battery"]["coupling"] == "ac"
    if coupled or (asked["system_type"] != "grid_tied" and "backup_feeder" in circuits):
        names += ["backup interface", "critical-loads panel"]
    if asked["system_type"] != "off_grid":
        names += ["meter", "utility"]
    return sorted(names)


def drawn(drawing: Drawing) -> list[str]:
    return sorted(box.what for box in drawing.symbols if not box.what.startswith(("tag", "string", "rapid")))


@settings(max_examples=400, deadline=None, derandomize=True)
@given(
    asked=designs(), utility=st.sampled_from(["Sound & Shore Power", "The United Rural Electric Membership Co-op", ""])
)
def test_nothing_overlaps_and_every_device_stands_once_whatever_is_drawn(asked: q.StudyRequest, utility: str) -> None:
    facts = facts_of(hand_made.result(asked.system_type, request=asked), utility=utility)
    plan = one_line_of(facts)
    drawing = one_line_drawing(plan)
    assert overlaps(drawing) == []
    assert drawn(drawing) == wanted(facts)
    rows = min(len(plan.rows), MOST_ROWS)
    for beginning in ("string", "rapid"):
        assert len([box for box in drawing.symbols if box.what.startswith(beginning)]) == rows


def test_the_test_sees_an_overlap() -> None:
    drawing = Drawing(100, 100, "two labels on one another")
    drawing.text(10, 20, "Battery", keep=True)
    drawing.text(12, 22, "Inverter", keep=True)
    assert ("Battery", "Inverter") in overlaps(drawing)


@pytest.mark.parametrize(
    ("kind", "devices"),
    [
        ("grid_tied", {"DC disconnect", "inverter", "AC disconnect", "main panel", "meter", "utility"}),
        (
            "hybrid",
            {"DC disconnect", "inverter", "battery", "battery disconnect", "backup interface", "critical-loads panel"}
            | {"AC disconnect", "main panel", "meter", "utility"},
        ),
        (
            "off_grid",
            {"DC disconnect", "inverter", "battery", "battery disconnect", "generator", "generator disconnect"}
            | {"AC disconnect", "main panel"},
        ),
    ],
)
def test_every_device_of_the_design_appears_once(kind: str, devices: set[str]) -> None:
    facts = facts_of(hand_made.result(kind))
    plan = one_line_of(facts)
    names = [box.what for box in one_line_drawing(plan).symbols]
    drawn = [name for name in names if not name.startswith(("tag", "string", "rapid"))]
    assert sorted(drawn) == sorted([*devices, "grounding electrode"])
    assert len([name for name in names if name.startswith("string")]) == len(plan.rows)
    assert len([name for name in names if name.startswith("rapid")]) == len(plan.rows)


@pytest.mark.parametrize("kind", ["grid_tied", "hybrid", "off_grid"])
def test_every_circuit_of_the_schedule_has_its_letter_on_a_wire(kind: str) -> None:
    facts = facts_of(hand_made.result(kind))
    plan = one_line_of(facts)
    drawing = one_line_drawing(plan)
    tags = [box for box in drawing.symbols if box.what.startswith("tag")]
    assert sorted(box.what for box in tags) == sorted(f"tag {letter}" for letter in plan.tags.values())
    for box in tags:
        assert any(wire.overlaps(box) for wire in drawing.wires), f"{box.what} is on no wire"


def test_a_device_that_is_not_in_the_design_is_not_drawn() -> None:
    asked: dict[str, Any] = {"battery": None, "generator": None}
    facts = facts_of(hand_made.result("hybrid", request=hand_made.request("hybrid", **asked)))
    names = {box.what for box in one_line_drawing(one_line_of(facts)).symbols}
    assert not names & {"battery", "battery disconnect", "generator", "generator disconnect"}


def test_a_number_of_breakers_and_their_rating_stay_on_one_line() -> None:
    assert glued("PV 35 A and battery 2 × 30 A") == "PV 35\u00a0A and battery 2\u00a0×\u00a030\u00a0A"
