"""The structure sheet of a study: uplift, dead load and attachments of each roof plane, for review."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from sizing.structure.fasteners import SPECIFIC_GRAVITY, allowed_withdrawal_lb, attachments
from sizing.structure.wind import dead_load_psf, net_uplift_psf, velocity_pressure_psf
from sizing.study.request import Structure, StudyRequest
from sizing.study.result import ModulePlace, PlaneLayout, RoofLayout, StructurePlane, StructureSheet
from sizing.working import Term, Working

FEET_PER_METRE = 1 / 0.3048
RAILS_AT = (0.25, 0.75)
"""How far up a row of modules its two rails lie: within the usual clamping zones. Common practice, no source."""
REVIEW = "For review by the licensed engineer where required: arithmetic for the packet, not an engineer's seal."


def study_structure(request: StudyRequest, roof: RoofLayout) -> tuple[StructureSheet | None, tuple[Working, ...]]:
    """Every roof plane with modules; None where the request brings no wind, snow and rafters."""
    given = request.structure
    if given is None:
        return None, ()
    module = request.module
    pressure = velocity_pressure_psf(given.wind_mph, kz=given.kz, kzt=given.kzt)
    dead = dead_load_psf(module.weight_kg, module.length_m * module.width_m)
    uplift = net_uplift_psf(pressure, given.gcp, edge_factor=given.edge_factor, dead_psf=dead)
    allowed = allowed_withdrawal_lb(SPECIFIC_GRAVITY[given.wood], given.lag_diameter_in, given.lag_thread_in)
    spacing_m = max(math.floor(given.largest_spacing_m / given.rafter_spacing_m + 1e-9), 1) * given.rafter_spacing_m
    working = [_pressure(given, pressure), _uplift(given, pressure, dead, uplift), _withdrawal(given, allowed)]
    planes = []
    on_roof = {plane.name for plane in request.planes if plane.mounting == "roof"}
    for index, layout in enumerate(roof.planes):
        if layout.name not in on_roof or not layout.places:
            continue
        count, spots, lines = _plane(request, layout, uplift, allowed, spacing_m)
        area_ft2 = len(layout.places) * module.length_m * module.width_m * FEET_PER_METRE**2
        planes.append(StructurePlane(layout.name, count, area_ft2 * uplift, area_ft2 * dead, count * allowed, spots))
        working += [replace(line, key=f"{line.key}.{index}.{number}") for number, line in enumerate(lines)]
    sheet = StructureSheet(
        velocity_pressure_psf=pressure,
        net_uplift_psf=uplift,
        dead_load_psf=dead,
        ground_snow_psf=given.ground_snow_psf,
        lag_allowed_lb=allowed,
        attachment_spacing_m=spacing_m,
        planes=tuple(planes),
        note=REVIEW,
    )
    return sheet, tuple(working)


def _plane(
    request: StudyRequest, layout: PlaneLayout, uplift_psf: float, allowed_lb: float, spacing_m: float
) -> tuple[int, tuple[tuple[float, float], ...], list[Working]]:
    """Attachments of a plane: two rails under each row, each row by strength or by spacing, whichever is more."""
    total, spots, lines = 0, [], []
    for row in rail_rows(layout.places):
        length_m = row[-1].u_m + row[-1].width_m - row[0].u_m
        plan = attachments(
            area_ft2=len(row) * request.module.length_m * request.module.width_m * FEET_PER_METRE**2,
            net_uplift_psf=uplift_psf,
            allowed_lb=allowed_lb,
            rail_length_ft=length_m * FEET_PER_METRE,
            rails=len(RAILS_AT),
            largest_spacing_ft=spacing_m * FEET_PER_METRE,
        )
        total += plan.attachments
        spots += spots_of(row, plan.attachments)
        lines += list(plan.working)
    return total, tuple(spots), lines


RAIL_BRIDGES_M = 0.3
"""A rail goes on across a gap no wider than that. Common practice, no source; a fire pathway is wider (IRC R324.6)."""


def rail_rows(places: Sequence[ModulePlace]) -> list[list[ModulePlace]]:
    """Modules that share their rails, from the lowest row up and from the left.

    A row ends where something is kept clear: no rail lies across a pathway or before a vent.
    """
    rows: list[list[ModulePlace]] = []
    for place in sorted(places, key=lambda place: (place.v_m, place.u_m)):
        before = rows[-1][-1] if rows else None
        if before and before.v_m == place.v_m and place.u_m - before.u_m - before.width_m <= RAIL_BRIDGES_M:
            rows[-1].append(place)
        else:
            rows.append([place])
    return rows


def spots_of(row: Sequence[ModulePlace], count: int) -> list[tuple[float, float]]:
    """(u_m, v_m) of ``count`` attachments, spread evenly along the rails from end to end of a row of modules."""
    begin, end = row[0].u_m, row[-1].u_m + row[-1].width_m
    found = []
    for rail, share in enumerate(RAILS_AT):
        here = count // len(RAILS_AT) + (rail < count % len(RAILS_AT))
        step_m = (end - begin) / max(here - 1, 1)
        found += [(begin + n * step_m, row[0].v_m + share * row[0].height_m) for n in range(here)]
    return found


def _pressure(given: Structure, pressure: float) -> Working:
    return Working(
        "structure.velocity_pressure",
        "Velocity pressure of the wind",
        "0.00256 × Kz × Kzt × Kd × Ke × V²",
        (
            Term("V", given.wind_mph, "mph", "of the jurisdiction"),
            Term("Kz", given.kz, ""),
            Term("Kzt", given.kzt, ""),
            Term("Kd", 0.85, ""),
            Term("Ke", 1.0, ""),
        ),
        pressure,
        "psf",
        "ASCE 7-16 eq. 26.10-1",
        remark=REVIEW,
    )


def _uplift(given: Structure, pressure: float, dead: float, uplift: float) -> Working:
    return Working(
        "structure.net_uplift",
        "Net uplift on modules parallel to the roof, allowable stress",
        "0.6 × q × |GCp| × γ_E − 0.6 × D",
        (
            Term("q", pressure, "psf"),
            Term("GCp", given.gcp, "", "as given for the roof zone"),
            Term("γ_E", given.edge_factor, "", "1.5 where edge modules are exposed"),
            Term("D", dead, "psf", "modules and racking"),
        ),
        uplift,
        "psf",
        "ASCE 7-16 29.4.4, 2.4.1",
        remark=REVIEW,
    )


def _withdrawal(given: Structure, allowed: float) -> Working:
    return Working(
        "structure.lag_withdrawal",
        "What one lag screw may carry",
        "1800 × G^1.5 × D^0.75 × thread × C_D",
        (
            Term("G", SPECIFIC_GRAVITY[given.wood], "", given.wood),
            Term("D", given.lag_diameter_in, "in"),
            Term("thread", given.lag_thread_in, "in", "in the rafter, without the tip"),
            Term("C_D", 1.6, "", "wind"),
        ),
        allowed,
        "lb",
        "NDS 12.2-1",
        remark=REVIEW,
    )
