"""When each thing is due, on a calendar with the US federal holidays of 2026 (see ``test_business_days``)."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import holidays
import pytest

from projects.route.facts import Comment, JobFacts, LenderAsk, Mark, UtilityProfile
from projects.route.standing import standing
from tests.route.scenarios import (
    Change,
    blank_job,
    changed,
    complete_job,
    failed,
    latest_round,
    utility_side,
    without,
    without_mark,
)

US = frozenset(holidays.country_holidays("US", years=[2026, 2027]))


def on_the_us_calendar(facts: JobFacts, **profile: object) -> JobFacts:
    utility = replace(facts.utility, holidays=US)
    return replace(facts, jurisdiction=replace(facts.jurisdiction, holidays=US, **profile), utility=utility)  # type: ignore[arg-type]


def due_of(facts: JobFacts, key: str) -> date | None:
    return next(r.due_on for r in standing(facts).requirements if r.key == key)


def marked(key: str, day: date) -> Change:
    return lambda f: replace(f, marks={**f.marks, key: Mark(day)})


def late_lead(received_at: datetime) -> JobFacts:
    return on_the_us_calendar(replace(blank_job(), received_at=received_at))


@pytest.mark.parametrize(
    ("received_at", "due"),
    [
        (datetime(2026, 3, 2, 10, 30, tzinfo=UTC), date(2026, 3, 3)),
        (datetime(2026, 3, 6, 16, 0, tzinfo=UTC), date(2026, 3, 7)),  # Friday: Saturday, 24 hours are 24 hours
        (datetime(2026, 11, 25, 9, 0, tzinfo=UTC), date(2026, 11, 26)),  # Thanksgiving as well
        (datetime(2026, 3, 2, 23, 30, tzinfo=ZoneInfo("America/New_York")), date(2026, 3, 3)),  # the office's own day
    ],
)
def test_the_first_look_is_due_24_hours_after_the_lead(received_at: datetime, due: date) -> None:
    facts = late_lead(received_at)
    for key in ("contact", "answers", "system_type", "first_look"):
        assert due_of(facts, key) == due
    assert standing(facts).due_on == due


def test_the_go_ahead_is_due_14_days_after_the_first_look() -> None:
    facts = changed(complete_job(), without_mark("go_ahead"))
    assert due_of(facts, "go_ahead") == date(2026, 3, 17)


def test_the_visit_is_due_3_business_days_after_the_go_ahead() -> None:
    facts = on_the_us_calendar(without(complete_job(), "visit_booked"))
    assert due_of(facts, "visit_booked") == date(2026, 3, 10)  # Thursday 5 March, over a weekend
    eve = changed(facts, marked("go_ahead", date(2026, 5, 21)))
    assert due_of(eve, "visit_booked") == date(2026, 5, 27)  # Friday, then past Memorial Day: Tuesday, Wednesday


def test_the_crews_records_are_due_on_the_day_of_the_visit() -> None:
    for key in ("service", "roof", "obstructions", "site_photos"):
        assert due_of(without(complete_job(), key), key) == date(2026, 3, 10)


def test_the_design_is_due_5_business_days_after_the_site_assessment() -> None:
    facts = without(complete_job(), "design")
    assert due_of(facts, "design") == date(2026, 3, 17)
    assert due_of(replace(facts, site_assessed_on=None), "design") == date(2026, 3, 17)  # the visit stands in
    no_visit = replace(facts, site_assessed_on=None, visit_on=None)
    assert due_of(no_visit, "design") == date(2026, 3, 12)  # else the go-ahead


def test_the_contract_is_due_10_business_days_after_the_design() -> None:
    facts = without(complete_job(), "contract")
    assert due_of(facts, "contract") == date(2026, 3, 30)
    assert due_of(replace(facts, design_on=None), "contract") is None


@pytest.mark.parametrize(
    ("key", "due"),
    [
        ("study", date(2026, 3, 18)),  # 2 business days after the design of Monday 16 March
        ("design_checks", date(2026, 3, 18)),
        ("single_line", date(2026, 3, 19)),  # 2 after the study of the 17th
        ("electrician_review", date(2026, 3, 25)),  # 3 after the diagram of Friday the 20th
        ("contractor_review", date(2026, 3, 25)),
        ("structural_letter", date(2026, 3, 30)),  # 10 after the design
        ("financing", date(2026, 4, 6)),  # 10 after the contract of the 23rd
        ("equipment_received", date(2026, 5, 4)),  # the installation day
        ("install_booked", date(2026, 4, 16)),  # 3 after the permits of Monday 13 April
        ("agreement", date(2026, 4, 23)),  # 5 after the approval of the 16th
        ("witness", date(2026, 5, 27)),  # 10 after the inspection was sent on the 13th
        ("switched_on", date(2026, 6, 9)),  # 2 after the permission of Friday 5 June
        ("handover", date(2026, 6, 15)),  # 5 after switching on
    ],
)
def test_the_offices_own_pace(key: str, due: date) -> None:
    facts = without(complete_job("hybrid, everything asked"), key)
    assert due_of(facts, key) == due


def test_an_exemption_is_confirmed_3_business_days_after_the_reviews_and_checked_2_after_the_work() -> None:
    exempt = complete_job("off-grid, exempt")
    assert due_of(without(exempt, "permit_exemption"), "permit_exemption") == date(2026, 3, 27)
    assert due_of(without(exempt, "final_check"), "final_check") == date(2026, 5, 11)


def test_a_final_is_booked_within_2_business_days_of_the_work_or_the_fixes() -> None:
    assert due_of(without(complete_job(), "final_booked"), "final_booked") == date(2026, 5, 11)
    assert due_of(changed(complete_job(), failed("final", date(2026, 5, 14))), "final_booked") == date(2026, 5, 18)


def test_a_rough_in_keeps_the_same_pace() -> None:
    facts = complete_job("hybrid, everything asked")
    assert due_of(without(facts, "rough_in_booked"), "rough_in_booked") == date(2026, 5, 8)  # wired on the 6th
    assert due_of(without(facts, "rough_in"), "rough_in") == date(2026, 5, 6)
    assert due_of(without(facts, "rough_in_corrections"), "rough_in_corrections") == date(2026, 5, 19)


def test_an_expired_permit_was_due_on_its_last_day() -> None:
    assert due_of(without(complete_job(), "permit_building_renewal"), "permit_building_renewal") == date(2026, 6, 30)


def test_a_permit_is_due_at_the_counter_3_business_days_after_the_last_thing_it_needs() -> None:
    plain = without(complete_job(), "permit_building_submitted")
    assert due_of(plain, "permit_building_submitted") == date(2026, 3, 27)  # the reviews of Tuesday 24 March
    letter = without(complete_job("hybrid, everything asked"), "permit_building_submitted")
    assert due_of(letter, "permit_building_submitted") == date(2026, 3, 30)  # the engineer's letter of the 25th
    fire = without(complete_job("hybrid, everything asked"), "permit_fire_submitted")
    assert due_of(fire, "permit_fire_submitted") == date(2026, 3, 27)  # fire review needs no letter


def test_plan_review_runs_on_the_counters_own_days() -> None:
    facts = on_the_us_calendar(complete_job(), building_review_days=10, electrical_review_days=4)
    for kind in ("building", "electrical"):
        facts = without(facts, f"permit_{kind}_issued")
        facts = changed(facts, latest_round(kind, submitted_on=date(2026, 6, 15), outcome="pending"))
    # Monday 15 June; Juneteenth is Friday the 19th.
    assert due_of(facts, "permit_building_issued") == date(2026, 6, 30)
    assert due_of(facts, "permit_electrical_issued") == date(2026, 6, 22)


def test_a_combined_permit_takes_the_longer_review() -> None:
    route = "hybrid, combined permit, everything asked"
    facts = complete_job(route)
    facts = replace(facts, jurisdiction=replace(facts.jurisdiction, building_review_days=5, electrical_review_days=15))
    facts = changed(without(facts, "permit_combined_issued"), latest_round("combined", outcome="pending"))
    assert due_of(facts, "permit_combined_issued") == date(2026, 4, 20)  # 15 business days from Monday 30 March


def test_corrections_are_due_after_the_reviewers_answer() -> None:
    facts = on_the_us_calendar(complete_job(), answer_days=5)
    facts = changed(facts, latest_round("building", outcome="corrections", outcome_on=date(2026, 6, 30)))
    assert due_of(facts, "permit_building_corrections") == date(2026, 7, 8)  # over Friday 3 July


def test_equipment_is_ordered_2_business_days_after_the_last_permit() -> None:
    assert due_of(without(complete_job(), "equipment_ordered"), "equipment_ordered") == date(2026, 4, 15)


def test_installation_is_due_when_booked_and_takes_a_working_week() -> None:
    assert due_of(without(complete_job(), "install_started"), "install_started") == date(2026, 5, 4)
    for key in ("mounted", "wired", "labels", "install_photos", "commissioning_tests"):
        assert due_of(without(complete_job(), key), key) == date(2026, 5, 8)


def test_the_inspection_is_due_on_its_day_and_its_corrections_after_it() -> None:
    assert due_of(without(complete_job(), "final_passed"), "final_passed") == date(2026, 5, 12)
    assert due_of(changed(complete_job(), failed("final", None)), "final_corrections") == date(2026, 5, 19)


def test_the_application_is_due_3_business_days_after_diagram_and_contract() -> None:
    assert due_of(without(complete_job(), "application"), "application") == date(2026, 3, 26)


def test_the_utilitys_days_are_business_days() -> None:
    facts = replace(complete_job(), utility=UtilityProfile(review_days=15, answer_days=5, holidays=US))
    asked = changed(facts, utility_side(approved_on=None, submitted_on=date(2026, 11, 9)))
    # Monday 9 November, over Veterans Day (11th) and Thanksgiving (26th).
    assert due_of(asked, "utility_approval") == date(2026, 12, 2)
    requests = (
        (Comment("A photo"), date(2026, 11, 24)),
        (Comment("A drawing"), date(2026, 11, 20)),
        (Comment("A form", date(2026, 11, 3)), date(2026, 11, 2)),
    )
    facts = changed(facts, utility_side(requests=requests))
    assert due_of(facts, "utility_requests") == date(2026, 11, 30)  # five after Friday the 20th, over Thanksgiving


def test_the_inspection_goes_to_the_utility_the_next_business_day() -> None:
    assert due_of(without(complete_job(), "inspection_sent"), "inspection_sent") == date(2026, 5, 13)


def test_the_meter_counts_from_the_later_of_agreement_and_inspection() -> None:
    facts = changed(without(complete_job(), "meter"), utility_side(agreement_signed_on=date(2026, 5, 18)))
    assert due_of(facts, "meter") == date(2026, 6, 1)


def test_permission_counts_from_the_last_thing_the_utility_had() -> None:
    assert due_of(without(complete_job(), "permission"), "permission") == date(2026, 6, 9)
    bare = without(complete_job("grid-tied, bare"), "permission")
    assert due_of(bare, "permission") == date(2026, 5, 27)


def test_the_warranty_is_registered_within_5_business_days_of_switching_on() -> None:
    facts = on_the_us_calendar(changed(without(complete_job(), "warranty"), marked("switched_on", date(2026, 6, 15))))
    assert due_of(facts, "warranty") == date(2026, 6, 23)  # over Juneteenth


def test_the_lender_is_answered_within_5_business_days_of_its_first_open_question() -> None:
    asks = (
        LenderAsk("Pay slips", "customer", date(2026, 6, 17)),
        LenderAsk("A letter", "customer", date(2026, 6, 10), met_on=date(2026, 6, 12)),
        LenderAsk("The contract", "office", date(2026, 6, 24)),
    )
    facts = on_the_us_calendar(replace(complete_job(), lender_asks=asks))
    assert due_of(facts, "lender_asks_customer") == date(2026, 6, 25)  # over Juneteenth
    assert due_of(facts, "lender_asks_office") == date(2026, 7, 1)
    assert "lender_asks_lender" not in {r.key for r in standing(facts).requirements}


def test_done_things_have_no_due_date() -> None:
    assert {r.due_on for r in standing(complete_job("hybrid, everything asked")).requirements} == {None}


def test_the_job_is_due_when_its_first_open_requirement_is() -> None:
    facts = changed(complete_job(), failed("final", None), utility_side(agreement_signed_on=None))
    answer = standing(facts)
    assert [(r.key, r.due_on) for r in answer.next_steps] == [
        ("final_corrections", date(2026, 5, 19)),
        ("agreement", date(2026, 4, 23)),
    ]
    assert answer.due_on == date(2026, 4, 23)
