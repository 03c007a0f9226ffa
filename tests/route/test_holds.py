"""The three holds that protect people can't be waived, forced or slipped past."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from projects.route.facts import InspectionFacts, JobFacts, Mark
from projects.route.holds import (
    installation_problems,
    mark_problems,
    operation_problems,
    parallel_operation_problems,
    waiver_problems,
)
from projects.route.requirements import HOLDS, REQUIREMENTS
from projects.route.standing import standing
from tests.route.scenarios import (
    COUNTY,
    POWER,
    ROUTES,
    changed,
    complete_job,
    failed,
    inspections,
    latest_round,
    without,
    without_mark,
)

EVERY_WAIVER = {r.key: Mark(date(2026, 6, 30), "the owner", "on my word") for r in REQUIREMENTS}


def with_every_waiver(facts: JobFacts) -> JobFacts:
    return replace(facts, waivers=EVERY_WAIVER)


@pytest.mark.parametrize("route", ROUTES)
def test_a_waiver_of_everything_releases_no_hold(route: str) -> None:
    """Even where waivers of the holds got into the facts past the guard."""
    complete = complete_job(route)
    for hold in HOLDS:
        if hold not in {r.key for r in standing(complete).requirements}:
            continue
        answer = standing(with_every_waiver(without(complete, hold)))
        state = {r.key: r.state for r in answer.requirements}
        assert state[hold] in ("open", "waiting")
        assert not answer.in_service


@pytest.mark.parametrize("key", HOLDS)
@pytest.mark.parametrize("route", ROUTES)
def test_the_guard_refuses_to_waive_a_hold(route: str, key: str) -> None:
    problems = waiver_problems(without(complete_job(route), key), key)
    assert problems
    assert "protects people" in problems[0]


def test_no_installation_before_every_required_permit_is_issued() -> None:
    facts = without(complete_job("hybrid, everything asked"), "permit_electrical_issued")
    assert installation_problems(facts) == [f"The electrical permit is not issued by {COUNTY} yet."]
    assert mark_problems(facts, "install_started") == installation_problems(facts)
    assert standing(facts).stage == "permits"
    assert installation_problems(complete_job("hybrid, everything asked")) == []


def test_no_installation_while_fire_review_is_open() -> None:
    facts = without(complete_job("hybrid, everything asked"), "permit_fire_issued")
    assert installation_problems(facts) == [f"The fire review is not approved by {COUNTY} yet."]


def test_no_installation_of_another_design_than_the_permits_show() -> None:
    facts = replace(
        complete_job(), design_fingerprint="D2", study_fingerprint="D2", design_changes=("modules on South: 12 → 14",)
    )
    assert installation_problems(facts) == [
        "The building permit shows another design than the current one.",
        "The electrical permit shows another design than the current one.",
        "Changed since the set was submitted: modules on South: 12 → 14.",
    ]


def test_no_installation_while_corrections_are_open() -> None:
    facts = changed(complete_job(), latest_round("building", outcome="corrections"))
    assert installation_problems(facts) == [f"The building permit is not issued by {COUNTY} yet."]


def test_no_installation_under_an_expired_permit() -> None:
    facts = without(complete_job(), "permit_building_renewal")
    assert installation_problems(facts) == [f"The building permit has expired: renew it with {COUNTY}."]


def test_no_installation_before_the_kind_of_system_is_decided() -> None:
    assert installation_problems(without(complete_job(), "system_type")) == ["The kind of system is not decided yet."]


def test_an_exempt_job_waits_for_the_confirmed_rule() -> None:
    facts = without(complete_job("off-grid, exempt"), "permit_exemption")
    assert installation_problems(facts) == [f"The rule by which {COUNTY} asks for no permit here is not confirmed yet."]
    assert installation_problems(complete_job("off-grid, exempt")) == []


def test_an_exemption_is_for_off_grid_alone() -> None:
    facts = replace(complete_job("off-grid, exempt"), system_type="hybrid")
    assert len(installation_problems(facts)) == 3
    assert not standing(facts).in_service


@pytest.mark.parametrize("route", [name for name in ROUTES if name != "off-grid, exempt"])
def test_no_operation_before_the_final_inspection_has_passed(route: str) -> None:
    said = [f"The final inspection with {COUNTY} has not passed yet."]
    booked = without(complete_job(route), "final_passed")
    assert operation_problems(booked) == said
    assert mark_problems(booked, "switched_on") == said
    assert operation_problems(without(complete_job(route), "final_booked")) == said
    assert operation_problems(changed(complete_job(route), failed("final", date(2026, 5, 14)))) == said
    assert operation_problems(complete_job(route)) == []


def test_a_later_failed_inspection_takes_the_pass_back() -> None:
    facts = changed(
        complete_job(),
        inspections(
            InspectionFacts("final", date(2026, 5, 12), "passed", date(2026, 5, 12)),
            InspectionFacts("final", date(2026, 5, 20), "corrections", date(2026, 5, 20)),
        ),
    )
    assert operation_problems(facts)
    assert standing(facts).stage == "inspection"


def test_a_cancelled_inspection_is_no_pass() -> None:
    facts = changed(complete_job(), inspections(InspectionFacts("final", date(2026, 5, 12), "cancelled")))
    assert operation_problems(facts)


def test_an_exempt_job_does_not_run_before_the_electricians_own_check() -> None:
    facts = without(complete_job("off-grid, exempt"), "final_check")
    assert operation_problems(facts) == ["The licensed electrician's own final check is not recorded yet."]
    assert standing(facts).stage == "inspection"


@pytest.mark.parametrize("route", [name for name in ROUTES if not name.startswith("off-grid")])
def test_no_parallel_operation_before_permission_to_operate(route: str) -> None:
    facts = without(complete_job(route), "permission")
    assert parallel_operation_problems(facts) == [f"{POWER} has not granted permission to operate yet."]
    assert mark_problems(facts, "switched_on") == parallel_operation_problems(facts)
    assert operation_problems(facts) == []
    assert parallel_operation_problems(complete_job(route)) == []


def test_permission_alone_does_not_replace_the_inspection() -> None:
    facts = without(complete_job(), "final_passed")
    assert parallel_operation_problems(facts) == [f"The final inspection with {COUNTY} has not passed yet."]


def test_an_off_grid_system_never_runs_in_parallel() -> None:
    assert parallel_operation_problems(complete_job("off-grid, permitted")) == []


def test_nothing_is_installed_or_run_on_a_lost_job() -> None:
    facts = replace(complete_job(), outcome="lost")
    assert installation_problems(facts) == ["The job is lost."]
    assert operation_problems(facts) == ["The job is lost."]


def test_marks_that_say_no_work_was_done_meet_no_hold() -> None:
    facts = without(complete_job(), "permits_hold")
    assert mark_problems(facts, "contract_signed") == []
    assert mark_problems(facts, "equipment_ordered") == []


def test_switched_on_recorded_too_early_carries_no_job_into_service() -> None:
    facts = changed(without(complete_job(), "permission"), without_mark("handover"))
    assert "switched_on" in facts.marks
    assert standing(facts).stage == "operation"
