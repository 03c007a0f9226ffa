"""What has to stay free on each plane under the adopted fire code, and around what stands on the roof."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from sizing.roof.outline import Edge, Point, edges_of
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


HIP_VALLEY_IN = {"2015": 18, "2018": 0, "2021": 0, "2024": 0}
"""Free on each side of a hip or valley with modules on both sides: IFC 605.11.1.2.4 (2015). From 2018 on the model
codes ask for pathways and ridge setbacks alone; jurisdictions have kept the rule. All from memory."""


@dataclass(frozen=True)
class Zone:
    """A convex piece of a plane that stays free."""

    label: str
    corners: tuple[Point, ...]

    @property
    def rect(self) -> Rect:
        """The rectangle around it."""
        across, up = [u for u, _ in self.corners], [v for _, v in self.corners]
        return Rect(min(across), min(up), max(across) - min(across), max(up) - min(up))

    @property
    def is_rect(self) -> bool:
        rect = self.rect
        return {(round(u, 9), round(v, 9)) for u, v in self.corners} == {
            (round(u, 9), round(v, 9)) for u, v in rect.corners
        }


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
    """Ends of the plane that hold a pathway: both in 2015, else the one that the plane names.

    A hip roof has one on each slope with modules under the 2015 edition (IFC 605.11.1.2.2).
    """
    hipped = any(edge.kind == "hip" for edge in plane.outline)
    if not access.pathways or (plane.pathway == "elsewhere" and (edition != "2015" or hipped)):
        return ()
    if plane.pathway == "both" or (edition == "2015" and not hipped):
        return ("left", "right")
    return (plane.pathway,)


def hip_valley_m(edge: Edge, rules: AccessRules, access: RoofAccess) -> float:
    """Free beside a hip or valley on this plane, measured square to it on the slope.

    The jurisdiction's own figure holds on every one; the edition's where modules lie on both sides.
    """
    if access.exempt or edge.kind not in ("hip", "valley"):
        return 0.0
    if rules.hip_valley_setback_m is not None:
        return rules.hip_valley_setback_m
    return HIP_VALLEY_IN[rules.edition] * METRES_PER_INCH if edge.modules_beyond else 0.0


def keep_clear(plane: RoofPlane, rules: AccessRules, array_share: float) -> tuple[Zone, ...]:
    """Zones of the plane on which no module may lie, in its own coordinates; they may reach past its outline."""
    access = access_of_plane(plane, rules, array_share)
    edges = edges_of(plane)
    out = [*_pathways(plane, rules, access, edges), *_along_edges(plane, rules, access, edges)]
    width, height = plane.width_m, plane.slope_length_m
    for item in plane.obstacles:
        clear = item.clearance_m
        bottom = 0.0 if item.kind == "escape_window" else max(item.v_m - clear, 0.0)
        top = min(item.v_m + item.height_m + clear, height)
        left, right = max(item.u_m - clear, 0.0), min(item.u_m + item.width_m + clear, width)
        out.append(_zone(item.kind.replace("_", " "), left, bottom, right, top))
    return tuple(out)


def _zone(label: str, left: float, bottom: float, right: float, top: float) -> Zone:
    return Zone(label, ((left, bottom), (right, bottom), (right, top), (left, top)))


def _pathways(plane: RoofPlane, rules: AccessRules, access: RoofAccess, edges: tuple[Edge, ...]) -> Iterator[Zone]:
    """Straight up from the eave to the ridge, at the ends of the ridge; one to the point where hips leave no ridge."""
    pathway, height = access.pathway_in * METRES_PER_INCH, max(edge.start[1] for edge in edges)
    peak = [edge.start[0] for edge in edges if edge.start[1] > height - 1e-6]
    ridge = _reach(edges, height) or (peak[0], peak[0])
    eave = _reach(edges, 0.0) or ridge
    first, last = max(ridge[0], eave[0]), min(ridge[1], eave[1])
    if last - first < pathway:
        middle = min(max((ridge[0] + ridge[1]) / 2.0, pathway / 2.0), plane.width_m - pathway / 2.0)
        first, last = max(middle - pathway / 2.0, 0.0), middle + pathway / 2.0
    for side in pathway_sides(plane, access, rules.edition):
        left = first if side == "left" else max(last - pathway, 0.0)
        right = min(left + pathway, plane.width_m)
        yield _zone("36 in pathway from eave to ridge", left, 0.0, right, height)


def _reach(edges: tuple[Edge, ...], v_m: float) -> tuple[float, float] | None:
    """From where to where level edges run at a height up the slope."""
    level = [edge for edge in edges if max(abs(edge.start[1] - v_m), abs(edge.end[1] - v_m)) < 1e-6]
    across = [u for edge in level for u, _ in (edge.start, edge.end)]
    return (min(across), max(across)) if across else None


def _along_edges(plane: RoofPlane, rules: AccessRules, access: RoofAccess, edges: tuple[Edge, ...]) -> Iterator[Zone]:
    setback, margin = access.ridge_setback_in * METRES_PER_INCH, rules.edge_margin_m
    for edge in edges:
        if edge.kind == "ridge" and setback:
            deep = min(setback, plane.slope_length_m)
            yield Zone(f"{access.ridge_setback_in} in below the ridge", edge.strip(deep))
    for edge in edges:
        if beside := hip_valley_m(edge, rules, access):
            inches = beside / METRES_PER_INCH
            yield Zone(f"{inches:.0f} in beside the {edge.kind}", edge.strip(beside, past_ends_m=beside))
    if margin > 0 and plane.mounting == "roof":
        for edge in edges:
            yield Zone("edge", edge.strip(margin))
