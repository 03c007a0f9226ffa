"""What has to stay free on each plane under the adopted fire code, and around what stands on the roof."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sizing.roof.pack import Rect
from sizing.structure.access import RoofAccess, roof_access
from sizing.study.request import AccessEdition, AccessRules, RoofPlane

METRES_PER_INCH = 0.0254
CODE = {
    "2015": "2015 IRC R324.7, IFC 605.11 (from memory)",
    "2018": "2018 IRC R324.6, IFC 1204",
    "2021": "2021 IRC R324.6, IFC 1205",
    "2024": "2024 IRC R324.6, IFC 1205 (from memory)",
}


@dataclass(frozen=True)
class Zone:
    label: str
    rect: Rect


def access_of_plane(plane: RoofPlane, rules: AccessRules, array_share: float) -> RoofAccess:
    """What the edition asks of one plane, ``array_share``: array over roof seen from above.

    Under the 2015 edition each slope with modules has two 36 in pathways and 36 in free below the ridge, whatever the
    share; from 2018 on see ``roof_access``. Ground mounts need nothing.
    """
    if plane.mounting == "ground":
        return RoofAccess(0, 0, 0, 0, "not on a roof")
    access = roof_access(
        array_share,
        sprinklered=rules.sprinklered,
        rise_in_12=12 * math.tan(math.radians(plane.tilt_deg)),
        detached_nonhabitable=rules.detached_nonhabitable,
    )
    if rules.edition == "2015" and not access.exempt:
        return RoofAccess(2, 36, 1, 36)
    return access


def pathway_sides(plane: RoofPlane, access: RoofAccess, edition: AccessEdition) -> tuple[str, ...]:
    """Ends of the plane that hold a pathway: both in 2015, else the one that the plane names."""
    if not access.pathways or (plane.pathway == "elsewhere" and edition != "2015"):
        return ()
    return ("left", "right") if edition == "2015" or plane.pathway == "both" else (plane.pathway,)


def keep_clear(plane: RoofPlane, rules: AccessRules, array_share: float) -> tuple[Zone, ...]:
    """Zones of the plane on which no module may lie, in its own coordinates."""
    access = access_of_plane(plane, rules, array_share)
    width, height, margin = plane.width_m, plane.slope_length_m, rules.edge_margin_m
    pathway = access.pathway_in * METRES_PER_INCH
    out: list[Zone] = []
    for side in pathway_sides(plane, access, rules.edition):
        left = 0.0 if side == "left" else max(width - pathway, 0.0)
        out.append(Zone("36 in pathway from eave to ridge", Rect(left, 0.0, min(pathway, width), height)))
    setback = access.ridge_setback_in * METRES_PER_INCH if plane.ridge_at_top else 0.0
    if setback:
        name = f"{access.ridge_setback_in} in below the ridge"
        out.append(Zone(name, Rect(0.0, max(height - setback, 0.0), width, min(setback, height))))
    if margin > 0 and plane.mounting == "roof":
        out += [
            Zone("edge", Rect(0.0, 0.0, margin, height)),
            Zone("edge", Rect(width - margin, 0.0, margin, height)),
            Zone("edge", Rect(0.0, 0.0, width, margin)),
            Zone("edge", Rect(0.0, height - margin, width, margin)),
        ]
    for item in plane.obstacles:
        clear = item.clearance_m
        bottom = 0.0 if item.kind == "escape_window" else max(item.v_m - clear, 0.0)
        top = min(item.v_m + item.height_m + clear, height)
        left, right = max(item.u_m - clear, 0.0), min(item.u_m + item.width_m + clear, width)
        out.append(Zone(item.kind.replace("_", " "), Rect(left, bottom, right - left, top - bottom)))
    return tuple(out)
