"""A checklist says nothing that is untrue for the job: no battery, no utility, no permit where there is none."""

from __future__ import annotations

import re
from typing import Any

import pytest

from paperwork.content import checklist_otherwise as other
from paperwork.content.checklist import checklist, steps_of
from paperwork.content.checklist_stages import PAGE_WORDS, STAGE_SHORT, STAGE_WORDS
from paperwork.content.checklist_steps import STEPS
from paperwork.freeze import checklist_facts, common_facts
from projects.route.requirements import REQUIREMENTS
from projects.route.stages import STAGE_KEYS
from tests import factories
from tests.paperwork.test_checklist import LANGUAGES, facts

each_language = pytest.mark.parametrize("language", LANGUAGES)


def said(stage: str, language: str, kind: str, **more: Any) -> str:
    """All that the page says of the stage itself; whom to call and who has the next steps are facts of the job."""
    shown = checklist(facts(stage, language, system_kind=kind, **more))
    words = shown["stage"]
    drawn = re.search(r'alt="([^"]*)"', shown["drawing"])
    assert drawn
    return " ".join((words.title, words.happens, *words.ready, *words.careful, words.then, drawn[1]))


@each_language
@pytest.mark.parametrize("stage", STAGE_KEYS)
def test_a_grid_tied_house_hears_of_no_battery(stage: str, language: str) -> None:
    assert not re.search(r"battery|batería", said(stage, language, "grid_tied"))


@each_language
@pytest.mark.parametrize("stage", [key for key in STAGE_KEYS if key != "interconnection"])
def test_a_house_off_the_grid_hears_of_no_utility_and_no_meter(stage: str, language: str) -> None:
    stages = [key for key in STAGE_KEYS if key != "interconnection"]
    asked = facts(stage, language, system_kind="off_grid")
    asked["standing"]["stages"] = stages
    shown = checklist(asked)
    words = shown["stage"]
    text = " ".join((words.title, words.happens, *words.ready, *words.careful, words.then, shown["w"]["dates"]))
    assert not re.search(r"utility|\bmeter\b|electric bills|compañía|medidor|recibos", text)


@each_language
@pytest.mark.parametrize("stage", ["engineering", "permits", "installation", "inspection", "operation"])
def test_where_no_permit_is_asked_for_nobody_waits_for_one_or_for_an_inspector(stage: str, language: str) -> None:
    text = said(stage, language, "off_grid", exempt=True)
    left = re.sub(
        r"(?i)asks for no permit|no permit( is)?( asked for)?|no inspector comes|no pide permiso|no se pide permiso|"
        r"no hace falta permiso|sin permiso( que pedir)?|no viene inspector",
        "",
        text,
    )
    assert not re.search(r"(?i)permit|inspec|permiso", left), left
    usual = said(stage, language, "off_grid")
    assert re.search(r"(?i)permi[ts]", usual) and usual != text


def test_every_sentence_that_is_replaced_is_one_that_is_said() -> None:
    said_usually = {short for both in STAGE_SHORT.values() for short in both}
    for both in STAGE_WORDS.values():
        for words in both.values():
            said_usually |= {words.title, words.happens, words.then, *words.ready, *words.careful}
    for replaced in (
        other.NO_BATTERY,
        other.NO_UTILITY,
        other.NO_PERMIT,
        other.SHORT_NO_PERMIT,
        other.SHORT_NO_UTILITY,
    ):
        assert set(replaced) <= said_usually
        assert len(replaced) % 2 == 0  # each in both languages
    assert set(other.STEPS_NO_PERMIT) | set(other.STEPS_NO_UTILITY) <= set(STEPS)
    assert {requirement.key for requirement in REQUIREMENTS} >= set(other.STEPS_NO_PERMIT)


def test_steps_beyond_those_shown_are_counted() -> None:
    steps = [(key, "office", None) for key in list(STEPS)[:40] if key not in ("permit_submitted", "permit_issued")]
    shown = checklist(facts("permits", "en", steps))
    assert shown["more"] == PAGE_WORDS["en"]["more"].format(n=len(steps_of(facts("permits", "en", steps))) - 9)
    assert checklist(facts("permits", "en", steps[:3]))["more"] == ""


@pytest.mark.django_db
@pytest.mark.parametrize("exempt", [True, False])
def test_whether_a_permit_is_asked_for_comes_from_the_jurisdictions_profile(firm: object, exempt: bool) -> None:
    from django.utils import timezone

    place = factories.JurisdictionFactory(
        off_grid_exempt=exempt, off_grid_exemption_rule="Ordinance 12-4" if exempt else ""
    )
    job = factories.job_at("permits", "off_grid", jurisdiction=place)
    frozen = checklist_facts(job, common_facts(job, kind="checklist", number="1", issue=1, at=timezone.now()))
    assert frozen["exempt"] is exempt
    assert checklist(frozen)["stage"].title == ("No permit asked for" if exempt else "Permits")
