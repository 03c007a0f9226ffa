"""The roof part of a study: what each plane can hold, where the design's modules lie, and what must stay free."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sizing.roof.clear import CODE, METRES_PER_INCH, Zone, access_of_plane, hip_valley_m, keep_clear
from sizing.roof.ground import row_gap_m
from sizing.roof.outline import corners_of, edges_of, slope_area_m2, within
from sizing.roof.pack import Rect, pack, pack_outline
from sizing.study.request import Module, RoofPlane, StudyRequest
from sizing.study.result import Check, ClearZone, ModulePlace, PlaneLayout, RoofLayout
from sizing.working import Term, Working

FIT_TOLERANCE = 1e-6


@dataclass(frozen=True)
class Filled:
    orientation: str
    places: tuple[Rect, ...]
    zones: tuple[Zone, ...]


def fill(plane: RoofPlane, request: StudyRequest, array_share: float) -> Filled:
    """The better of portrait and landscape rows on a plane; portrait where both hold as many."""
    zones = keep_clear(plane, request.access, array_share)
    module, gap = request.module, request.access.module_gap_m

    def rows(width_m: float, height_m: float) -> tuple[Rect, ...]:
        if plane.outline:
            return pack_outline(corners_of(plane), [zone.corners for zone in zones], width_m, height_m, gap)
        area = Rect(0.0, 0.0, plane.width_m, plane.slope_length_m)
        return pack(area, [zone.rect for zone in zones], width_m, height_m, gap)

    portrait, landscape = rows(module.width_m, module.length_m), rows(module.length_m, module.width_m)
    if len(landscape) > len(portrait):
        return Filled("landscape", landscape, zones)
    return Filled("portrait", portrait, zones)


def plan_area_m2(plane: RoofPlane) -> float:
    """Of the plane seen from above."""
    return slope_area_m2(plane) * math.cos(math.radians(plane.tilt_deg))


def array_share(request: StudyRequest) -> float:
    """Modules on the roof over the roof, both seen from above (0 without a roof)."""
    roof = [plane for plane in request.planes if plane.mounting == "roof"]
    total = request.access.roof_plan_area_m2 or sum(plan_area_m2(plane) for plane in roof)
    return sum(_covered_m2(plane, request.module) for plane in roof) / total if total > 0 else 0.0


def _covered_m2(plane: RoofPlane, module: Module) -> float:
    return plane.modules * module.length_m * module.width_m * math.cos(math.radians(plane.tilt_deg))


def study_roof(request: StudyRequest) -> tuple[RoofLayout, tuple[Working, ...], tuple[str, ...]]:
    """Layout of every plane with the keep-clear zones that the design's own share of the roof asks for.

    It proposes rows and checks room; the layout on site, the racking's rules and the fire marshal come after it.
    """
    share = array_share(request)
    layouts: list[PlaneLayout] = []
    checks: list[Check] = []
    warnings: list[str] = []
    working = [_share_working(request, share)] if any(plane.mounting == "roof" for plane in request.planes) else []
    code = CODE[request.access.edition]
    for index, plane in enumerate(request.planes):
        filled = fill(plane, request, share)
        fits = len(filled.places) >= plane.modules
        layouts.append(_layout(plane, filled, fits))
        checks.append(
            Check(
                f"roof.{index}.fits",
                f"{plane.name}: room for its modules",
                fits,
                f"{plane.modules} modules",
                f"{len(filled.places)} in {filled.orientation} rows",
                code if plane.mounting == "roof" else "dimensions as measured",
                ""
                if fits
                else "Take modules off this plane, free a pathway by using a neighbouring plane, or measure again.",
            )
        )
        working.append(_plane_working(index, plane, request, filled, share))
        if not fits:
            warnings.append(
                f"{plane.name} holds {len(filled.places)} modules with what must stay free, the design puts "
                f"{plane.modules} on it."
            )
        if plane.mounting == "ground":
            working.append(_ground_working(index, plane, request))
    roof_access = [access_of_plane(plane, request.access, share) for plane in request.planes]
    result = RoofLayout(
        code=code,
        array_share_of_plan=share,
        ridge_setback_m=max((item.ridge_setback_in for item in roof_access), default=0) * METRES_PER_INCH,
        pathway_m=max((item.pathway_in for item in roof_access), default=0) * METRES_PER_INCH,
        planes=tuple(layouts),
        checks=tuple(checks),
    )
    return result, tuple(working), tuple(warnings)


def _layout(plane: RoofPlane, filled: Filled, fits: bool) -> PlaneLayout:
    middle = plane.width_m / 2
    rows = sorted({place.v_m for place in filled.places}, reverse=True)
    order = sorted(
        filled.places, key=lambda place: (rows.index(place.v_m), abs(place.u_m + place.width_m / 2 - middle))
    )
    return PlaneLayout(
        name=plane.name,
        orientation="portrait" if filled.orientation == "portrait" else "landscape",
        room_for=len(filled.places),
        modules=plane.modules,
        fits=fits,
        places=tuple(
            ModulePlace(place.u_m, place.v_m, place.width_m, place.height_m) for place in order[: plane.modules]
        ),
        keep_clear=tuple(_shown(plane, zone) for zone in filled.zones),
        outline=corners_of(plane) if plane.outline else (),
    )


def _shown(plane: RoofPlane, zone: Zone) -> ClearZone:
    """A zone as far as it lies on the plane."""
    if plane.outline and (part := within(corners_of(plane), zone.corners)):
        zone = Zone(zone.label, part)
    rect = zone.rect
    corners = () if zone.is_rect else zone.corners
    return ClearZone(zone.label, rect.u_m, rect.v_m, rect.width_m, rect.height_m, corners)


def _share_working(request: StudyRequest, share: float) -> Working:
    roof = [plane for plane in request.planes if plane.mounting == "roof"]
    total = request.access.roof_plan_area_m2 or sum(plan_area_m2(plane) for plane in roof)
    sprinklered = request.access.sprinklered
    return Working(
        key="roof.array_share",
        label="Share of the roof that modules cover, both seen from above",
        formula="Σ n × l × w × cos(tilt) / A_roof",
        terms=(
            Term("covered", share * total, "m2"),
            Term("A_roof", total, "m2", "whole roof" if request.access.roof_plan_area_m2 else "the planes given"),
        ),
        result=share * 100,
        unit="%",
        source=CODE[request.access.edition],
        limit=66.0 if sprinklered else 33.0,
        passes=None,
        remark="Up to the limit 18 in stay free on each side of the ridge, above it 36 in.",
    )


def _plane_working(index: int, plane: RoofPlane, request: StudyRequest, filled: Filled, share: float) -> Working:
    access = access_of_plane(plane, request.access, share)
    edges = edges_of(plane)
    ridge = access.ridge_setback_in if any(edge.kind == "ridge" for edge in edges) else 0
    beside = max(hip_valley_m(edge, request.access, access) for edge in edges) / METRES_PER_INCH
    return Working(
        key=f"roof.{index}.room",
        label=f"{plane.name}: modules that fit",
        formula="rows of whole modules in what is left of the outline"
        if plane.outline
        else "rows of whole modules in what is left of width × slope",
        terms=(
            Term("width", plane.width_m, "m"),
            Term("slope", plane.slope_length_m, "m"),
            Term("l", request.module.length_m, "m", "module"),
            Term("w", request.module.width_m, "m", "module"),
            Term("gap", request.access.module_gap_m, "m", "between modules"),
            Term("pathway", float(access.pathway_in), "in", access.exempt),
            Term("ridge", float(ridge), "in"),
            *((Term("hip, valley", beside, "in", "free on this side"),) if plane.outline else ()),
            Term("obstacles", float(len(plane.obstacles)), "", "on this plane"),
        ),
        result=float(len(filled.places)),
        unit="modules",
        source=CODE[request.access.edition] if plane.mounting == "roof" else "dimensions as measured",
        limit=float(plane.modules),
        passes=len(filled.places) >= plane.modules,
        remark=f"{filled.orientation} rows",
    )


def _ground_working(index: int, plane: RoofPlane, request: StudyRequest) -> Working:
    rise = plane.slope_length_m * math.sin(math.radians(plane.tilt_deg))
    gap = row_gap_m(request.site.latitude_deg, rise)
    return Working(
        key=f"roof.{index}.row_gap",
        label=f"{plane.name}: level gap to a next row without shade from 9 to 3 solar time on the shortest day",
        formula="rise × cos(γ_s) / tan(α_s)",
        terms=(Term("rise", rise, "m", "slope × sin(tilt)"), Term("latitude", request.site.latitude_deg, "degrees")),
        result=gap,
        unit="m",
        source="Duffie and Beckman eqs. 1.6.5, 1.6.6",
        remark="Rows facing the noon sun; 9 to 3: common practice, no source.",
    )
