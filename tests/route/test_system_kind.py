"""The recommended kind of system, its reasons, and what each kind would honestly mean."""

from __future__ import annotations

import json
from dataclasses import asdict, fields
from typing import get_args

import pytest

from projects.route.facts import SystemType
from projects.route.system_kind import Answers, recommend
from projects.route.system_meanings import MEANINGS, Meaning


@pytest.mark.parametrize(
    ("answers", "kind"),
    [
        (Answers(wants_payback=True), "grid_tied"),
        (Answers(), "grid_tied"),
        (Answers(wants_backup=True), "hybrid"),
        (Answers(wants_backup=True, wants_payback=True), "hybrid"),
        (Answers(wants_payback=True, outage_days_wanted=3), "hybrid"),
        (Answers(wants_payback=True, must_run=("Oxygen concentrator",)), "hybrid"),
        (Answers(wants_payback=True, must_run=("fridge", "well_pump_half_hp")), "grid_tied"),
        (Answers(grid_available=False), "off_grid"),
        (Answers(grid_available=False, wants_payback=True), "off_grid"),
        (Answers(grid_available=False, wants_backup=True, outage_days_wanted=5), "off_grid"),
    ],
)
def test_the_answers_decide_the_kind(answers: Answers, kind: str) -> None:
    assert recommend(answers).kind == kind


def said(answers: Answers) -> str:
    return " ".join(recommend(answers).reasons)


def test_grid_tied_says_that_it_goes_dark_with_the_grid() -> None:
    assert "dark together with the grid" in said(Answers(wants_payback=True))
    assert "shuts off with the grid" in MEANINGS["grid_tied"].backup


def test_hybrid_promises_no_payback_from_the_battery() -> None:
    assert "rarely pays for itself on bills alone" in said(Answers(wants_backup=True, wants_payback=True))
    assert "seldom cover" in MEANINGS["hybrid"].financing


def test_long_outages_are_not_promised_from_sun_and_battery() -> None:
    assert "For 4 days sun and battery alone depend on the weather" in said(
        Answers(wants_backup=True, outage_days_wanted=4)
    )
    assert "depend on the weather" not in said(Answers(wants_backup=True, outage_days_wanted=1))


def test_off_grid_needs_a_generator() -> None:
    assert "generator" in said(Answers(grid_available=False))


def test_a_near_line_is_worth_a_question_and_a_far_one_a_price() -> None:
    assert "only 120 m away: ask the utility" in said(Answers(grid_available=False, distance_to_grid_m=120))
    assert "1,800 m away" in said(Answers(grid_available=False, distance_to_grid_m=1800))
    assert "line is" not in said(Answers(grid_available=False))


def test_medical_equipment_keeps_its_own_reserve() -> None:
    assert "maker's own reserve" in said(Answers(wants_backup=True, must_run=("CPAP",)))


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        (Answers(owns_home=False), "owner must agree in writing"),
        (Answers(wants_loan=True), "lender"),
        (Answers(wants_warranty=True), "warranties"),
        (Answers(diy_comfort="much"), "licensed people"),
        (Answers(grid_available=False, diy_comfort="none"), "attention every week"),
    ],
)
def test_what_else_was_said_gets_its_sentence(answers: Answers, words: str) -> None:
    assert words in said(answers)
    assert words not in said(Answers(grid_available=answers.grid_available, diy_comfort="some"))


def test_reasons_are_whole_sentences() -> None:
    for answers in (Answers(), Answers(wants_backup=True), Answers(grid_available=False, distance_to_grid_m=90)):
        reasons = recommend(answers).reasons
        assert len(reasons) >= 2
        assert all(reason[0].isupper() and reason.endswith(".") for reason in reasons)


def test_every_kind_is_explained_on_every_subject() -> None:
    meanings = recommend(Answers()).meanings
    assert set(meanings) == set(get_args(SystemType))
    assert [field.name for field in fields(Meaning)] == [
        "backup",
        "selling_back",
        "permits",
        "licensed_trades",
        "warranty",
        "financing",
    ]
    for meaning in meanings.values():
        assert all(text.endswith(".") and len(text) > 20 for text in asdict(meaning).values())


def test_a_recommendation_can_be_stored() -> None:
    assert json.loads(json.dumps(asdict(MEANINGS["hybrid"])))["backup"] == MEANINGS["hybrid"].backup
