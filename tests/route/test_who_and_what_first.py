"""For each requirement, who it waits on and what must come first: written out by hand as the office would say it."""

from __future__ import annotations

import pytest

from projects.route.requirements import REQUIREMENT_BY_KEY, REQUIREMENTS

REVIEWED = "contract single_line electrician_review contractor_review"
PERMITTED = (
    "permit_exemption permit_building_issued permit_electrical_issued permit_combined_issued permit_fire_issued "
    "permit_building_renewal permit_electrical_renewal permit_combined_renewal permit_fire_renewal permits_match_design"
)

TABLE = {
    "contact": ("office", ""),
    "answers": ("office", ""),
    "system_type": ("office", ""),
    "first_look": ("office", "contact answers system_type"),
    "go_ahead": ("customer", "first_look"),
    "visit_booked": ("office", "go_ahead"),
    "service": ("crew", "visit_booked"),
    "roof": ("crew", "visit_booked"),
    "obstructions": ("crew", "visit_booked"),
    "site_photos": ("crew", "visit_booked"),
    "design": ("office", "service roof"),
    "study": ("office", "design"),
    "design_checks": ("office", "study"),
    "single_line": ("office", "design_checks"),
    "electrician_review": ("electrician", "single_line"),
    "contractor_review": ("contractor", "single_line"),
    "structural_letter": ("engineer", "design"),
    "contract": ("customer", "go_ahead design"),
    "financing": ("lender", "contract"),
    "permit_exemption": ("office", REVIEWED),
    "permits_match_design": ("office", ""),
    "permits_hold": ("jurisdiction", f"system_type {PERMITTED}"),
    "equipment_ordered": ("office", PERMITTED),
    "equipment_received": ("office", "equipment_ordered"),
    "install_booked": ("office", "permits_hold"),
    "install_started": ("crew", "permits_hold equipment_received install_booked"),
    "mounted": ("crew", "install_started"),
    "wired": ("electrician", "install_started"),
    "rough_in_corrections": ("crew", ""),
    "rough_in_booked": ("office", "wired rough_in_corrections"),
    "rough_in": ("jurisdiction", "rough_in_booked"),
    "labels": ("crew", "wired"),
    "install_photos": ("crew", "install_started"),
    "commissioning_tests": ("electrician", "wired mounted"),
    "final_corrections": ("crew", ""),
    "final_booked": ("office", "mounted wired labels commissioning_tests rough_in final_corrections"),
    "final_passed": ("jurisdiction", "final_booked"),
    "final_check": ("electrician", "mounted wired labels commissioning_tests"),
    "application": ("office", "single_line contract"),
    "application_matches_design": ("office", ""),
    "application_complete": ("utility", "application"),
    "screens": ("utility", "application application_complete"),
    "grid_study": ("utility", "application application_complete"),
    "utility_requests": ("office", ""),
    "utility_approval": (
        "utility",
        "application application_matches_design application_complete utility_requests screens grid_study",
    ),
    "agreement": ("customer", "utility_approval"),
    "inspection_sent": ("office", "application final_passed"),
    "lender_asks_customer": ("customer", ""),
    "lender_asks_office": ("office", ""),
    "lender_asks_lender": ("lender", ""),
    "meter_ordered": ("office", "agreement"),
    "meter": ("utility", "inspection_sent agreement meter_ordered"),
    "witness": ("utility", "inspection_sent agreement"),
    "permission": (
        "utility",
        "utility_approval application_matches_design inspection_sent agreement meter witness",
    ),
    "switched_on": ("crew", "final_passed final_check permission"),
    "handover": ("office", "switched_on"),
    "warranty": ("office", "switched_on"),
    "claims_settled": ("office", ""),
    "service_visit": ("crew", ""),
}
for kind in ("building", "electrical", "combined", "fire"):
    letter = " structural_letter" if kind in ("building", "combined") else ""
    TABLE[f"permit_{kind}_submitted"] = ("office", REVIEWED + letter)
    TABLE[f"permit_{kind}_corrections"] = ("office", "")
    TABLE[f"permit_{kind}_issued"] = ("jurisdiction", f"permit_{kind}_submitted permit_{kind}_corrections")
    TABLE[f"permit_{kind}_renewal"] = ("office", "")


@pytest.mark.parametrize("key", TABLE)
def test_who_it_waits_on_and_what_comes_first(key: str) -> None:
    party, first = TABLE[key]
    requirement = REQUIREMENT_BY_KEY[key]
    assert requirement.party == party
    assert set(requirement.after) == set(first.split())


def test_the_table_is_complete() -> None:
    assert set(TABLE) == {r.key for r in REQUIREMENTS}
