"""The customer's checklist: every stage, every requirement, both languages."""

from __future__ import annotations

import re
from typing import Any

import pytest

from paperwork.content.checklist import checklist, steps_of
from paperwork.content.checklist_stages import PAGE_WORDS, STAGE_SHORT, STAGE_WORDS
from paperwork.content.checklist_steps import PARTIES, STEPS, key_of
from paperwork.issue import issue_paper
from paperwork.papers import checklist as paper
from projects.route.requirements import REQUIREMENTS
from projects.route.stages import STAGE_KEYS
from tests import factories
from tests.paperwork import hand_made
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader, text_of

LANGUAGES = ("en", "es")


def facts(stage: str, language: str, steps: list[tuple[str, str, str | None]] = [], **changes: Any) -> dict[str, Any]:  # noqa: B006
    base = facts_of(hand_made.result("hybrid"), number="0147-CL-1", kind="checklist")
    base["customer"] = {"name": "Ingrid Halvorsen", "language": language}
    base["standing"] = {
        "stage": stage,
        "in_service": False,
        "stages": list(STAGE_KEYS),
        "steps": [{"key": key, "party": party, "due_on": due} for key, party, due in steps],
    }
    base["booked"] = []
    base["phones"] = {"jurisdiction": "(555) 010-0201", "utility": "(555) 010-0301"}
    return base | changes


def test_every_requirement_of_the_route_has_words_in_both_languages() -> None:
    missing = [r.key for r in REQUIREMENTS if key_of(r.key) not in STEPS]
    assert missing == []
    for key, both in STEPS.items():
        assert len(both) == 2 and all(both), key
        assert both[0] != both[1], key
        assert both[0].count("{name}") == both[1].count("{name}"), key
    assert {r.party for r in REQUIREMENTS} <= set(PARTIES)


def test_every_stage_has_words_in_both_languages() -> None:
    assert set(STAGE_WORDS) == set(STAGE_SHORT) == set(STAGE_KEYS)
    for stage, both in STAGE_WORDS.items():
        assert set(both) == set(LANGUAGES)
        english, spanish = both["en"], both["es"]
        assert len(english.ready) == len(spanish.ready) and len(english.careful) == len(spanish.careful), stage
        assert bool(english.then) == bool(spanish.then)
    assert set(PAGE_WORDS["en"]) == set(PAGE_WORDS["es"])


@pytest.mark.parametrize("stage", ["installation", "inspection", "interconnection", "operation", "in_service"])
def test_stages_with_equipment_on_the_house_carry_cautions(stage: str) -> None:
    assert all(STAGE_WORDS[stage][language].careful for language in LANGUAGES)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("stage", STAGE_KEYS)
def test_each_stage_is_one_page_with_its_own_words(stage: str, language: str) -> None:
    steps = [(r.key, r.party, "2026-12-04") for r in REQUIREMENTS if r.stage == stage]
    pdf = paper.pages(facts(stage, language, steps), False)
    text = text_of(pdf)
    assert pdf.pages == 1
    words = STAGE_WORDS[stage][language]
    assert words.title in text
    for item in (*words.ready, *words.careful):
        assert item in text
    assert "911" in text and "(555) 010-0140" in text
    assert reader(pdf.content).trailer["/Root"]["/Lang"] == language


def test_spanish_pages_speak_spanish_alone() -> None:
    steps = [("agreement", "customer", "2026-12-09"), ("permit_building_issued", "jurisdiction", "2026-12-02")]
    text = text_of(paper.pages(facts("permits", "es", steps), False))
    for part in ("Su lista", "Lo que necesitamos de usted", "hasta el 9 de diciembre de 2026", "revisa los planos"):
        assert part in text
    for english in ("What ", "we ", " by 9", "Permit office", "checklist", "December"):
        assert english not in text


def test_what_reads_alike_stands_once_with_the_earliest_date() -> None:
    steps = [("service", "crew", "2026-12-05"), ("roof", "crew", "2026-12-03"), ("obstructions", "crew", None)]
    found = steps_of(facts("site_assessment", "en", steps))
    assert len(found) == 1
    assert found[0]["when"] == "by 3 December 2026" and found[0]["who"] == "our crew"


def test_a_date_that_has_passed_is_not_promised_again() -> None:
    found = steps_of(facts("permits", "en", [("permit_building_corrections", "office", "2026-11-20")]))
    assert found[0]["when"] == "was due 20 November 2026; ask us"


def test_who_it_waits_on_is_named() -> None:
    steps = [("permit_fire_issued", "jurisdiction", None), ("meter", "utility", None)]
    names = {step["who"] for step in steps_of(facts("permits", "en", steps))}
    assert names == {"Town of Marrow Bay", "Sound & Shore Power"}
    unnamed = steps_of(facts("permits", "en", steps, jurisdiction="", utility=""))
    assert {step["who"] for step in unnamed} == {"the permit office", "the utility"}


def test_off_grid_has_no_utility_to_call() -> None:
    said = checklist(facts("installation", "en", system_kind="off_grid"))
    assert not any("Sound & Shore" in row["who"] for row in said["calls"])


def test_nothing_open_says_so() -> None:
    quiet = facts("in_service", "en")
    quiet["standing"]["in_service"] = True
    assert "Nothing is open: the system is in service." in text_of(paper.pages(quiet, False))


def test_states_are_told_by_words_and_shape_not_by_colour() -> None:
    """The line of contacts is read out with a word per stage; closed and open contacts differ in their strokes."""
    said = checklist(facts("permits", "en"))
    alt = re.search(r'alt="([^"]*)"', said["drawing"])
    assert alt and "Design: done" in alt.group(1) and "Permits: now" in alt.group(1)
    assert "Inspection: later" in alt.group(1)


@pytest.mark.django_db
@pytest.mark.parametrize("stage", ["lead", "permits", "installation", "operation", "done"])
def test_a_real_job_of_each_stage_gets_its_list(firm, stage: str) -> None:
    job = factories.job_at(stage, "hybrid", preferred_language="es")
    issued = issue_paper(job=job, kind="checklist", actor=factories.office_person())
    text = text_of(bytes(issued.content))
    expected = "in_service" if stage == "done" else stage
    assert issued.facts["standing"]["stage"] == expected
    assert STAGE_WORDS[expected]["es"].title in text and issued.pages == 1
    assert issued.design_fingerprint == ""
