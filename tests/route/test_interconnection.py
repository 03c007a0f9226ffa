"""Interconnection runs beside the permits and ends with permission to operate."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from projects.route.facts import Comment, JobFacts, PermitFacts
from projects.route.requirements.interconnection import level_by_size
from projects.route.standing import standing
from tests.route.scenarios import changed, complete_job, utility_side, without, without_mark
from tests.route.test_permits import FIRST, at_permits, of


def under_review(**side: object) -> JobFacts:
    facts = at_permits(PermitFacts("building", (FIRST,)), PermitFacts("electrical", (FIRST,)))
    return changed(facts, utility_side(**side))


def test_the_application_is_open_while_the_permits_are_under_review() -> None:
    facts = under_review(submitted_on=None)
    answer = standing(facts)
    assert answer.stage == "permits"
    assert of(facts, "application").state == "open"
    # Due before the plan reviewer's answer, and ours: the job waits on the office.
    assert (answer.next_key, answer.waiting_on) == ("application", "office")


def test_an_application_that_is_in_leaves_the_county_first() -> None:
    answer = standing(under_review())
    assert (answer.stage, answer.waiting_on) == ("permits", "jurisdiction")
    assert "utility_approval" in {r.key for r in answer.next_steps}


def test_the_application_waits_for_diagram_and_contract() -> None:
    facts = changed(under_review(submitted_on=None), without_mark("contract_signed"))
    assert of(facts, "application").after == ("the contract is signed by the customer",)


def test_a_utilitys_question_is_the_offices_to_answer() -> None:
    asked = ((Comment("A photo of the meter"), date(2026, 4, 6)), (Comment("The form"), date(2026, 4, 7)))
    facts = under_review(requests=asked)
    requests = of(facts, "utility_requests")
    assert (requests.state, requests.party, requests.detail) == ("open", "office", "A photo of the meter; The form")
    assert of(facts, "utility_approval").state == "waiting"
    answered = under_review(requests=((Comment("A photo of the meter", date(2026, 4, 8)), date(2026, 4, 6)),))
    assert of(answered, "utility_requests") is None
    assert of(answered, "utility_approval").state == "open"


def test_the_utilitys_review_counts_its_days() -> None:
    facts = under_review()
    assert of(facts, "utility_approval").detail == "day 8 of 15 in the utility's review"


def test_an_application_of_an_earlier_design_says_so() -> None:
    facts = under_review(design_fingerprint="D0")
    told = of(facts, "application_matches_design")
    assert (told.state, told.party, told.waivable) == ("open", "office", False)
    assert told.detail == "the application shows an earlier design"
    assert of(facts, "utility_approval").after == ("the changed design is told to Sound & Shore Power",)
    # No parallel operation of another system than the one applied for.
    late = changed(without(complete_job(), "permission"), utility_side(design_fingerprint="D0"))
    assert of(late, "permission").after == ("the changed design is told to Sound & Shore Power",)
    assert of(under_review(), "application_matches_design") is None


def test_the_customer_signs_once_the_utility_has_approved() -> None:
    assert of(under_review(), "agreement").state == "waiting"
    facts = under_review(approved_on=date(2026, 4, 6))
    assert (of(facts, "agreement").state, of(facts, "agreement").party) == ("open", "customer")


def test_the_meter_waits_for_inspection_and_agreement() -> None:
    facts = changed(complete_job(), utility_side(meter_set_on=None, permission_on=None, inspection_sent_on=None))
    assert of(facts, "meter").after == ("the passed inspection is sent to Sound & Shore Power",)
    assert standing(facts).waiting_on == "office"
    sent = changed(facts, utility_side(inspection_sent_on=date(2026, 5, 13)))
    assert (of(sent, "meter").state, standing(sent).waiting_on_name) == ("open", "Sound & Shore Power")


def test_a_witness_test_only_where_the_utility_asks() -> None:
    assert of(complete_job(), "witness") is None
    facts = without(complete_job("hybrid, everything asked"), "witness")
    assert (standing(facts).stage, standing(facts).next_key) == ("interconnection", "witness")


def test_no_meter_where_the_utility_swaps_none() -> None:
    assert of(complete_job("grid-tied, bare"), "meter") is None


def test_off_grid_has_no_utility() -> None:
    answer = standing(complete_job("off-grid, permitted"))
    assert not any(r.stage == "interconnection" or r.party == "utility" for r in answer.requirements)
    assert "interconnection" not in {gate.key for gate in answer.gates}


def test_off_grid_is_switched_on_after_the_final_inspection() -> None:
    facts = changed(without(complete_job("off-grid, permitted"), "switched_on"), utility_side(permission_on=None))
    answer = standing(facts)
    assert (answer.stage, answer.next_key) == ("operation", "switched_on")
    assert answer.next_steps[0].due_on == date(2026, 5, 14)


def test_the_utilitys_permission_lets_the_crew_switch_on() -> None:
    facts = changed(complete_job(), without_mark("switched_on"))
    assert (standing(facts).next_key, standing(facts).waiting_on) == ("switched_on", "crew")
    before = changed(facts, utility_side(permission_on=None))
    assert (standing(before).next_key, standing(before).waiting_on) == ("permission", "utility")


def test_undecided_jobs_show_the_grid_tied_route_with_nothing_open_in_it() -> None:
    facts = replace(complete_job(), system_type=None)
    answer = standing(facts)
    assert answer.stage == "lead"
    assert {r.stage for r in answer.next_steps} <= {"lead"}


@pytest.mark.parametrize(
    ("ac_kw", "level", "asked"),
    [(None, 1, None), (10.0, 1, None), (10.1, 2, "screens"), (2000.0, 2, "screens"), (2000.5, 3, "grid_study")],
)
def test_the_level_follows_the_size(ac_kw: float | None, level: int, asked: str | None) -> None:
    """The thresholds of FERC Order 2006: 10 kW inverter process, fast track up to 2 MW (from memory)."""
    facts = replace(under_review(screens_passed_on=None, study_done_on=None), ac_kw=ac_kw)
    assert level_by_size(facts) == level
    found = {key for key in ("screens", "grid_study") if of(facts, key) is not None}
    assert found == ({asked} if asked else set())
    if asked:
        assert of(facts, "utility_approval").state == "waiting"


def test_the_level_stays_as_applied_for() -> None:
    """A utility that moves its threshold afterwards doesn't ask for screens of an application that is in."""
    facts = replace(under_review(level=1), ac_kw=14.0)
    assert of(facts, "screens") is None


def test_a_utility_that_says_so_finds_the_application_complete_first() -> None:
    facts = under_review(complete_on=None)
    facts = replace(facts, utility=replace(facts.utility, completeness_days=5))
    assert of(facts, "application_complete").state == "open"
    assert of(facts, "application_complete").due_on == date(2026, 4, 2)  # five days after Thursday 26 March
    assert of(facts, "utility_approval").state == "waiting"
    complete = changed(facts, utility_side(complete_on=date(2026, 4, 1)))
    assert of(complete, "utility_approval").state == "open"


def test_the_meter_is_ordered_where_the_utility_wants_an_order() -> None:
    facts = changed(complete_job(), utility_side(meter_set_on=None, permission_on=None, meter_ordered_on=None))
    facts = replace(facts, utility=replace(facts.utility, meter_order=True))
    assert of(facts, "meter_ordered").state == "open"
    assert of(facts, "meter").state == "waiting"
    ordered = changed(facts, utility_side(meter_ordered_on=date(2026, 5, 14)))
    assert of(ordered, "meter").due_on == date(2026, 5, 28)


def test_a_place_in_the_queue_is_told() -> None:
    assert of(under_review(queue_position=14), "utility_approval").detail.endswith(", number 14 in its queue")
