"""Three designs, one per kind of system, really studied: the golden cases of drawings and packets."""

from __future__ import annotations

from dataclasses import asdict, replace
from functools import cache
from typing import Any

from paperwork.freeze_structure import structure_facts
from sizing.electrical.labels import labels
from sizing.study import request as q
from sizing.study.codec import result_to_dict
from sizing.study.result import StudyResult
from sizing.study.run import run_study
from tests.paperwork import hand_made
from tests.paperwork.hand_facts import facts_of

KINDS = ("grid_tied", "hybrid", "off_grid")
COUPLED = ("ac_coupled", "ac_off_grid")
"""Batteries with inverters of their own; drawn as well."""
APPLIANCES = (
    q.Appliance("Refrigerator", "steady", 150.0, 10.0, tier="must_run"),
    q.Appliance("Lights and outlets", "steady", 400.0, 6.0, tier="must_run"),
    q.Appliance("Dishwasher", "steady", 1200.0, 1.0, tier="can_wait"),
)
PROFILE: dict[str, Any] = {
    "name": "Town of Marrow Bay",
    "state": "NC",
    "phone": "(555) 010-0201",
    "email": "permits@marrow-bay.example",
    "counter_note": "Second window.",
    "combined_permit": False,
    "fire_review": False,
    "structural_letter": True,
    "rough_in_inspection": True,
    "code_edition": "2020",
    "wind_speed_mph": 140,
    "ground_snow_psf": 5,
    "record_low_c": -11.0,
    "high_2pct_c": 34.0,
    "building_fee_usd": "85.00",
    "electrical_fee_usd": "60.00",
    "inspection_notice_days": 2,
}


def request(kind: str) -> q.StudyRequest:
    if kind in COUPLED:
        return _coupled(kind)
    asked = hand_made.request(kind)
    plane = replace(asked.planes[0], width_m=14.0, slope_length_m=6.0)
    # Three circuits of each battery fit the input; nothing else is changed from the worked drawing's list.
    return replace(
        asked,
        planes=(plane,),
        climate=q.Climate(record_low_c=-11.0, high_2pct_c=34.0),
        service=q.Service(free_breaker_spaces=6),
        appliances=APPLIANCES,
    )


def _coupled(kind: str) -> q.StudyRequest:
    off_grid = kind == "ac_off_grid"
    asked = request("off_grid" if off_grid else "hybrid")
    return replace(
        asked,
        inverter=hand_made.FOLLOWER,
        battery=replace(hand_made.COUPLED, units=2 if off_grid else 1),
        service=asked.service if off_grid else q.Service(busbar_a=225.0, free_breaker_spaces=2),
    )


@cache
def result(kind: str) -> StudyResult:
    return run_study(request(kind))


def packet_facts(kind: str, paper: str, number: str) -> dict[str, Any]:
    """What a packet freezes of the golden design, without a database."""
    studied = result(kind)
    plain = result_to_dict(studied)
    roof = [
        {
            "name": plane.name,
            "tilt_deg": plane.tilt_deg,
            "azimuth_deg": plane.azimuth_deg,
            "width_m": plane.width_m,
            "slope_length_m": plane.slope_length_m,
            "eave_height_m": 3.0,
            "rafter_spacing_m": 0.6096,
            "wood": "southern pine",
            "covering": "Asphalt shingle",
            "on_ground": False,
            "age_years": 7,
            "modules": plane.modules,
        }
        for plane in studied.request.planes
    ]
    facts = facts_of(studied, kind=paper, number=number)
    holder = facts["licences"][0]
    return {
        **facts,
        "address": "https://book.longleaf-shore.example/jobs/147/",
        "licences": [holder | {"trade": trade} for trade in ("contractor", "electrician")],
        "working": plain["working"],
        "assumptions": plain["assumptions"],
        "profile": PROFILE,
        "roof": roof,
        "roof_layout": plain["roof"],
        "labels": [asdict(label) | {"text": list(label.text)} for label in labels(studied.request, studied.electrical)],
        "structure": structure_facts(roof, plain, PROFILE),
        "attach": [{"what": "Structural letter", "state": "to be attached"}],
    }
