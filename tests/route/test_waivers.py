"""The owner can go on without a requirement, holds and what feeds them aside."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from projects.route.facts import Mark
from projects.route.holds import waiver_problems
from projects.route.requirements import REQUIREMENTS
from projects.route.standing import standing
from tests.route.scenarios import ROUTES, complete_job, without
from tests.route.test_cannot_be_cheated import CASES

WAIVABLE = {r.key for r in REQUIREMENTS if r.waivable}
WAIVED = Mark(date(2026, 6, 30), "the owner", "agreed on the phone")


def test_only_the_holds_the_permits_and_the_system_type_are_beyond_a_waiver() -> None:
    beyond = {r.key for r in REQUIREMENTS} - WAIVABLE
    assert {key for key in beyond if not key.startswith("permit_")} == {
        "system_type",
        "permits_match_design",
        "permits_hold",
        "final_passed",
        "final_check",
        "permission",
        # What must be told to the utility, and troubles that disappear only by being put right.
        "application_matches_design",
        "claims_settled",
        "service_visit",
        "lender_asks_customer",
        "lender_asks_office",
        "lender_asks_lender",
    }


# Taking away the design, an inspection or a step that an approval by the utility implies undoes more than the one
# requirement: a waiver of it alone is not enough.
WITH_OTHERS = (
    *("design", "study", "final_corrections", "final_booked"),
    *("application_complete", "screens", "grid_study", "meter_ordered"),
)
ALONE = [(route, key) for route, key in CASES if key in WAIVABLE and key not in WITH_OTHERS]


@pytest.mark.parametrize(("route", "key"), ALONE, ids=[f"{route}: {key}" for route, key in ALONE])
def test_a_waived_requirement_no_longer_holds_the_job(route: str, key: str) -> None:
    facts = without(complete_job(route), key)
    assert waiver_problems(facts, key) == []
    answer = standing(replace(facts, waivers={key: WAIVED}))
    waived = next(r for r in answer.requirements if r.key == key)
    assert (waived.state, waived.met_on, waived.done) == ("waived", date(2026, 6, 30), True)
    left = {r.key for r in answer.requirements if not r.done}
    # A rough-in that failed or never was booked has not passed either.
    assert left <= {"rough_in", "rough_in_booked"}


def test_a_withdrawn_waiver_brings_the_requirement_back() -> None:
    facts = without(complete_job(), "labels")
    assert standing(replace(facts, waivers={"labels": WAIVED})).in_service
    assert standing(facts).stage == "installation"


def test_a_met_requirement_counts_as_met_even_when_waived() -> None:
    facts = replace(complete_job(), waivers={"labels": WAIVED})
    assert next(r for r in standing(facts).requirements if r.key == "labels").state == "met"


def test_a_waiver_makes_what_follows_actionable() -> None:
    facts = without(without(complete_job(), "contract"), "financing")
    facts = replace(facts, wants_loan=True)
    before = {r.key: r.state for r in standing(facts).requirements}
    after = {r.key: r.state for r in standing(replace(facts, waivers={"contract": WAIVED})).requirements}
    assert (before["financing"], after["financing"]) == ("waiting", "open")


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("nonsense", "no requirement"),
        ("labels", "already met"),
        ("structural_letter", "not part of this job's route"),
        ("permit_building_issued", "can't be waived"),
        ("system_type", "can't be waived"),
    ],
)
def test_the_guard_says_why_there_is_nothing_to_waive(key: str, words: str) -> None:
    assert words in waiver_problems(complete_job(), key)[0]


def test_nothing_is_waived_twice_or_on_a_closed_job() -> None:
    facts = without(complete_job(), "labels")
    assert "already waived" in waiver_problems(replace(facts, waivers={"labels": WAIVED}), "labels")[0]
    assert waiver_problems(replace(facts, outcome="cancelled"), "labels") == ["The job is cancelled."]


@pytest.mark.parametrize("route", ROUTES)
def test_a_waiver_of_a_requirement_that_is_not_there_changes_nothing(route: str) -> None:
    facts = complete_job(route)
    assert standing(replace(facts, waivers={"permit_combined_renewal": WAIVED, "unknown": WAIVED})) == standing(facts)


def test_a_waived_step_of_the_utility_lets_it_approve() -> None:
    facts = without(complete_job("hybrid, everything asked"), "screens")
    answer = standing(replace(facts, waivers={"screens": WAIVED}))
    assert [r.key for r in answer.requirements if r.state == "open"] == ["utility_approval"]
