"""The roof planes of ``households.csv``, from a short code for each house."""

from __future__ import annotations

import math
import re
from typing import Any

COMPASS = {"N": 0, "NE": 45, "E": 90, "SE": 135, "S": 180, "SW": 225, "W": 270, "NW": 315}
CODE = re.compile(r"([A-Z]+)(\d+)x([\d.]+)(?:/([a-z_]+))?(?:=(\S+))?")
SLOPE_M, GROUND_SLOPE_M = 5.6, 4.2


def planes_of(code: str) -> list[dict[str, Any]]:
    """ "S30x11.5": faces south, 30 degrees steep, 11.5 m wide; G for a ground mount facing south. The first plane is
    the one that carries modules.

    A shape follows a stroke: "/hip" (with the hips' ends beside it), "/triangle", "/valley_left", "/valley_right",
    all of equal pitch, so that hips and valleys run at 45 degrees seen from above; "/corners=0:0_12:0_9:5".
    """
    if not code:
        return []
    said = CODE.fullmatch(code)
    assert said is not None, code
    facing, tilt, width, shape, corners = said.groups()
    ground = facing == "G"
    main: dict[str, Any] = {
        "name": "Ground mount" if ground else f"{facing} roof",
        "azimuth_deg": 180 if ground else COMPASS[facing],
        "tilt_deg": float(tilt),
        "width_m": float(width),
        "slope_length_m": GROUND_SLOPE_M if ground else SLOPE_M,
        "eave_height_m": 0.8 if ground else 3.0,
        "y_m": -18.0 if ground else -3.0,
        "rafter_spacing_m": None if ground else 0.61,
        "rafter_wood": "" if ground else "southern pine",
        "covering": "ground" if ground else "shingle",
        "age_years": None if ground else 9,
    }
    if not shape:
        return [main]
    main["shape"] = shape
    if shape == "corners":
        pairs = [pair.split(":") for pair in corners.split("_")]
        main["corners"] = [{"u_m": float(u), "v_m": float(v), "kind": ""} for u, v in pairs]
        return [main]
    depth = SLOPE_M * math.cos(math.radians(main["tilt_deg"]))
    if shape == "triangle":
        main["pathway"] = "elsewhere"
    else:
        main["narrow_m"] = round(main["width_m"] - depth * (2 if shape == "hip" else 1), 2)
    return [main, *(_hip_ends(main, depth) if shape == "hip" else [])]


def _hip_ends(main: dict[str, Any], depth: float) -> list[dict[str, Any]]:
    """The bare triangles east and west of a hipped plane that faces south."""
    return [
        {
            **{key: main[key] for key in ("tilt_deg", "slope_length_m", "eave_height_m", "covering", "age_years")},
            "name": f"{letter} hip end",
            "azimuth_deg": COMPASS[letter],
            "shape": "triangle",
            "width_m": round(2 * depth, 2),
            "pathway": "elsewhere",
            "x_m": round(side * (main["width_m"] - depth) / 2, 2),
            "y_m": round(main["y_m"] + depth / 2, 2),
        }
        for letter, side in (("E", 1), ("W", -1))
    ]
