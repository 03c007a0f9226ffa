"""A system in service stays in service while a claim is looked at or a visit is near."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from projects.route.facts import ClaimFacts
from projects.route.standing import standing
from tests.route.scenarios import TODAY, complete_job, without

CLAIM = ClaimFacts("Workmanship", date(2026, 6, 29))


def test_a_claim_waits_on_the_office_and_the_system_stays_in_service() -> None:
    answer = standing(replace(complete_job(), claims=(CLAIM,)))
    assert (answer.stage, answer.in_service, answer.pressing) == ("in_service", True, ("claims_settled",))
    step = answer.next_steps[0]
    assert step.detail == "Workmanship, no visit planned yet"
    assert step.due_on == date(2026, 7, 6)  # five business days after Monday 29 June


def test_a_planned_visit_is_the_claims_day() -> None:
    seen = ClaimFacts("Avocet H8", date(2026, 6, 25), date(2026, 7, 8))
    answer = standing(replace(complete_job(), claims=(CLAIM, seen)))
    assert answer.next_step == "The 2 open warranty claims are settled"
    assert answer.due_on == date(2026, 7, 6)
    assert answer.next_steps[0].detail == "Workmanship, no visit planned yet and Avocet H8, visit 8 Jul"


def test_a_visit_is_a_step_of_the_crew_once_it_is_near() -> None:
    far = replace(complete_job(), service_visits=(date(2026, 7, 16),))
    assert standing(far).next_steps == ()
    near = replace(complete_job(), service_visits=(date(2026, 7, 15), date(2027, 7, 1)))
    assert [(s.key, s.party, s.due_on) for s in standing(near).next_steps] == [
        ("service_visit", "crew", date(2026, 7, 15))
    ]
    assert (date(2026, 7, 15) - TODAY).days == 14


def test_a_claim_does_not_put_a_system_into_service() -> None:
    facts = replace(without(complete_job(), "handover"), claims=(CLAIM,))
    assert (standing(facts).stage, standing(facts).in_service) == ("operation", False)
