"""Permits: parallel branches, rounds of corrections, exemption, expiry, and a design that changes afterwards."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from projects.route.facts import Comment, InspectionFacts, JobFacts, PermitFacts, Submission
from projects.route.standing import standing
from projects.route.standing_types import RequirementStanding
from tests.route.scenarios import (
    changed,
    complete_job,
    inspections,
    issued,
    latest_round,
    permit_side,
    utility_side,
    without,
    without_mark,
)

FIRST = Submission(date(2026, 3, 30), "D1")


def at_permits(*permits: PermitFacts, today: date = date(2026, 4, 7), route: str = "grid-tied, plain") -> JobFacts:
    """Engineering is done; these permits; nothing is installed; the utility has its application."""
    facts = complete_job(route)
    keep = {"go_ahead", "contract_signed", "electrician_review", "contractor_review", "structural_letter"}
    return changed(
        replace(
            facts,
            today=today,
            marks={key: mark for key, mark in facts.marks.items() if key in keep},
            permits=permits,
            inspections=(),
            install_on=None,
            photos=frozenset({"panel", "meter", "roof"}),
            wants_loan=False,
        ),
        utility_side(
            requests=(),
            approved_on=None,
            agreement_signed_on=None,
            inspection_sent_on=None,
            meter_set_on=None,
            permission_on=None,
        ),
    )


def of(facts: JobFacts, key: str) -> RequirementStanding | None:
    return next((r for r in standing(facts).requirements if r.key == key), None)


def open_keys(facts: JobFacts) -> set[str]:
    return {r.key for r in standing(facts).next_steps}


def test_both_branches_open_together_once_engineering_is_done() -> None:
    facts = at_permits()
    assert standing(facts).stage == "permits"
    assert {"permit_building_submitted", "permit_electrical_submitted"} <= open_keys(facts)
    assert standing(facts).waiting_on_name == "the office"


def test_the_structural_letter_holds_up_the_building_branch_alone() -> None:
    facts = changed(
        at_permits(route="hybrid, everything asked"), without_mark("structural_letter"), utility_side(submitted_on=None)
    )
    assert {"permit_electrical_submitted", "permit_fire_submitted", "structural_letter"} <= open_keys(facts)
    assert of(facts, "permit_building_submitted").after == (
        "the structural engineer's stamped letter for the roof is in hand",
    )


def test_the_job_waits_on_the_county_while_both_permits_are_under_review() -> None:
    facts = at_permits(PermitFacts("building", (FIRST,)), PermitFacts("electrical", (FIRST,)))
    answer = standing(facts)
    assert (answer.waiting_on, answer.waiting_on_name) == ("jurisdiction", "Pelican County")
    assert of(facts, "permit_building_issued").detail == "day 6 of 10 in plan review"


def test_a_review_that_takes_too_long_says_so() -> None:
    facts = at_permits(PermitFacts("building", (FIRST,)), today=date(2026, 4, 15))
    assert of(facts, "permit_building_issued").detail == "2 business days over the usual 10 in plan review"


def test_one_permit_issued_is_not_enough() -> None:
    facts = at_permits(issued("building"), PermitFacts("electrical", (FIRST,)))
    assert standing(facts).stage == "permits"
    assert open_keys(facts) == {"permit_electrical_issued", "utility_approval"}


def test_corrections_loop_until_the_permit_is_issued() -> None:
    """Submitted, corrections, answered one by one, resubmitted, corrections again, resubmitted, issued."""
    other = issued("electrical")
    asked = replace(
        FIRST,
        outcome="corrections",
        outcome_on=date(2026, 4, 7),
        comments=(Comment("Show clearances"), Comment("Name the racking")),
    )
    facts = at_permits(PermitFacts("building", (asked,)), other)
    corrections = of(facts, "permit_building_corrections")
    assert (corrections.state, corrections.party) == ("open", "office")
    assert corrections.detail == "0 of 2 comments answered"
    assert of(facts, "permit_building_issued").state == "waiting"
    assert standing(facts).waiting_on == "office"

    half = replace(asked, comments=(Comment("Show clearances", date(2026, 4, 8)), Comment("Name the racking")))
    assert of(at_permits(PermitFacts("building", (half,)), other), "permit_building_corrections").detail == (
        "1 of 2 comments answered"
    )
    answered = replace(asked, comments=tuple(Comment(c.text, date(2026, 4, 8)) for c in asked.comments))
    facts = at_permits(PermitFacts("building", (answered,)), other)
    assert of(facts, "permit_building_corrections").detail == "2 of 2 comments answered, resubmit"
    assert of(facts, "permit_building_corrections").state == "open"  # answers alone don't meet it

    second = Submission(date(2026, 4, 9), "D1")
    facts = at_permits(PermitFacts("building", (answered, second)), other)
    assert of(facts, "permit_building_corrections") is None
    assert standing(facts).waiting_on == "jurisdiction"
    assert of(facts, "permit_building_issued").due_on == date(2026, 4, 23)  # counted from the new round

    again = replace(second, outcome="corrections", outcome_on=date(2026, 4, 15), comments=(Comment("Sign it"),))
    assert standing(at_permits(PermitFacts("building", (answered, again)), other)).waiting_on == "office"

    third = Submission(date(2026, 4, 16), "D1", "approved", date(2026, 4, 20))
    facts = at_permits(PermitFacts("building", (answered, again, third)), other)
    assert of(facts, "permit_building_issued").detail == "plan review approved, the permit itself is not issued yet"
    facts = at_permits(PermitFacts("building", (answered, again, third), issued_on=date(2026, 4, 21)), other)
    assert standing(facts).stage == "installation"


def test_a_combined_permit_stands_alone() -> None:
    facts = at_permits(route="grid-tied, bare")
    assert [gate.key for gate in standing(facts).gates if gate.key.startswith("permit")] == ["permit_combined"]
    assert of(facts, "permit_building_submitted") is None
    assert standing(at_permits(issued("combined"), route="grid-tied, bare")).stage == "installation"


def test_separate_permits_do_not_count_where_a_combined_one_is_asked() -> None:
    facts = at_permits(issued("building"), issued("electrical"), route="grid-tied, bare")
    assert standing(facts).stage == "permits"


def test_fire_review_is_a_branch_of_its_own() -> None:
    facts = at_permits(issued("building"), issued("electrical"), route="hybrid, everything asked")
    assert standing(facts).stage == "permits"
    assert "permit_fire_submitted" in open_keys(facts)
    facts = replace(facts, permits=(*facts.permits, issued("fire")))
    assert standing(facts).stage == "installation"


def test_an_exempt_off_grid_job_needs_the_rule_confirmed_and_nothing_else() -> None:
    facts = at_permits(route="off-grid, exempt")
    answer = standing(facts)
    assert (answer.stage, [r.key for r in answer.next_steps]) == ("permits", ["permit_exemption"])
    assert of(facts, "permit_exemption").detail == "County ordinance 14-3"
    assert not any(r.branch for r in answer.requirements)
    assert [r.key for r in standing(complete_job("off-grid, exempt")).requirements if r.stage == "permits"] == [
        "permit_exemption"
    ]
    assert of(complete_job("off-grid, exempt"), "permit_exemption").detail == "County ordinance 14-3"


def test_off_grid_takes_permits_where_no_rule_exempts_it() -> None:
    answer = standing(at_permits(route="off-grid, permitted"))
    assert {r.key for r in answer.next_steps} == {"permit_building_submitted", "permit_electrical_submitted"}


def test_equipment_is_ordered_once_all_permits_are_issued() -> None:
    one = at_permits(issued("building"), PermitFacts("electrical", (FIRST,)))
    assert of(one, "equipment_ordered").state == "waiting"
    assert of(at_permits(issued("building"), issued("electrical")), "equipment_ordered").state == "open"


def test_a_design_changed_after_submission_must_be_resubmitted_and_says_what_differs() -> None:
    facts = at_permits(issued("building"), issued("electrical"))
    assert standing(facts).stage == "installation"
    facts = replace(
        facts,
        design_fingerprint="D2",
        study_fingerprint="D2",
        papers={**facts.papers, "single_line": (date(2026, 4, 20), "D2")},
        design_changes=("modules on South roof: 12 → 14", "battery: none → 1 × Dunlin 10"),
        design_on=date(2026, 4, 17),
    )
    answer = standing(facts)
    assert (answer.stage, answer.waiting_on) == ("permits", "office")
    match = of(facts, "permits_match_design")
    assert match.state == "open"
    assert match.detail == "modules on South roof: 12 → 14; battery: none → 1 × Dunlin 10"
    assert match.due_on == date(2026, 4, 22)
    assert of(facts, "permits_hold").state == "waiting"

    def revised(outcome: str, issued_on: date) -> JobFacts:
        again = Submission(date(2026, 4, 21), "D2", outcome)  # type: ignore[arg-type]
        permits = tuple(replace(p, submissions=(*p.submissions, again), issued_on=issued_on) for p in facts.permits)
        told = replace(facts.interconnection, design_fingerprint="D2")
        return replace(facts, permits=permits, design_changes=(), interconnection=told)

    # The permit as first issued doesn't cover the revised set: it is under review again.
    under_review = revised("pending", date(2026, 4, 13))
    assert of(under_review, "permits_match_design") is None
    assert standing(under_review).stage == "permits"
    assert standing(under_review).waiting_on == "jurisdiction"
    assert standing(revised("approved", date(2026, 4, 28))).stage == "installation"


def test_a_design_put_back_needs_no_resubmission() -> None:
    facts = at_permits(issued("building"), issued("electrical"))
    other = replace(facts, design_fingerprint="D2")
    assert of(other, "permits_match_design") is not None
    assert of(replace(other, design_fingerprint="D1"), "permits_match_design") is None


def test_one_branch_with_an_earlier_design_is_named() -> None:
    facts = at_permits(issued("building"), issued("electrical", "D0"))
    assert of(facts, "permits_match_design").detail == "the electrical permit shows an earlier design"
    assert standing(facts).stage == "permits"


def test_a_changed_design_also_wants_a_new_study_and_diagram() -> None:
    facts = replace(at_permits(issued("building"), issued("electrical")), design_fingerprint="D2")
    answer = standing(facts)
    assert answer.stage == "engineering"
    assert {"study", "permits_match_design"} <= {r.key for r in answer.next_steps}
    assert of(facts, "study").detail == "the last study looked at an earlier design"
    assert of(facts, "single_line").detail == "the one issued shows an earlier design"


def test_a_permit_issued_the_day_it_was_submitted_counts() -> None:
    over_the_counter = PermitFacts("building", (FIRST,), issued_on=FIRST.submitted_on)
    assert of(at_permits(over_the_counter), "permit_building_issued").state == "met"


@pytest.mark.parametrize(
    ("expires_on", "stage"), [(date(2026, 6, 30), "permits"), (date(2026, 7, 1), "inspection"), (None, "inspection")]
)
def test_a_permit_holds_through_its_last_day(expires_on: date | None, stage: str) -> None:
    booked = inspections(InspectionFacts("final", date(2026, 7, 10)))
    facts = changed(complete_job(), booked, permit_side("building", lambda p: replace(p, expires_on=expires_on)))
    assert standing(facts).stage == stage


def test_an_expired_permit_is_the_offices_to_renew() -> None:
    facts = without(complete_job(), "permit_building_renewal")
    renewal = of(facts, "permit_building_renewal")
    assert (renewal.party, renewal.state, renewal.detail) == ("office", "open", "expired 30 Jun")
    assert standing(facts).waiting_on == "office"


def test_a_permit_may_expire_once_the_final_inspection_has_passed() -> None:
    lapsed = permit_side("building", lambda p: replace(p, expires_on=date(2026, 6, 1)))
    assert standing(changed(complete_job(), lapsed)).in_service


def test_corrections_without_recorded_comments_ask_for_them() -> None:
    facts = changed(complete_job(), latest_round("building", outcome="corrections"))
    assert of(facts, "permit_building_corrections").detail == "no comments are recorded yet"
