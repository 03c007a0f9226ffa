"""The declarations hold together: keys, order, sentences, marks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from projects.route.marks import MARKS
from projects.route.requirements import HOLDS, MARK_OF_REQUIREMENT, REQUIREMENTS
from projects.route.requirements.base import Requirement
from projects.route.stages import STAGE_KEYS, STAGES, stage_title
from projects.route.standing import standing
from projects.route.words import party_name
from tests.route.scenarios import REMOVALS, ROUTES, complete_job, without

CREW_MARKS = {
    "electrician_review",
    "install_started",
    "mounted",
    "wired",
    "labels",
    "commissioning_tests",
    "final_check",
    "switched_on",
}


def test_keys_are_unique() -> None:
    keys = [r.key for r in REQUIREMENTS]
    assert len(keys) == len(set(keys))


def test_requirements_stand_in_route_order() -> None:
    places = [STAGE_KEYS.index(r.stage) for r in REQUIREMENTS]
    assert places == sorted(places)


def test_a_requirement_waits_only_for_earlier_ones() -> None:
    order = {r.key: place for place, r in enumerate(REQUIREMENTS)}
    for requirement in REQUIREMENTS:
        for first in requirement.after:
            assert order[first] < order[requirement.key], (first, requirement.key)


def test_the_three_holds_and_the_check_that_stands_in_for_the_second() -> None:
    assert set(HOLDS) == {"permits_hold", "final_passed", "final_check", "permission"}
    assert not any(r.waivable for r in REQUIREMENTS if r.hold)


def test_a_hold_that_could_be_waived_is_refused() -> None:
    hold = next(r for r in REQUIREMENTS if r.hold)
    with pytest.raises(ValueError, match="can't be waived"):
        Requirement(key="x", stage="lead", party="office", sentence=hold.sentence, met=hold.met, hold=True)


def test_every_mark_meets_one_requirement() -> None:
    assert sorted(MARK_OF_REQUIREMENT.values()) == sorted(MARKS)
    parties = {r.mark: r.party for r in REQUIREMENTS if r.mark}
    assert {key: rule.party for key, rule in MARKS.items()} == parties


def test_the_crew_records_its_own_and_the_electricians_marks() -> None:
    assert {key for key, rule in MARKS.items() if "crew" in rule.roles} == CREW_MARKS
    assert all({"office", "owner"} <= rule.roles for rule in MARKS.values())


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("install_started", "fall protection"),
        ("mounted", "fall protection"),
        ("wired", "qualified person"),
        ("wired", "lock out"),
        ("wired", "listed instructions"),
        ("commissioning_tests", "qualified person"),
        ("final_check", "licensed electrician"),
        ("switched_on", "permission to operate"),
        ("structural_letter", "licensed engineer"),
    ],
)
def test_work_that_can_hurt_carries_its_caution(key: str, words: str) -> None:
    assert words in MARKS[key].caution


@pytest.mark.parametrize("route", ROUTES)
def test_sentences_name_the_authority_and_fit_inside_another_sentence(route: str) -> None:
    """Lower-cased in front for "first …": a name must not stand there. The job row keeps 200 letters of it."""
    facts = complete_job(route)
    for key in REMOVALS:
        for requirement in standing(without(facts, key)).requirements:
            assert requirement.sentence[0].isupper()
            assert not requirement.sentence.endswith(".")
            assert not requirement.sentence.startswith((facts.jurisdiction.name, facts.utility.name))
            assert len(requirement.sentence) <= 200
            if requirement.key not in ("permits_hold", "witness", "meter"):
                # A permit's or an application's sentence says whose it is.
                who = party_name(facts, requirement.party)
                assert requirement.party not in ("jurisdiction", "utility") or who in requirement.sentence


def test_sentences_say_it_plainly() -> None:
    said = {r.key: r.sentence for r in standing(complete_job()).requirements}
    assert said["permit_building_submitted"] == "The building permit is submitted to Pelican County"
    assert said["permit_electrical_issued"] == "The electrical permit is issued by Pelican County"
    assert said["permission"] == "Permission to operate is granted by Sound & Shore Power"
    assert said["install_photos"] == "The finished array, inverter and labels are photographed"


def test_waiting_names_what_must_come_first() -> None:
    facts = without(without(complete_job(), "permit_building_issued"), "permit_electrical_issued")
    hold = next(r for r in standing(facts).requirements if r.key == "permits_hold")
    assert hold.state == "waiting"
    assert hold.after == (
        "the building permit is issued by Pelican County",
        "the electrical permit is issued by Pelican County",
    )


def test_an_off_grid_job_becomes_ready_to_operate() -> None:
    assert stage_title("operation") == "Permission to operate"
    assert stage_title("operation", "off_grid") == "Ready to operate"
    facts = without(complete_job("off-grid, permitted"), "switched_on")
    assert standing(facts).stage_title == "Ready to operate"


def test_stages_have_titles_in_order() -> None:
    assert [stage.title for stage in STAGES] == [
        "Lead",
        "Site assessment",
        "Engineering",
        "Permits",
        "Installation",
        "Inspection",
        "Interconnection",
        "Permission to operate",
        "In service",
    ]


def test_a_standing_says_which_mark_meets_a_requirement() -> None:
    marks = {r.key: r.mark for r in standing(complete_job()).requirements}
    assert marks["contract"] == "contract_signed"
    assert marks["warranty"] == "warranty_registered"
    assert marks["design"] == ""


def test_titles_of_stages_match_a_job_that_is_undecided() -> None:
    facts = replace(complete_job(), system_type=None)
    assert [gate.key for gate in standing(facts).gates][-2:] == ["interconnection", "operation"]
