"""Freezes loads and attachments of each roof plane, reckoned by the study's own structure sheet on its own layout."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from sizing.structure.study import rail_rows, study_structure
from sizing.study.codec import read
from sizing.study.request import Structure, StudyRequest
from sizing.study.result import PlaneLayout, RoofLayout, StructurePlane, StructureSheet

FEET_PER_M = 1 / 0.3048
SPECIES = "spruce-pine-fir"
"""The weakest wood of the table, until somebody has looked."""
COEFFICIENTS = (-1.0, -2.0, -3.0)
"""External pressure coefficients shown side by side where the jurisdiction's profile gives none: roof zone and
coefficient are then the engineer's to settle."""


def structure_facts(
    roof: Sequence[Mapping[str, Any]], study: Mapping[str, Any], profile: Mapping[str, Any]
) -> dict[str, Any]:
    """``roof`` as ``roof_facts`` gives it, ``study`` a study's plain result with its roof layout.

    Each plane has its own rafters and wood; the sheet is worked out for it alone, once per pressure coefficient.
    """
    request = read(StudyRequest, study["request"])
    layout = read(RoofLayout, study["roof"])
    placed = {plane.name: plane for plane in layout.planes}
    given = request.structure
    coefficients = COEFFICIENTS if given is None else (given.gcp,)
    planes, uplifts = [], {}
    sheet: StructureSheet | None = None
    for plane in roof:
        if plane["on_ground"] or plane["rafter_spacing_m"] is None:
            continue
        alone = replace(layout, planes=(placed[plane["name"]],))
        at: dict[str, StructurePlane] = {}
        for coefficient in coefficients:
            sheet = _sheet(request, _structure(given, plane, profile, coefficient), alone)
            uplifts[str(coefficient)] = sheet.net_uplift_psf
            at[str(coefficient)] = sheet.planes[0]
        assert sheet is not None
        first = at[str(coefficients[0])]
        rows = rows_of(placed[plane["name"]])
        planes.append(
            {
                "name": plane["name"],
                "rafter_in": plane["rafter_spacing_m"] * FEET_PER_M * 12,
                "spacing_in": sheet.attachment_spacing_m * FEET_PER_M * 12,
                "wood": _structure(given, plane, profile, coefficients[0]).wood,
                "rows": [count for count, _ in rows],
                "rail_ft": [length_m * FEET_PER_M for _, length_m in rows],
                "area_ft2": first.dead_lb / sheet.dead_load_psf,
                "attachments": first.attachments,
                "spots": [list(spot) for spot in first.spots],
                "weight_lb": first.dead_lb,
                "allowed_lb": sheet.lag_allowed_lb,
                "at": {
                    key: {"attachments": found.attachments, "each_lb": found.uplift_lb / found.attachments}
                    for key, found in at.items()
                },
            }
        )
    usual = _structure(given, {"rafter_spacing_m": 0.6096, "wood": ""}, profile, coefficients[0])
    return {
        "dead_psf": sheet.dead_load_psf if sheet else None,
        "pressure_psf": sheet.velocity_pressure_psf if sheet else None,
        "uplift_psf": uplifts,
        "coefficient_given": given is not None,
        "edge_factor": usual.edge_factor,
        "lag": {"diameter_in": usual.lag_diameter_in, "thread_in": usual.lag_thread_in},
        "planes": planes,
    }


def rows_of(layout: PlaneLayout) -> list[tuple[int, float]]:
    """(modules, length of rail in m) of each row, from the lowest up; two rails lie under each."""
    return [(len(row), row[-1].u_m + row[-1].width_m - row[0].u_m) for row in rail_rows(layout.places)]


def _structure(
    given: Structure | None, plane: Mapping[str, Any], profile: Mapping[str, Any], coefficient: float
) -> Structure:
    wood = plane["wood"] or SPECIES
    if given is not None:
        return replace(given, rafter_spacing_m=plane["rafter_spacing_m"], wood=plane["wood"] or given.wood)
    return Structure(
        wind_mph=profile["wind_speed_mph"],
        ground_snow_psf=profile["ground_snow_psf"],
        gcp=coefficient,
        rafter_spacing_m=plane["rafter_spacing_m"],
        wood=wood,
    )


def _sheet(request: StudyRequest, structure: Structure, layout: RoofLayout) -> StructureSheet:
    sheet, _ = study_structure(replace(request, structure=structure), layout)
    assert sheet is not None
    return sheet
