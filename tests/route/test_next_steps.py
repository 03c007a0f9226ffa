"""Next steps, whom the job waits on, and a lead's first day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from projects.route.facts import Comment, Mark, PermitFacts, Submission
from projects.route.standing import standing
from tests.route.scenarios import (
    RECEIVED,
    ROUTES,
    blank_job,
    changed,
    complete_job,
    utility_side,
    without,
    without_mark,
    without_paper,
)
from tests.route.test_permits import FIRST, at_permits, of


def test_a_new_lead_waits_on_the_office_for_what_is_not_known() -> None:
    answer = standing(replace(blank_job(), contact_known=True, today=RECEIVED.date()))
    assert (answer.stage, answer.stage_title) == ("lead", "Lead")
    assert [r.key for r in answer.next_steps] == ["answers", "system_type"]
    assert (answer.waiting_on, answer.waiting_on_name, answer.due_on) == ("office", "the office", date(2026, 3, 3))


def test_a_lead_without_a_system_type_gets_no_first_look() -> None:
    facts = replace(blank_job(), contact_known=True, answers_known=True)
    assert of(facts, "first_look").after == ("the kind of system is decided",)
    assert of(replace(facts, system_type="hybrid"), "first_look").state == "open"


def test_a_first_look_sent_waits_on_the_customer() -> None:
    facts = replace(
        blank_job(),
        contact_known=True,
        answers_known=True,
        system_type="hybrid",
        papers={"first_look": (date(2026, 3, 3), "D0")},
    )
    answer = standing(facts)
    assert (answer.next_key, answer.waiting_on_name) == ("go_ahead", "the customer")
    gone = replace(facts, marks={"go_ahead": Mark(date(2026, 3, 5))})
    assert (standing(gone).stage, standing(gone).waiting_on) == ("site_assessment", "office")


def test_a_first_look_survives_a_later_design() -> None:
    assert of(complete_job(), "first_look").state == "met"


def test_the_crew_is_next_once_the_visit_is_booked() -> None:
    facts = changed(without(without(complete_job(), "service"), "roof"), without_mark("contract_signed"))
    answer = standing(facts)
    assert (answer.stage, answer.waiting_on_name) == ("site_assessment", "the crew")
    assert [r.key for r in answer.next_steps if r.stage == "site_assessment"] == ["service", "roof"]
    # The contract may be signed meanwhile; nobody else's move hides the crew's.
    assert "contract" in {r.key for r in answer.next_steps}


def test_missing_photos_are_named() -> None:
    facts = replace(complete_job(), photos=frozenset({"roof", "array", "labels"}))
    assert of(facts, "site_photos").detail == "missing: the service panel and the meter"
    assert of(facts, "install_photos").detail == "missing: the inverter"


@pytest.mark.parametrize(
    ("route", "wanted"), [("grid-tied, plain", True), ("hybrid, everything asked", True), ("off-grid, exempt", False)]
)
def test_a_utilitys_meter_is_photographed_where_there_is_a_utility(route: str, wanted: bool) -> None:
    facts = complete_job(route)
    step = of(replace(facts, photos=facts.photos - {"meter"}), "site_photos")
    assert (step.state == "open") is wanted
    assert ("the meter" in step.sentence) is wanted


@pytest.mark.parametrize(
    ("route", "wanted"), [("grid-tied, plain", False), ("hybrid, everything asked", True), ("off-grid, exempt", True)]
)
def test_a_battery_is_photographed_where_there_is_one(route: str, wanted: bool) -> None:
    facts = complete_job(route)
    facts = replace(facts, photos=facts.photos - {"battery"})
    assert (of(facts, "install_photos").state == "open") is wanted


@pytest.mark.parametrize(
    ("route", "key", "words"),
    [
        ("grid-tied, plain", "system_type", "the rest of the route depends on it"),
        ("grid-tied, plain", "first_look", "within 24 hours of the request"),
        ("hybrid, everything asked", "structural_letter", "asked for by Pelican County"),
        ("hybrid, everything asked", "commissioning_tests", "insulation, polarity, voltage and torque"),
        ("hybrid, everything asked", "witness", "a licensed electrician attends"),
        ("hybrid, everything asked", "permits_hold", "no work on the roof or the wiring before this"),
        ("hybrid, everything asked", "permission", "no operation in parallel with the utility before this"),
        ("off-grid, exempt", "final_check", "no permit, so no inspector comes"),
        ("hybrid, everything asked", "rough_in_corrections", "0 of 1 correction fixed"),
        ("hybrid, everything asked", "rough_in", "was booked for 6 May: record the result"),
        ("hybrid, everything asked", "rough_in_booked", "Pelican County wants 2 business days notice"),
    ],
)
def test_a_step_says_what_else_matters(route: str, key: str, words: str) -> None:
    assert words in of(without(complete_job(route), key), key).detail


def test_failing_checks_are_named_and_block_the_diagram() -> None:
    facts = replace(
        changed(complete_job(), without_paper("single_line")), failing_checks=("busbar", "string voltage, cold")
    )
    assert of(facts, "design_checks").detail == "failing: busbar and string voltage, cold"
    assert of(facts, "single_line").state == "waiting"


def test_a_diagram_of_an_earlier_design_is_none() -> None:
    facts = replace(complete_job(), papers={**complete_job().papers, "single_line": (date(2026, 3, 20), "D0")})
    assert standing(facts).next_key == "single_line"


def test_the_lender_matters_only_where_a_loan_is_wanted() -> None:
    assert of(complete_job(), "financing") is None
    facts = changed(replace(complete_job(), wants_loan=True), without_mark("loan_approved"))
    assert (standing(facts).stage, standing(facts).waiting_on_name) == ("engineering", "the lender")


def test_the_licence_holders_review_the_current_diagram() -> None:
    facts = changed(complete_job(), without_mark("electrician_review"), without_mark("contractor_review"))
    answer = standing(facts)
    assert [(r.key, r.party) for r in answer.next_steps] == [
        ("electrician_review", "electrician"),
        ("contractor_review", "contractor"),
    ]


def test_our_own_work_in_the_current_stage_comes_before_anybody_elses() -> None:
    """One branch has corrections for us, the other is with the county, whose answer is due first."""
    asked = replace(FIRST, outcome="corrections", outcome_on=date(2026, 4, 13), comments=(Comment("Show clearances"),))
    facts = at_permits(PermitFacts("building", (FIRST,)), PermitFacts("electrical", (asked,)))
    answer = standing(facts)
    assert (answer.next_key, answer.waiting_on) == ("permit_electrical_corrections", "office")
    assert answer.next_steps[0].due_on > answer.next_steps[1].due_on


def test_long_lead_work_with_time_left_does_not_hide_the_critical_path() -> None:
    """The utility's question is due after the plan reviewer's answer."""
    facts = at_permits(PermitFacts("building", (FIRST,)), PermitFacts("electrical", (FIRST,)))
    late = changed(facts, utility_side(requests=((Comment("The form"), date(2026, 4, 10)),)))
    assert standing(late).next_key == "permit_building_issued"
    early = changed(facts, utility_side(requests=((Comment("The form"), date(2026, 4, 1)),)))
    assert standing(early).next_key == "utility_requests"


def test_on_the_same_day_the_current_stage_comes_first() -> None:
    facts = at_permits(PermitFacts("building", (FIRST,)), PermitFacts("electrical", (FIRST,)))
    # Both due on 13 April: ten business days of plan review, five to answer the utility.
    same = changed(facts, utility_side(requests=((Comment("The form"), date(2026, 4, 6)),)))
    assert {r.due_on for r in standing(same).next_steps} == {date(2026, 4, 13)}
    assert standing(same).next_key == "permit_building_issued"


def test_the_stored_answer_stays_true_while_days_pass() -> None:
    """Lists show it without computing: stage, next step, whom it waits on and the due date don't depend on today."""
    for route in ROUTES:
        for key in ("first_look", "contract", "equipment_received", "final_passed"):
            facts = without(complete_job(route), key) if of(complete_job(route), key) else complete_job(route)
            later = replace(facts, today=date(2027, 3, 1))
            now, then = standing(facts), standing(later)
            assert (now.stage, now.pressing, now.waiting_on_name, now.due_on) == (
                then.stage,
                then.pressing,
                then.waiting_on_name,
                then.due_on,
            )


@pytest.mark.parametrize("outcome", ["lost", "cancelled"])
@pytest.mark.parametrize("key", ["go_ahead", "contract", "permit_building_issued", "final_passed", "warranty"])
def test_a_closed_job_keeps_its_stage_and_has_no_next_steps(outcome: str, key: str) -> None:
    facts = without(complete_job(), key)
    closed = standing(replace(facts, outcome=outcome))  # type: ignore[arg-type]
    assert closed.stage == standing(facts).stage
    assert (closed.next_steps, closed.waiting_on, closed.waiting_on_name) == ((), None, "")
    assert (closed.next_step, closed.next_key, closed.due_on, closed.outcome) == ("", "", None, outcome)
    assert {gate.state for gate in closed.gates} <= {"closed", "future"}
    assert not closed.in_service


def test_everything_open_is_listed_once_and_the_first_is_the_next_step() -> None:
    facts = at_permits(PermitFacts("building", (Submission(date(2026, 3, 30), "D1"),)))
    answer = standing(facts)
    assert sorted(answer.pressing) == sorted(r.key for r in answer.requirements if r.state == "open")
    assert answer.next_step == answer.next_steps[0].sentence
    assert answer.waiting_on == answer.next_steps[0].party
