"""The structural sheet: what rests on the roof, how it is held, and what uplift asks of each attachment."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from paperwork.content.block import title_block
from paperwork.words import listed, short, whole

STANDING = ("for review by the licensed", "engineer where required")
REVIEW = (
    "Arithmetic for review by the licensed engineer where required; not certified. Roof zone, exposure, topography, "
    "wood species and the racking maker's span table govern and are settled by whoever is licensed to."
)


def structural(facts: Mapping[str, Any]) -> dict[str, Any]:
    structure, profile = facts["structure"], facts["profile"]
    allowed = structure["allowed_lb"]
    measured = {plane["name"]: plane for plane in facts["roof"]}
    lag = structure["lag"]
    planes = []
    for plane in structure["planes"]:
        seen = measured[plane["name"]]
        planes.append(
            {
                "name": plane["name"],
                "covering": seen["covering"].lower(),
                "age": f"{seen['age_years']} years" if seen["age_years"] is not None else "not recorded",
                "pitch": f"{short(seen['tilt_deg'])}°",
                "modules": str(seen["modules"]),
                "rows": listed([str(n) for n in plane["rows"]]),
                "rafters": f"{short(plane['rafter_in'])}\u00a0in",
                "spacing": f"{short(plane['spacing_in'])}\u00a0in",
                "attachments": str(plane["attachments"]),
                "weight": f"{whole(plane['weight_lb'])}\u00a0lb",
                "area": f"{whole(plane['area_ft2'])}\u00a0ft²",
            }
        )
    uplift = [
        {
            "coefficient": coefficient.replace("-", "−"),
            "psf": f"{short(psf)}\u00a0psf",
            "planes": [
                {
                    "name": plane["name"],
                    "each": f"{whole(plane['each_lb'][coefficient])}\u00a0lb",
                    "word": "below" if plane["each_lb"][coefficient] <= allowed else "above",
                }
                for plane in structure["planes"]
            ],
        }
        for coefficient, psf in structure["uplift_psf"].items()
    ]
    return {
        "facts": facts,
        "head": title_block(facts, STANDING),
        "review": REVIEW,
        "planes": planes,
        "uplift": uplift,
        "on_ground": [plane["name"] for plane in facts["roof"] if plane["on_ground"]],
        "loads": [
            ("Basic wind speed", f"{profile['wind_speed_mph']}\u00a0mph", "jurisdiction's profile"),
            ("Ground snow", f"{profile['ground_snow_psf']}\u00a0psf", "jurisdiction's profile"),
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
            (
                "What one lag screw may carry",
                f"{whole(allowed)}\u00a0lb",
                f"1800 G^1.5 D^0.75 × thread × 1.6, NDS 12.2-1: 5/16 in lag, {short(lag['thread_in'])} in of thread in "
                f"the rafter, {lag['species']}",
            ),
        ],
    }
