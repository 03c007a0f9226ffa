"""Roof, rafters and fire code as ``sizing`` takes them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import SimpleNamespace
from typing import Any

from projects.actions.freezing import measures, ratings
from projects.models import Job, ModuleModel, RoofPlane
from projects.models.roof_shape import ring_of
from sizing.study import request as ask

METRES_PER_INCH = 0.0254
SLACK = 1.001
WEAKEST_FIRST = ("spruce-pine-fir", "hem-fir", "douglas fir-larch", "southern pine")
"""By specific gravity, as the lag-screw table has it."""


def planes_of(planes: Sequence[RoofPlane], frozen: Mapping[str, Any]) -> tuple[ask.RoofPlane, ...]:
    """The design's planes; ground mounts, pathways and what stands on the roof are known from the site's."""
    recorded = {plane.name: plane for plane in planes}
    return tuple(
        ask.RoofPlane(**{**plane, "outline": _outline(plane)}, **_as_found(recorded.get(plane["name"])))
        for plane in frozen["planes"]
    )


def _outline(plane: Mapping[str, Any]) -> tuple[ask.RoofEdge, ...]:
    return tuple(ask.RoofEdge(**edge) for edge in plane.get("outline", ()))


def _as_found(plane: RoofPlane | None) -> dict[str, Any]:
    if plane is None:
        return {}
    return {
        "mounting": "ground" if plane.covering == RoofPlane.Covering.GROUND else "roof",
        "pathway": plane.pathway,
        "ridge_at_top": plane.ridge_at_top,
        "obstacles": tuple(ask.RoofObstacle(**obstacle) for obstacle in plane.obstacles),
    }


def planes_as_recorded(planes: Sequence[RoofPlane]) -> tuple[ask.RoofPlane, ...]:
    """Every plane of the site, bare."""
    bare = {"planes": [{**measures(plane), "modules": 0} for plane in planes]}
    return planes_of(planes, bare)


def room_for(job: Job, planes: Sequence[RoofPlane], module: ModuleModel, wanted: int) -> dict[str, int]:
    """Modules that fit on each plane, by name, with all kept free that the fire code asks where ``wanted`` lie there.

    More on the roof may ask for more room: what is free for the whole wish is free for less of it.
    """
    from sizing.roof.study import fill, plan_area_m2

    asked = planes_as_recorded(planes)
    on_roof = sum(plan_area_m2(plane) for plane in asked if plane.mounting == "roof")
    share = min(1.0, wanted * module.length_m * module.width_m / on_roof) if on_roof else 0.0
    request = SimpleNamespace(module=ask.Module(**ratings(module)), access=access_of(job))
    return {plane.name: len(fill(plane, request, share).places) for plane in asked}  # type: ignore[arg-type]


def bare_room(plane: RoofPlane, length_m: float, width_m: float) -> int:
    """The larger of all-upright and all-lying rows of modules on the bare plane, before anything is kept free."""
    from sizing.roof.pack import pack_outline

    # A hair of slack: planes are measured with a tape.
    ring = [(u * SLACK, v * SLACK) for u, v in ring_of(plane)]
    return max(len(pack_outline(ring, [], *size, 0.0)) for size in ((width_m, length_m), (length_m, width_m)))


def crosses_itself(ring: Sequence[tuple[float, float]]) -> bool:
    """Whether an outline's edges meet elsewhere than at its corners."""
    from sizing.roof.outline import crosses_itself as crosses

    return crosses(ring)


def lies_on(ring: Sequence[tuple[float, float]], u_m: float, v_m: float) -> bool:
    """Whether a point lies within an outline."""
    from sizing.roof.outline import holds

    return holds(ring, u_m, v_m)


def access_of(job: Job) -> ask.AccessRules:
    site, authority, theirs = job.site, job.jurisdiction, {}
    if authority is not None:
        own_in = authority.hip_valley_setback_in
        theirs = {
            "edition": authority.access_edition,
            "hip_valley_setback_m": None if own_in is None else own_in * METRES_PER_INCH,
        }
    return ask.AccessRules(
        sprinklered=site.sprinklered,
        detached_nonhabitable=site.detached_nonhabitable,
        roof_plan_area_m2=site.roof_plan_area_m2,
        **theirs,
    )


def structure_of(job: Job, planes: Sequence[RoofPlane], frozen: Mapping[str, Any]) -> ask.Structure | None:
    """Wind and snow of the jurisdiction on the weakest rafters under the design; None while anything is missing."""
    rafters = _under(planes, frozen)
    if not rafters or structure_gaps(job, planes, frozen):
        return None
    authority = job.jurisdiction
    assert authority is not None and authority.roof_gcp is not None
    return ask.Structure(
        wind_mph=float(authority.wind_speed_mph),
        ground_snow_psf=float(authority.ground_snow_psf),
        gcp=authority.roof_gcp,
        rafter_spacing_m=max(plane.rafter_spacing_m for plane in rafters if plane.rafter_spacing_m),
        wood=min((plane.rafter_wood for plane in rafters), key=WEAKEST_FIRST.index),  # type: ignore[arg-type]
    )


def structure_gaps(job: Job, planes: Sequence[RoofPlane], frozen: Mapping[str, Any]) -> list[tuple[str, str]]:
    """(where it is typed, what is missing) for the structure sheet; empty too where nothing stands on a roof."""
    rafters = _under(planes, frozen)
    if not rafters:
        return []
    found = []
    if job.jurisdiction is None:
        found.append(("jurisdiction", "the jurisdiction"))
    elif job.jurisdiction.roof_gcp is None:
        found.append(("jurisdiction", f"the roof pressure coefficient (GCp) of {job.jurisdiction}"))
    for plane in rafters:
        if not plane.rafter_spacing_m:
            found.append(("roof", f"the rafter spacing of {plane.name}"))
        if not plane.rafter_wood:
            found.append(("roof", f"the rafters’ wood of {plane.name}"))
    return found


def _under(planes: Sequence[RoofPlane], frozen: Mapping[str, Any]) -> list[RoofPlane]:
    """Recorded roof planes that carry modules."""
    carrying = {plane["name"] for plane in frozen["planes"]}
    return [plane for plane in planes if plane.name in carrying and plane.covering != RoofPlane.Covering.GROUND]
