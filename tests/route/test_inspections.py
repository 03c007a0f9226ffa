"""Rough-in and final inspection: booked, failed, fixed, inspected again, passed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from projects.route.facts import Comment, InspectionFacts, JobFacts
from projects.route.standing import standing
from projects.route.standing_types import RequirementStanding
from tests.route.scenarios import changed, complete_job, inspections, without, without_inspection, without_mark

NOT_SENT = ("warranty_registered", "switched_on", "handover")


def at_inspection(*finals: InspectionFacts, route: str = "grid-tied, plain") -> JobFacts:
    facts = changed(complete_job(route), without_inspection("final"), *(without_mark(key) for key in NOT_SENT))
    side = replace(
        facts.interconnection, inspection_sent_on=None, meter_set_on=None, witness_passed_on=None, permission_on=None
    )
    return replace(facts, today=date(2026, 5, 12), interconnection=side, inspections=(*facts.inspections, *finals))


def of(facts: JobFacts, key: str) -> RequirementStanding | None:
    return next((r for r in standing(facts).requirements if r.key == key), None)


def final(result: str = "booked", *fixed: date | None, on: date = date(2026, 5, 12)) -> InspectionFacts:
    found = tuple(Comment(f"correction {n}", day) for n, day in enumerate(fixed, 1))
    decided = None if result == "booked" else on
    return InspectionFacts("final", on, result, decided, found)  # type: ignore[arg-type]


def test_the_final_is_booked_once_the_work_is_done() -> None:
    answer = standing(at_inspection())
    assert (answer.stage, answer.next_key, answer.waiting_on) == ("inspection", "final_booked", "office")
    assert answer.next_step == "The final inspection is booked with Pelican County"
    unfinished = of(changed(at_inspection(), without_mark("labels")), "final_booked")
    assert unfinished.after == ("the placards and labels are on",)


def test_booking_says_how_much_notice_the_county_wants() -> None:
    assert of(at_inspection(), "final_booked").detail == "Pelican County wants 2 business days notice"


def test_a_booked_final_waits_on_the_county() -> None:
    answer = standing(at_inspection(final(on=date(2026, 5, 15))))
    assert (answer.waiting_on_name, answer.next_key) == ("Pelican County", "final_passed")
    assert answer.next_steps[0].detail == "booked for 15 May"
    assert answer.due_on == date(2026, 5, 15)


def test_a_day_gone_by_without_a_result_asks_for_it() -> None:
    facts = at_inspection(final(on=date(2026, 5, 11)))
    assert of(facts, "final_passed").detail == "was booked for 11 May: record the result"


def test_a_failed_final_goes_back_to_the_crew_and_is_inspected_again() -> None:
    facts = at_inspection(final("corrections", date(2026, 5, 13), None))
    answer = standing(facts)
    assert (answer.stage, answer.next_key, answer.waiting_on) == ("inspection", "final_corrections", "crew")
    assert of(facts, "final_corrections").detail == "1 of 2 corrections fixed"
    assert of(facts, "final_booked").state == "waiting"
    assert of(facts, "final_booked").sentence == "The re-inspection is booked with Pelican County"

    fixed = final("corrections", date(2026, 5, 13), date(2026, 5, 14))
    answer = standing(at_inspection(fixed))
    assert (answer.next_key, answer.waiting_on) == ("final_booked", "office")
    assert of(at_inspection(fixed), "final_corrections").met_on == date(2026, 5, 14)

    booked = at_inspection(fixed, final(on=date(2026, 5, 19)))
    assert of(booked, "final_corrections") is None
    assert standing(booked).waiting_on == "jurisdiction"

    passed = at_inspection(fixed, final("passed", on=date(2026, 5, 19)))
    assert standing(passed).stage == "interconnection"
    assert of(passed, "final_passed").met_on == date(2026, 5, 19)


def test_a_second_failure_goes_round_again() -> None:
    fixed = final("corrections", date(2026, 5, 13))
    facts = at_inspection(fixed, final("corrections", None, on=date(2026, 5, 19)))
    assert standing(facts).next_key == "final_corrections"
    assert of(facts, "final_corrections").due_on == date(2026, 5, 26)


def test_a_failure_without_listed_corrections_only_wants_a_new_date() -> None:
    assert standing(at_inspection(final("corrections"))).next_key == "final_booked"


def test_a_cancelled_booking_is_none() -> None:
    facts = at_inspection(InspectionFacts("final", date(2026, 5, 15), "cancelled"))
    assert standing(facts).next_key == "final_booked"


def test_a_cancelled_re_inspection_leaves_the_corrections_standing() -> None:
    again = InspectionFacts("final", date(2026, 5, 19), "cancelled")
    facts = at_inspection(final("corrections", date(2026, 5, 13)), again)
    assert of(facts, "final_booked").sentence == "The re-inspection is booked with Pelican County"
    assert standing(facts).next_key == "final_booked"


def test_a_rough_in_is_inspected_before_the_final_where_the_county_asks() -> None:
    route = "hybrid, everything asked"
    facts = changed(at_inspection(route=route), without_inspection("rough_in"))
    assert standing(facts).stage == "installation"
    assert standing(facts).next_key == "rough_in_booked"
    assert of(facts, "final_booked").after == ("the rough-in inspection is passed with Pelican County",)
    booked = replace(facts, inspections=(InspectionFacts("rough_in", date(2026, 5, 14)),))
    assert standing(booked).waiting_on == "jurisdiction"
    failed = InspectionFacts("rough_in", date(2026, 5, 14), "corrections", date(2026, 5, 14), (Comment("Strap it"),))
    answer = standing(replace(facts, inspections=(failed,)))
    assert (answer.stage, answer.next_key, answer.waiting_on) == ("installation", "rough_in_corrections", "crew")


def test_a_rough_in_waits_for_the_wiring() -> None:
    facts = changed(at_inspection(route="hybrid, everything asked"), without_inspection("rough_in"))
    assert of(changed(facts, without_mark("wired")), "rough_in_booked").state == "waiting"


def test_no_rough_in_where_the_county_does_not_ask() -> None:
    assert of(at_inspection(), "rough_in") is None


def test_a_passed_rough_in_is_no_final() -> None:
    rough = InspectionFacts("rough_in", date(2026, 5, 6), "passed", date(2026, 5, 6))
    assert standing(changed(at_inspection(route="hybrid, everything asked"), inspections(rough))).stage == "inspection"


def test_an_exempt_job_is_checked_by_the_electrician() -> None:
    facts = without(complete_job("off-grid, exempt"), "final_check")
    answer = standing(facts)
    assert (answer.stage, answer.next_key, answer.waiting_on) == ("inspection", "final_check", "electrician")
    assert of(facts, "final_passed") is None


def test_an_inspectors_pass_does_not_replace_the_electricians_check_on_an_exempt_job() -> None:
    facts = without(complete_job("off-grid, exempt"), "final_check")
    assert any(i.kind == "final" and i.result == "passed" for i in facts.inspections)
    assert not standing(facts).in_service
