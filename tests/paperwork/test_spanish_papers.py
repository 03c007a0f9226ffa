"""Every paper that a household can have in Spanish, read back whole: no English outside names and what stays English.

The as-built drawing stays in English (a sheet of its own that says so, lying on its side), and so do names of people,
places, firms and equipment, and reasons that the office typed.
"""

from __future__ import annotations

import csv
import re
from typing import Any

import pytest

from paperwork.content.credit_note import CREDIT_WORDS
from paperwork.content.invoice import FACT_WORDS, INVOICE_WORDS
from paperwork.issue import draft, issue_paper
from paperwork.papers import checklist, first_look
from paperwork.pdf import Pdf
from paperwork.spanish import spanish_change
from paperwork.spanish_things import APPLIANCES, check_label
from projects.models import Job, OfficeProfile, Person
from projects.route.stages import STAGE_KEYS
from sizing.loads import library
from sizing.study.run import run_study
from tests import factories
from tests.paperwork import golden_designs, test_checklist
from tests.paperwork.golden_designs import KINDS
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader
from tests.paperwork.tagged import faults

ENGLISH = re.compile(
    r"(?i:\b(the|and|of|is|are|was|with|without|for|from|to|in|on|at|by|or|if|you|your|we|our|not|it|this|that|these|each|"
    r"until|what|who|when|which|still|more|month|year|day|days|hour|hours|house|battery|grid|hybrid|roof|panels|"
    r"inverter|permit|inspection|utility|page|preview|draft|date|revision|sheet|refrigerator|lights|pump|well|heat)\b)|"
    r"\b(January|February|March|April|May|June|July|August|September|October|November|December)\b"
)
SIZES = ("letter", "a4")


def english_in(pdf: Pdf, *names: str) -> list[str]:
    """English words of every upright page and of what the file says of itself, with the words around them."""
    read = reader(pdf.content)
    about = read.metadata or {}
    texts = [str(about.get(key, "")) for key in ("/Title", "/Subject")]
    texts += [str(entry.title) for entry in read.outline if not isinstance(entry, list)]
    texts += [page.extract_text() for page in read.pages if page.mediabox.width < page.mediabox.height]
    found = []
    for text in texts:
        text = " ".join(text.split())
        for name in sorted(filter(None, names), key=len, reverse=True):
            text = text.replace(name, " ")
        found += [text[max(0, hit.start() - 40) : hit.end() + 25] for hit in ENGLISH.finditer(text)]
    return found


def names_of(facts: dict[str, Any]) -> list[str]:
    """Names on the paper, whole and as far as a title block has room for them."""
    firm, site, study = facts["firm"], facts["site"], facts.get("study") or {}
    whole = [firm["name"], firm["address"], firm["email"], facts["customer"]["name"], site["address"]]
    whole += [facts["jurisdiction"], facts["utility"], study.get("climate", {}).get("name", "")]
    asked = study.get("request", {})
    whole += [asked[part]["name"] for part in ("module", "inverter", "battery", "generator") if asked.get(part)]
    whole += [plane["name"] for plane in asked.get("planes", ())]
    return [*whole, *(f"{name[:at].rstrip()}…" for name in whole for at in range(12, len(name)))]


def in_spanish(facts: dict[str, Any]) -> dict[str, Any]:
    facts["customer"]["language"] = "es"
    return facts


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("preview", [True, False])
def test_first_looks(kind: str, preview: bool) -> None:
    facts = in_spanish(facts_of(golden_designs.result(kind), visited=not preview))
    facts["study"]["loads"]["appliances"] = [
        line | {"name": name}
        for line, name in zip(facts["study"]["loads"]["appliances"], list(APPLIANCES)[4:], strict=False)
    ]
    facts["study"]["climate"]["name"] = "Punta Larga, año típico (EPW)"
    facts["study"]["assumptions"] = []
    assert english_in(first_look.pages(facts, preview), *names_of(facts)) == []


@pytest.mark.parametrize("stage", STAGE_KEYS)
@pytest.mark.parametrize(("kind", "exempt"), [("grid_tied", False), ("hybrid", False), ("off_grid", True)])
def test_checklists(stage: str, kind: str, exempt: bool) -> None:
    from projects.route.requirements import REQUIREMENTS

    steps = [(r.key, r.party, "2026-12-04") for r in REQUIREMENTS if r.stage == stage]
    facts = test_checklist.facts(stage, "es", steps, system_kind=kind, exempt=exempt)
    assert english_in(checklist.pages(facts, True), *names_of(facts)) == []


@pytest.mark.django_db
@pytest.mark.parametrize("kind", KINDS)
def test_handovers_and_what_changed_in_them(firm: OfficeProfile, office: Person, kind: str) -> None:
    job: Job = factories.job_at("in_service", kind, preferred_language="es")
    first = issue_paper(job=job, kind="handover", actor=office)
    assert english_in(Pdf(bytes(first.content), first.pages), *names_of(first.facts), "OFF") == []
    assert faults(bytes(first.content), "es") == []
    pages = reader(bytes(first.content)).pages
    sheet = " ".join(" ".join(page.extract_text() for page in pages[3:]).split())
    assert "En inglés, como están en los rótulos" in sheet and "Desconectador DC de los paneles" in sheet
    assert english_in(draft(job=job, kind="handover"), *names_of(first.facts), "OFF") == []
    OfficeProfile.objects.update(phone="(555) 010-0177")
    second = issue_paper(job=job, kind="handover", actor=office)
    assert second.changes and english_in(Pdf(bytes(second.content), second.pages), *names_of(second.facts), "OFF") == []


@pytest.mark.parametrize("words", [INVOICE_WORDS["es"], FACT_WORDS["es"], CREDIT_WORDS["es"]])
def test_invoices_and_credit_notes(words: dict[str, str]) -> None:
    bare = [re.sub(r"\{\w*\}", "", text) for text in words.values()]
    assert [text for text in bare if ENGLISH.search(text)] == []


def test_every_appliance_of_the_list_has_a_name_that_fits() -> None:
    file = library.__file__.replace("library.py", "appliances.csv")
    with open(file, encoding="utf-8") as lines:
        listed = [row["name"] for row in csv.DictReader(line for line in lines if not line.startswith("#"))]
    assert len(listed) > 40 and set(listed) == set(APPLIANCES)
    for english, said in APPLIANCES.items():
        assert len(said) <= 34 and not ENGLISH.search(said), said
        assert re.findall(r"\d+(?:\.\d+)?", english) == re.findall(r"\d+(?:\.\d+)?", said), english


@pytest.mark.parametrize("kind", KINDS)
def test_every_check_of_a_study_has_a_name(kind: str) -> None:
    studied = run_study(golden_designs.request(kind))
    labels = [check.label for check in studied.electrical.checks]
    assert len(labels) > 8
    for label in labels:
        said = check_label(label, "es")
        for plane in studied.request.planes:
            said = said.replace(plane.name, "")
        assert said != label and not ENGLISH.search(said), label
        assert check_label(label, "en")[1:] == label[1:]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Main breaker: 150 A (was 200 A).", "Interruptor principal: 150 A (antes 200 A)."),
        ("Point of connection: supply side (was far end of the busbar).",
         "Punto de conexión: antes del interruptor principal (antes extremo opuesto de la barra)."),
        ("Warranties: Workmanship until 2036-11-02; Egret 400 until 2051-11-02 (not shown before).",
         "Garantías: Nuestro trabajo hasta 2036-11-02; Egret 400 hasta 2051-11-02 (antes no figuraba)."),
        ("Must run: Refrigerator, Well pump, 1/2 hp, 230 V (was Refrigerator).",
         "Debe funcionar: Refrigerador, Bomba de pozo, 1/2 hp, 230 V (antes Refrigerador)."),
        ("Generator: no longer shown (was Otter 9 kW).", "Generador: ya no figura (antes Otter 9 kW)."),
    ],
)  # fmt: skip
def test_changes_of_a_handover_are_said_in_spanish(line: str, said: str) -> None:
    assert spanish_change(line) == said
