"""The structural sheet: what rests on the roof, how it is held, and what uplift asks of each attachment."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.block import title_block
from paperwork.words import listed, short, whole

LB_PER_KG = 1 / 0.45359237
METRES_PER_FOOT = 0.3048
STANDING = ("for review by the licensed", "engineer where required")
REVIEW = (
    "Arithmetic for review by the licensed engineer where required; not certified. Roof zone, exposure, topography, "
    "wood species and the racking maker's span table govern and are settled by whoever is licensed to. Formulas and "
    "factors of ASCE 7 and the NDS are written from memory: look them up before relying on them."
)

COEFFICIENT_GIVEN = "The coefficient is the one of the jurisdiction's profile for this roof; the engineer confirms it."
COEFFICIENT_OPEN = (
    "Which coefficient holds for which zone of this roof is the licensed engineer's answer; the schedule above "
    "counts attachments for the first one."
)


REVIEW_ON_GROUND = (
    "For the licensed engineer; not certified. Foundation, frame, exposure, soil and frost depth are settled by "
    "whoever is licensed to; this sheet says what the frame carries and which loads the jurisdiction's profile names."
)


def structural(facts: Mapping[str, Any]) -> dict[str, Any]:
    structure = facts["structure"]
    measured = {plane["name"]: plane for plane in facts["roof"]}
    return {
        "facts": facts,
        "head": title_block(facts, STANDING),
        "subtitle": "Attachment of the array to the roof" if structure["planes"] else "Loads of the ground mount",
        "review": REVIEW if structure["planes"] else REVIEW_ON_GROUND,
        "planes": [_plane_row(plane, measured[plane["name"]]) for plane in structure["planes"]],
        "uplift": [_uplift_row(structure, coefficient) for coefficient in structure["uplift_psf"]],
        "edge_factor": short(structure["edge_factor"]),
        "zone": COEFFICIENT_GIVEN if structure["coefficient_given"] else COEFFICIENT_OPEN,
        "on_ground": [plane["name"] for plane in facts["roof"] if plane["on_ground"]],
        "loads": _loads(structure, facts["profile"]) if structure["planes"] else _ground_loads(facts),
    }


def _plane_row(plane: Mapping[str, Any], seen: Mapping[str, Any]) -> dict[str, str]:
    return {
        "name": plane["name"],
        "covering": seen["covering"].lower(),
        "age": f"{seen['age_years']} years" if seen["age_years"] is not None else "not recorded",
        "pitch": f"{short(seen['tilt_deg'])}°",
        "modules": str(seen["modules"]),
        "rows": listed([str(n) for n in plane["rows"]]),
        "rafters": f"{short(plane['rafter_in'])}\u00a0in, {plane['wood']}",
        "spacing": f"{short(plane['spacing_in'])}\u00a0in",
        "attachments": str(plane["attachments"]),
        "weight": f"{whole(plane['weight_lb'])}\u00a0lb",
        "area": f"{whole(plane['area_ft2'])}\u00a0ft²",
    }


def _uplift_row(structure: Mapping[str, Any], coefficient: str) -> dict[str, Any]:
    return {
        "coefficient": coefficient.replace("-", "−"),
        "psf": f"{short(structure['uplift_psf'][coefficient])}\u00a0psf",
        "planes": [
            {
                "name": plane["name"],
                "attachments": str(plane["at"][coefficient]["attachments"]),
                "each": f"{whole(plane['at'][coefficient]['each_lb'])}\u00a0lb",
                "allowed": f"{whole(plane['allowed_lb'])}\u00a0lb",
            }
            for plane in structure["planes"]
        ],
    }


def _ground_loads(facts: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    """What the engineer of a ground mount begins with, where nothing stands on a roof."""
    module = facts["study"]["request"]["module"]
    rows = _site_loads(facts["profile"])
    for plane in facts["roof"]:
        number = plane["modules"]
        weight_lb = number * module["weight_kg"] * LB_PER_KG
        area_ft2 = number * module["length_m"] * module["width_m"] / METRES_PER_FOOT**2
        rows.append(
            (
                f"Modules, {plane['name']}",
                f"{whole(weight_lb)}\u00a0lb",
                f"{number} × {short(module['weight_kg'])} kg, datasheet; frame and racking come on top",
            )
        )
        rows.append(
            (
                f"Module area, {plane['name']}",
                f"{whole(area_ft2)}\u00a0ft²",
                f"{number} × {short(module['length_m'], 3)} × {short(module['width_m'], 3)} m, datasheet; tilted "
                f"{short(plane['tilt_deg'])}° from level",
            )
        )
    return rows


def _site_loads(profile: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    return [
        ("Basic wind speed", f"{profile['wind_speed_mph']}\u00a0mph", "jurisdiction's profile"),
        ("Ground snow", f"{profile['ground_snow_psf']}\u00a0psf", "jurisdiction's profile"),
    ]


def _loads(structure: Mapping[str, Any], profile: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    lag = structure["lag"]
    return [
        *_site_loads(profile),
        (
            "Velocity pressure",
            f"{short(structure['pressure_psf'])}\u00a0psf",
            "0.00256 Kz Kzt Kd Ke V², ASCE 7-16 eq. 26.10-1, with Kz 0.85, Kzt 1, Kd 0.85, Ke 1",
        ),
        (
            "Modules and racking",
            f"{short(structure['dead_psf'], 2)}\u00a0psf",
            "datasheet weight over module area, and 0.5 psf for racking (common practice, no source)",
        ),
        *(
            (
                f"What one lag screw may carry, {wood}",
                f"{whole(allowed)}\u00a0lb",
                f"1800 G^1.5 D^0.75 × thread × 1.6, NDS 12.2-1: {short(lag['diameter_in'], 4)} in lag, "
                f"{short(lag['thread_in'])} in of thread in the rafter",
            )
            for wood, allowed in {plane["wood"]: plane["allowed_lb"] for plane in structure["planes"]}.items()
        ),
    ]
