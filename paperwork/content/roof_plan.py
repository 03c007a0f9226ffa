"""The roof plan: where each module lies, what stays free for the fire service, what stands around."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.block import title_block
from paperwork.draw.outlines import depth_of_overlap
from paperwork.draw.roof import PlanePlan, Spot, corners, roof_drawing, whole
from paperwork.draw.svg import NO_BREAK
from paperwork.words import count, listed, short

DRAWING_POINTS = {"letter": (690.0, 322.0), "a4": (740.0, 310.0)}


def on_roof(study: Mapping[str, Any]) -> bool:
    """Whether any plane with modules is a roof's; a ground mount alone has neither pathways nor rafters."""
    return any(plane["modules"] and plane.get("mounting", "roof") == "roof" for plane in study["request"]["planes"])


def plan_title(study: Mapping[str, Any]) -> str:
    return "Roof plan" if on_roof(study) else "Array plan"


TOUCH_M = 0.4
"""Planes measured from the ground may reach that far into one another where they only meet."""


def carrying(facts: Mapping[str, Any]) -> list[PlanePlan]:
    """Planes with modules, as the study laid them out: the one layout that every paper shows and reckons with."""
    placed = {plane["name"]: plane for plane in facts["roof_layout"]["planes"]}
    held = {plane["name"]: plane.get("spots", []) for plane in (facts.get("structure") or {}).get("planes", [])}
    return [
        PlanePlan(
            plane["name"],
            plane,
            [_spot(place) for place in placed[plane["name"]]["places"]],
            [(zone["label"], _spot(zone)) for zone in placed[plane["name"]]["keep_clear"]],
            [(u, v) for u, v in held.get(plane["name"], [])],
        )
        for plane in facts["study"]["request"]["planes"]
        if plane["modules"]
    ]


def bare(facts: Mapping[str, Any], plans: list[PlanePlan]) -> tuple[list[PlanePlan], list[PlanePlan]]:
    """Planes without modules: those that have their place beside the others, and those that would lie on top of one.

    Where nobody recorded where planes lie, all of them lie on the middle of the house.
    """
    placed, loose = [], []
    taken = [corners(plan.plane, whole(plan.plane)) for plan in plans]
    for plane in facts.get("bare_planes", []):
        plan, ring = PlanePlan(plane["name"], plane, []), corners(plane, whole(plane))
        if any(depth_of_overlap(ring, other) > TOUCH_M for other in taken):
            loose.append(plan)
        else:
            placed.append(plan)
            taken.append(ring)
    return placed, loose


def _spot(place: Mapping[str, Any]) -> Spot:
    shape = tuple((u, v) for u, v in place.get("corners", ()))
    return Spot(place["u_m"], place["v_m"], place["width_m"], place["height_m"], shape)


def roof_plan(facts: Mapping[str, Any], paper_size: str) -> dict[str, Any]:
    plans = carrying(facts)
    placed, loose = bare(facts, plans)
    around = facts["study"]["request"]["obstructions"]
    drawn = roof_drawing([*plans, *placed], around, *DRAWING_POINTS[paper_size])
    rules = facts["roof_layout"]
    return {
        "facts": facts,
        "head": title_block(facts),
        "title": plan_title(facts["study"]),
        "edges": "eaves" if on_roof(facts["study"]) else "lower edges",
        "across": "Eave" if on_roof(facts["study"]) else "Width",
        "drawing": drawn.drawing.picture(),
        "scale": drawn.scale,
        "rules": f"Kept clear as {rules['code']} asks, widths and sections from memory of the codes; the "
        "jurisdiction may ask for more."
        if on_roof(facts["study"])
        else "The array stands on the ground: distances from lot lines and buildings are the jurisdiction's to ask.",
        "held": held_words(facts, plans),
        "planes": [_plane_row(plan) for plan in [*plans, *placed, *loose]],
        "loose": f"Not drawn, since where it lies beside the others is not recorded: "
        f"{listed([plan.name for plan in loose])}."
        if loose
        else "",
        "around": [
            f"{item['kind']} {_feet(item['height_m'])} tall, {_feet(item['distance_m'])} away at "
            f"{short(item['bearing_deg'], 0)}°"
            for item in around
        ],
        "changes": facts.get("changes", []),
    }


def held_words(facts: Mapping[str, Any], plans: list[PlanePlan]) -> str:
    if not any(plan.attachments for plan in plans):
        return "Attachments are on the structural sheet." if on_roof(facts["study"]) else ""
    structure = facts["structure"]
    apart = listed(list(dict.fromkeys(f"{short(plane['spacing_in'])}{NO_BREAK}in" for plane in structure["planes"])))
    return (
        "Dots are attachments, two rails to a row, spread evenly. On the roof each goes into the rafter beside its "
        f"dot, at most {apart} apart along the rail; the racking maker's table and the engineer come first."
    )


def _plane_row(plan: PlanePlan) -> dict[str, str]:
    plane = plan.plane
    zones = list(dict.fromkeys(label for label, _ in plan.clear))
    return {
        "name": plan.name,
        "modules": (count(len(plan.spots), "module") if plan.plane["modules"] else "none")
        + (f", {count(len(plan.attachments), 'attachment')}" if plan.attachments else ""),
        "size": f"{_feet(plane['width_m'])} × {_feet(plane['slope_length_m'])}{_cut(plane)}",
        "pitch": f"{short(plane['tilt_deg'])}°",
        "facing": f"{short(plane['azimuth_deg'], 0)}°",
        "clear": listed(zones) or ("none drawn" if plane["modules"] else "all of it, no modules"),
    }


def _cut(plane: Mapping[str, Any]) -> str:
    """What makes it smaller than its lengths say."""
    kinds = [kind for kind in ("hip", "valley") if any(edge["kind"] == kind for edge in plane.get("outline", ()))]
    return f", cut by {' and '.join(kinds)}" if kinds else ", outline as drawn" if plane.get("outline") else ""


def _feet(metres: float) -> str:
    """In one piece: a column may break between lengths, not within one."""
    return f"{short(metres / 0.3048)}{NO_BREAK}ft{NO_BREAK}({short(metres, 2)}{NO_BREAK}m)"
