"""Freezes what permit packets show beyond the design: the jurisdiction's profile, the roof, what is to be attached."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Any

from paperwork.freeze import calculation_facts, label_facts
from paperwork.freeze_structure import structure_facts
from paperwork.sources import Sources
from paperwork.words import day
from projects.actions.freezing import measures
from projects.actions.packet_list import wanted_of
from projects.actions.permit_fees import fee_of_job
from projects.models import Insurance, JobMark, Jurisdiction, RoofPlane

FEE_OF = {"building_packet": "building", "electrical_packet": "electrical", "permit_packet": "combined"}
"""The permit whose fee goes in with a packet."""


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
        "asks_insurance": jurisdiction.asks_insurance,
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


def bare_planes(sources: Sources) -> list[dict[str, Any]]:
    """The rest of the roof as recorded on site: planes without modules, which the plan shows for access and ridge."""
    assert sources.design is not None
    carrying = {line["plane"] for line in sources.design.plane_modules if line["modules"]}
    return [
        {**measures(plane), "ridge_at_top": plane.ridge_at_top, "modules": 0}
        for plane in RoofPlane.objects.filter(site=sources.job.site)
        if plane.name not in carrying and plane.covering != RoofPlane.Covering.GROUND
    ]


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
    asked = "" if jurisdiction.asks_insurance else ", where the counter asks for it"
    found.append({"what": f"Certificate of insurance{asked}", "state": "to be attached"})
    return found


def fee_facts(sources: Sources, kind: str) -> list[dict[str, str | None]]:
    """By the jurisdiction's rule as it stands, with its working; a total of None: something isn't known yet."""
    assert sources.job.jurisdiction is not None
    kinds = {"Permit fee": FEE_OF[kind]}
    if sources.job.jurisdiction.fire_review and kind != "electrical_packet":
        kinds["Fire review fee"] = "fire"
    found = []
    for what, permit in kinds.items():
        fee = fee_of_job(sources.job, permit, sources.design)
        if fee.words:
            total = None if fee.total_usd is None else str(fee.total_usd)
            found.append({"what": what, "total_usd": total, "working": fee.words})
    return found


def insurance_facts(on: date) -> list[dict[str, str]]:
    """One policy of each kind that is in force on the day, the one that lasts longest."""
    found: dict[str, dict[str, str]] = {}
    for policy in Insurance.objects.filter(starts_on__lte=on, expires_on__gte=on):
        found.setdefault(
            policy.kind,
            {
                "kind": policy.get_kind_display(),
                "insurer": policy.insurer,
                "number": policy.number,
                "expires_on": policy.expires_on.isoformat(),
            },
        )
    return list(found.values())


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
        "bare_planes": bare_planes(sources),
        "structure": structure_facts(roof, sources.study.result, profile) if building else None,
        "wanted": [asdict(line) for line in wanted_of(sources.job.jurisdiction.packet_list)[0]],
        "fees": fee_facts(sources, common["kind"]),
        "insurance": insurance_facts(date.fromisoformat(common["on"])),
        "attach": to_attach(sources, building=building, roof=roof),
    }
