"""For every requirement of every route: without its fact the job doesn't pass its stage."""

from __future__ import annotations

import pytest

from projects.route.requirements import REQUIREMENT_BY_KEY, REQUIREMENTS
from projects.route.stages import STAGE_KEYS
from projects.route.standing import standing
from tests.route.scenarios import REMOVALS, ROUTES, complete_job, kinds_asked, without

COMMON = (
    *("contact", "answers", "system_type", "first_look", "go_ahead"),
    *("visit_booked", "service", "roof", "obstructions", "site_photos"),
    *("design", "study", "design_checks", "single_line", "electrician_review", "contractor_review", "contract"),
    *("permits_hold", "equipment_ordered", "equipment_received", "install_booked", "install_started"),
    *("mounted", "wired", "labels", "install_photos", "commissioning_tests"),
    *("switched_on", "handover", "warranty"),
)
GRID = [
    *("application", "application_matches_design", "utility_requests", "utility_approval"),
    *("agreement", "inspection_sent", "permission"),
]
LENDER = ["lender_asks_customer", "lender_asks_office", "lender_asks_lender"]
SERVICE = ["claims_settled", "service_visit"]
INSPECTED = ["final_corrections", "final_booked", "final_passed", "permits_match_design"]


def asked_of(route: str) -> list[str]:
    """The requirements that a route must have, the conditional ones too; written from the rules, not from the code."""
    system_type, jurisdiction, utility, loan = ROUTES[route]
    exempt = system_type == "off_grid" and jurisdiction.off_grid_exempt
    asked = [*COMMON, *SERVICE]
    asked += GRID if system_type != "off_grid" else []
    asked += ["permit_exemption", "final_check"] if exempt else INSPECTED
    asked += ["structural_letter"] if jurisdiction.structural_letter else []
    asked += ["financing", *LENDER] if loan else []
    if jurisdiction.rough_in_inspection and not exempt:
        asked += ["rough_in_corrections", "rough_in_booked", "rough_in"]
    if system_type != "off_grid":
        asked += ["application_complete"] if utility.completeness_days else []
        if utility.simplified_up_to_kw < 7.6:  # the size of the complete job
            asked += ["screens"] if utility.fast_track_up_to_kw >= 7.6 else ["grid_study"]
        asked += ["meter"] if utility.meter_swap else []
        asked += ["meter_ordered"] if utility.meter_swap and utility.meter_order else []
        asked += ["witness"] if utility.witness_test else []
    for kind in kinds_asked(system_type, jurisdiction):
        asked += [f"permit_{kind}_{step}" for step in ("submitted", "corrections", "issued", "renewal")]
    return asked


CASES = [(route, key) for route in ROUTES for key in asked_of(route)]


@pytest.mark.parametrize("route", ROUTES)
def test_a_job_with_every_fact_is_in_service(route: str) -> None:
    answer = standing(complete_job(route))
    assert [r.key for r in answer.requirements if not r.done] == []
    assert answer.in_service
    assert answer.stage == "in_service"
    assert (answer.next_steps, answer.waiting_on, answer.next_step, answer.due_on) == ((), None, "", None)


@pytest.mark.parametrize(("route", "key"), CASES, ids=[f"{route}: {key}" for route, key in CASES])
def test_without_its_fact_the_job_does_not_pass(route: str, key: str) -> None:
    answer = standing(without(complete_job(route), key))
    undone = {r.key for r in answer.requirements if not r.done}
    assert key in undone
    assert answer.in_service == (key in SERVICE)
    assert STAGE_KEYS.index(answer.stage) <= STAGE_KEYS.index(REQUIREMENT_BY_KEY[key].stage)
    # Nothing earlier fell with it, design and permits aside: those really do undo what was built on them.
    if key not in ("design", "study", "permits_match_design", "system_type"):
        assert answer.stage == REQUIREMENT_BY_KEY[key].stage or key in ("permits_hold",)


@pytest.mark.parametrize(("route", "key"), CASES, ids=[f"{route}: {key}" for route, key in CASES])
def test_somebody_can_always_make_the_next_move(route: str, key: str) -> None:
    answer = standing(without(complete_job(route), key))
    assert answer.next_steps
    assert answer.waiting_on is not None
    assert answer.next_step == answer.next_steps[0].sentence


@pytest.mark.parametrize("route", ROUTES)
def test_a_route_asks_for_nothing_beyond_its_rules(route: str) -> None:
    conditional = (
        "application_matches_design",
        "_corrections",
        "_renewal",
        "utility_requests",
        "permits_match_design",
        *SERVICE,
        *LENDER,
    )
    steady = {key for key in asked_of(route) if not key.endswith(conditional)}
    assert {r.key for r in standing(complete_job(route)).requirements} == steady


def test_every_requirement_is_taken_away_on_some_route() -> None:
    assert {key for _, key in CASES} == {r.key for r in REQUIREMENTS} == set(REMOVALS)


@pytest.mark.parametrize("route", ROUTES)
@pytest.mark.parametrize("stage", STAGE_KEYS[:-1])
def test_a_stage_waits_for_all_before_it(route: str, stage: str) -> None:
    """Every later fact recorded already doesn't carry a job past an unmet stage."""
    facts = complete_job(route)
    members = [r.key for r in standing(facts).requirements if r.stage == stage]
    for key in members:
        answer = standing(without(facts, key))
        passed = STAGE_KEYS[: STAGE_KEYS.index(answer.stage)]
        assert all(r.done for r in answer.requirements if r.stage in passed)
        assert any(not r.done for r in answer.requirements if r.stage == answer.stage)
