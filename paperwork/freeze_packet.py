"""Freezes what permit packets show beyond the design: the jurisdiction's profile, the roof, what is to be attached."""

from __future__ import annotations

from typing import Any

from paperwork.content.module_layout import layout
from paperwork.freeze import calculation_facts, label_facts
from paperwork.sources import Sources
from projects.models import JobMark, Jurisdiction, RoofPlane
from sizing.structure.fasteners import allowed_withdrawal_lb, attachments
from sizing.structure.wind import dead_load_psf, net_uplift_psf, velocity_pressure_psf

FEET_PER_M = 1 / 0.3048
FT2_PER_M2 = FEET_PER_M**2
LARGEST_SPACING_IN = 48.0
"""Along a rail, unless the racking's own table asks for less; common practice, no source."""
LAG_DIAMETER_IN, THREAD_IN, SPECIES = 5 / 16, 2.5, "spruce-pine-fir"
"""Lag screw and wood that the sheet reckons with: the weakest wood of the table, until somebody has looked."""
SPECIFIC_GRAVITY = 0.42
COEFFICIENTS = (-1.0, -2.0, -3.0)
"""External pressure coefficients shown side by side: roof zone and coefficient are the engineer's to settle."""
EDGE_FACTOR = 1.5


def profile_facts(jurisdiction: Jurisdiction) -> dict[str, Any]:
    return {
        "name": jurisdiction.name,
        "state": jurisdiction.state,
        "phone": jurisdiction.phone,
        "email": jurisdiction.email,
        "counter_note": jurisdiction.counter_note,
        "combined_permit": jurisdiction.combined_permit,
        "fire_review": jurisdiction.fire_review,
        "structural_letter": jurisdiction.structural_letter,
        "rough_in_inspection": jurisdiction.rough_in_inspection,
        "code_edition": jurisdiction.code_edition,
        "wind_speed_mph": jurisdiction.wind_speed_mph,
        "ground_snow_psf": jurisdiction.ground_snow_psf,
        "record_low_c": jurisdiction.record_low_c,
        "high_2pct_c": jurisdiction.high_2pct_c,
        "building_fee_usd": str(jurisdiction.building_fee_usd),
        "electrical_fee_usd": str(jurisdiction.electrical_fee_usd),
        "inspection_notice_days": jurisdiction.inspection_notice_days,
    }


def roof_facts(sources: Sources) -> list[dict[str, Any]]:
    """Roof planes that carry modules, as measured on site."""
    assert sources.design is not None
    modules = {line["plane"]: line["modules"] for line in sources.design.plane_modules}
    found = []
    for plane in RoofPlane.objects.filter(site=sources.job.site):
        if modules.get(plane.name):
            found.append(
                {
                    "name": plane.name,
                    "tilt_deg": plane.tilt_deg,
                    "azimuth_deg": plane.azimuth_deg,
                    "width_m": plane.width_m,
                    "slope_length_m": plane.slope_length_m,
                    "eave_height_m": plane.eave_height_m,
                    "rafter_spacing_m": plane.rafter_spacing_m,
                    "covering": plane.get_covering_display(),
                    "on_ground": plane.covering == RoofPlane.Covering.GROUND,
                    "age_years": plane.age_years,
                    "modules": modules[plane.name],
                }
            )
    return found


def structure_facts(roof: list[dict[str, Any]], module: dict[str, Any], profile: dict[str, Any]) -> dict[str, Any]:
    """Loads and attachments of each plane on rafters, in the pounds and inches of the standards."""
    area_m2 = module["length_m"] * module["width_m"]
    dead = dead_load_psf(module["weight_kg"], area_m2)
    pressure = velocity_pressure_psf(profile["wind_speed_mph"])
    allowed = allowed_withdrawal_lb(SPECIFIC_GRAVITY, LAG_DIAMETER_IN, THREAD_IN)
    uplifts = {str(c): net_uplift_psf(pressure, c, edge_factor=EDGE_FACTOR, dead_psf=dead) for c in COEFFICIENTS}
    planes = []
    for plane in roof:
        if plane["on_ground"] or plane["rafter_spacing_m"] is None:
            continue
        rafter_in = plane["rafter_spacing_m"] * FEET_PER_M * 12
        spacing_in = max(int(LARGEST_SPACING_IN / rafter_in + 0.01), 1) * rafter_in
        placed = layout(plane, module)
        area_ft2 = plane["modules"] * area_m2 * FT2_PER_M2
        count = sum(
            attachments(
                area_ft2=0.0,
                net_uplift_psf=0.0,
                allowed_lb=allowed,
                rail_length_ft=wide * FEET_PER_M,
                rails=2,
                largest_spacing_ft=spacing_in / 12,
            ).by_spacing
            for wide in placed.row_wide_m
        )
        planes.append(
            {
                "name": plane["name"],
                "rafter_in": rafter_in,
                "spacing_in": spacing_in,
                "rows": list(placed.rows),
                "rail_ft": [wide * FEET_PER_M for wide in placed.row_wide_m],
                "area_ft2": area_ft2,
                "attachments": count,
                "weight_lb": dead * area_ft2,
                "each_lb": {c: psf * area_ft2 / count for c, psf in uplifts.items()},
            }
        )
    return {
        "dead_psf": dead,
        "pressure_psf": pressure,
        "uplift_psf": uplifts,
        "allowed_lb": allowed,
        "lag": {"diameter_in": LAG_DIAMETER_IN, "thread_in": THREAD_IN, "species": SPECIES},
        "planes": planes,
    }


def to_attach(sources: Sources, *, building: bool, roof: list[dict[str, Any]]) -> list[dict[str, str]]:
    """What goes with the packet and can't be printed here, and whether it is in hand."""
    jurisdiction = sources.job.jurisdiction
    assert jurisdiction is not None
    found = []
    if building and jurisdiction.structural_letter:
        mark = JobMark.objects.filter(job=sources.job, key="structural_letter", withdrawn_at=None).first()
        found.append(
            {
                "what": "Structural letter, stamped by the licensed engineer",
                "state": f"in hand since {mark.on.isoformat()}, to be attached" if mark else "to be attached",
            }
        )
    if building and any(plane["on_ground"] for plane in roof):
        found.append({"what": "Foundation of the ground mount, by the licensed engineer", "state": "to be attached"})
    found.append({"what": "Makers' datasheets and listings of the equipment", "state": "to be attached"})
    if building:
        found.append({"what": "Racking maker's instructions and span table", "state": "to be attached"})
    found.append({"what": "Certificate of insurance, where the counter asks for it", "state": "to be attached"})
    return found


def packet_facts(sources: Sources, common: dict[str, Any], *, building: bool) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None and sources.job.jurisdiction is not None
    facts = calculation_facts(sources.job, sources.design, sources.study, common)
    profile = profile_facts(sources.job.jurisdiction)
    roof = roof_facts(sources)
    return {
        **facts,
        "profile": profile,
        "roof": roof,
        "labels": label_facts(sources.study),
        "structure": structure_facts(roof, facts["study"]["request"]["module"], profile) if building else None,
        "attach": to_attach(sources, building=building, roof=roof),
    }
