"""The gates of the one-line drawing: their order, state and caption."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from projects.route.facts import Comment, InspectionFacts, JobFacts, Mark, PermitFacts, Submission
from projects.route.standing import standing
from projects.route.standing_types import Gate
from tests.route.scenarios import (
    blank_job,
    changed,
    complete_job,
    failed,
    inspections,
    issued,
    latest_round,
    permit_side,
    utility_side,
    without,
    without_mark,
)
from tests.route.test_permits import FIRST, at_permits


def gate(facts: JobFacts, key: str) -> Gate:
    return next(gate for gate in standing(facts).gates if gate.key == key)


def test_gates_in_drawing_order() -> None:
    assert [(g.key, g.branch) for g in standing(complete_job()).gates] == [
        ("lead", False),
        ("site_assessment", False),
        ("engineering", False),
        ("permit_building", True),
        ("permit_electrical", True),
        ("installation", False),
        ("inspection", False),
        ("interconnection", False),
        ("operation", False),
    ]
    assert [(g.key, g.branch) for g in standing(complete_job("off-grid, exempt")).gates][3:5] == [
        ("permits", False),
        ("installation", False),
    ]
    combined = standing(complete_job("hybrid, combined permit, everything asked")).gates[3:5]
    assert [(g.key, g.branch) for g in combined] == [("permit_combined", True), ("permit_fire", True)]
    alone = standing(complete_job("grid-tied, bare")).gates[3]
    assert (alone.key, alone.branch) == ("permit_combined", False)


def test_a_complete_job_is_closed_all_along() -> None:
    gates = standing(complete_job()).gates
    assert {g.state for g in gates} == {"closed"}
    assert not any(g.current for g in gates)
    assert [g.caption for g in gates] == [
        "5 Mar",
        "10 Mar",
        "24 Mar",
        "issued 13 Apr",
        "issued 13 Apr",
        "7 May",
        "12 May",
        "26 May",
        "in service",
    ]


def test_a_date_of_another_year_carries_it() -> None:
    assert gate(replace(complete_job(), today=date(2027, 1, 5)), "lead").caption == "5 Mar 2026"


def test_a_new_lead_is_live_and_all_else_is_future() -> None:
    gates = standing(replace(blank_job(), contact_known=True)).gates
    assert [(g.state, g.caption) for g in gates[:1]] == [("live", "1 of 5 done")]
    assert {(g.state, g.caption, g.current) for g in gates[1:]} == {("future", "", False)}
    assert gates[0].current


def test_a_branch_under_review_says_when_the_answer_is_due() -> None:
    facts = at_permits(issued("building"), PermitFacts("electrical", (FIRST,)))
    building, electrical = gate(facts, "permit_building"), gate(facts, "permit_electrical")
    assert (building.state, building.caption, building.current) == ("closed", "issued 13 Apr", False)
    assert (electrical.state, electrical.caption) == ("waiting", "plan review, answer due 13 Apr")
    assert electrical.current
    assert (electrical.done, electrical.total) == (1, 2)


def test_a_branch_to_submit_or_correct_is_live() -> None:
    facts = at_permits(PermitFacts("building", (FIRST,)))
    assert (gate(facts, "permit_electrical").state, gate(facts, "permit_electrical").caption) == (
        "live",
        "submit by 27 Mar",
    )
    asked = replace(FIRST, outcome="corrections", outcome_on=date(2026, 4, 7), comments=(Comment("one"),))
    facts = at_permits(PermitFacts("building", (asked,)))
    assert (gate(facts, "permit_building").state, gate(facts, "permit_building").caption) == (
        "live",
        "corrections, answer due 14 Apr",
    )


def test_a_changed_design_opens_the_branches_it_concerns() -> None:
    facts = at_permits(issued("building"), issued("electrical", "D0"))
    assert gate(facts, "permit_building").state == "closed"
    assert (gate(facts, "permit_electrical").state, gate(facts, "permit_electrical").caption) == (
        "live",
        "design changed, resubmit",
    )


def test_an_expired_permit_opens_its_branch() -> None:
    facts = without(complete_job(), "permit_electrical_renewal")
    assert gate(facts, "permit_building").state == "closed"
    assert gate(facts, "permit_electrical").caption == "expired 30 Jun"


def test_fire_review_and_exemption_have_words_of_their_own() -> None:
    assert gate(complete_job("hybrid, everything asked"), "permit_fire").caption == "approved 13 Apr"
    assert gate(complete_job("off-grid, exempt"), "permits").caption == "exempt, 13 Apr"


def test_installation_says_its_day_and_then_how_far_it_is() -> None:
    booked = changed(
        without(complete_job(), "mounted"),
        *(without_mark(key) for key in ("install_started", "wired", "labels", "commissioning_tests")),
    )
    assert gate(booked, "installation").caption == "booked 4 May"
    started = replace(booked, marks={**booked.marks, "install_started": Mark(date(2026, 5, 4))})
    assert gate(started, "installation").caption == "6 of 10 done"


def test_inspection_says_when_it_is_booked_and_what_is_fixed() -> None:
    booked = changed(complete_job(), inspections(InspectionFacts("final", date(2026, 7, 6))))
    assert (gate(booked, "inspection").state, gate(booked, "inspection").caption) == ("waiting", "booked 6 Jul")
    found = changed(complete_job(), failed("final", date(2026, 5, 13), None))
    assert (gate(found, "inspection").state, gate(found, "inspection").caption) == ("live", "1 of 2 corrections fixed")


def test_interconnection_says_how_far_the_utility_is() -> None:
    facts = at_permits(PermitFacts("building", (FIRST,)), PermitFacts("electrical", (FIRST,)))
    assert (gate(facts, "interconnection").state, gate(facts, "interconnection").caption) == (
        "waiting",
        "applied 26 Mar",
    )
    asked = changed(facts, utility_side(requests=((Comment("The form"), date(2026, 4, 6)),)))
    assert (gate(asked, "interconnection").state, gate(asked, "interconnection").caption) == (
        "live",
        "utility asks, answer due 13 Apr",
    )
    approved = changed(facts, utility_side(approved_on=date(2026, 4, 6)))
    assert gate(approved, "interconnection").caption == "approved 6 Apr"
    assert gate(changed(facts, utility_side(submitted_on=None)), "interconnection").caption == "0 of 5 done"


def test_operation_waits_on_the_utility_and_then_on_us() -> None:
    waits = changed(without(complete_job(), "permission"), without_mark("switched_on"))
    assert (gate(waits, "operation").state, gate(waits, "operation").caption) == ("waiting", "answer due 9 Jun")
    granted = without(complete_job(), "switched_on")
    assert (gate(granted, "operation").state, gate(granted, "operation").caption) == ("live", "granted 5 Jun")
    assert gate(complete_job("off-grid, exempt"), "operation").title == "Ready to operate"


def test_done_counts_add_up() -> None:
    for facts in (complete_job("hybrid, everything asked"), at_permits(PermitFacts("building", (FIRST,)))):
        answer = standing(facts)
        counted = [r for r in answer.requirements if r.stage != "in_service"]
        assert sum(g.total for g in answer.gates) == len(counted)
        assert sum(g.done for g in answer.gates) == sum(1 for r in counted if r.done)


def test_a_waived_gate_is_dated_by_the_waiver() -> None:
    facts = changed(complete_job(), without_mark("labels"))
    assert gate(replace(facts, waivers={"labels": Mark(date(2026, 6, 30))}), "installation").caption == "30 Jun"


def test_a_revised_set_under_review_shows_the_new_answer_date() -> None:
    again = Submission(date(2026, 6, 15), "D1")
    facts = changed(complete_job(), permit_side("building", lambda p: replace(p, submissions=(*p.submissions, again))))
    assert gate(facts, "permit_building").caption == "plan review, answer due 29 Jun"
    refused = changed(facts, latest_round("building", outcome="corrections", outcome_on=date(2026, 6, 30)))
    assert gate(refused, "permit_building").caption == "corrections, answer due 7 Jul"
