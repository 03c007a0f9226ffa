"""Freezes what permit packets show beyond the design: the jurisdiction's profile, the roof, what is to be attached."""

from __future__ import annotations

from typing import Any

from paperwork.freeze import calculation_facts, label_facts
from paperwork.freeze_structure import structure_facts
from paperwork.sources import Sources
from paperwork.words import day
from projects.models import JobMark, Jurisdiction, RoofPlane


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
                    "wood": plane.rafter_wood,
                    "covering": plane.get_covering_display(),
                    "on_ground": plane.covering == RoofPlane.Covering.GROUND,
                    "age_years": plane.age_years,
                    "modules": modules[plane.name],
                }
            )
    return found


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
                "state": f"in hand since {day(mark.on)}, to be attached" if mark else "to be attached",
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
        "roof_layout": sources.study.result["roof"],
        "structure": structure_facts(roof, sources.study.result, profile) if building else None,
        "attach": to_attach(sources, building=building, roof=roof),
    }
