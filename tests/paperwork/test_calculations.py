"""The calculation sheet carries every line of the study's working, and passes nothing that the study doesn't pass."""

from __future__ import annotations

import re

import pytest

from paperwork.content.calculations import calculations, figure, groups, printed, quantity, working_rows
from paperwork.issue import issue_paper, paper_problems
from paperwork.papers import calculations as paper
from projects.models import Job, Person, StudyRun
from tests import factories
from tests.paperwork.reading import reader
from tests.paperwork.study_facts import example_result, example_text, study_facts


def squeezed(text: str) -> str:
    """Without any space: a narrow column breaks lines wherever it must."""
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_every_line_of_working_is_on_it(size: str) -> None:
    text = squeezed(example_text("calculations", size))
    for line in example_result().working:
        assert squeezed(line.label) in text, line.key
        assert squeezed(line.source) in text, line.key
        assert squeezed(quantity(line.result, line.unit)) in text, line.key
        for term in line.terms:
            assert squeezed(quantity(term.value, term.unit)) in text, (line.key, term.symbol)


def test_figures_worked_by_hand_stand_beside_their_labels() -> None:
    """9 x 37.2 x (1 - 0.0026 x (-21.7 - 25)) = 375.45 V; 8000 / 240 = 33.33 A, x 1.25 -> 45 A."""
    rows = {row["label"]: row for row in working_rows(study_facts()["working"])}
    cold = rows["Open-circuit voltage of the longest string at the record low"]
    assert cold["result"] == "375.5\u00a0V" and cold["limit"] == "600\u00a0V" and cold["word"] == "passes"
    assert rows["Inverter output: maximum circuit current"]["result"] == "33.33\u00a0A"
    assert rows["Inverter output: overcurrent device"]["result"] == "45\u00a0A"
    busbar = rows["Main breaker and 125 % of the inverters' current against 120 % of the busbar"]
    assert busbar["result"] == "241.7\u00a0A" and busbar["limit"] == "240\u00a0A" and busbar["word"] == "fails"


def test_no_line_is_lost_or_doubled_by_the_grouping() -> None:
    working = study_facts()["working"]
    assert sum(len(group["rows"]) for group in groups(working)) == len(working)
    strange = [*working, {**working[0], "key": "tides.high", "label": "High water"}]
    assert groups(strange)[-1]["rows"][-1]["label"] == "High water"


@pytest.mark.parametrize(
    ("value", "shown"),
    [(13192.82, "13,193"), (375.4514, "375.5"), (33.3333, "33.33"), (1.31625, "1.316"), (0.872903, "0.8729"), (0, "0")],
)
def test_figures_keep_four_digits(value: float, shown: str) -> None:
    assert figure(value) == shown


def test_a_failing_check_says_so_and_the_sheet_certifies_nothing() -> None:
    text = example_text("calculations")
    failing = [check for check in example_result().electrical.checks if not check.passes]
    assert failing and text.count("fails") >= len(failing)
    assert "For review by the licensed electrician/engineer; not certified." in text
    assert text.lower().replace("not certified", "").count("certif") == 0


def test_pages_are_numbered_and_carry_the_title_block() -> None:
    pdf = paper.pages(study_facts(number="0147-CS-1"), False)
    assert pdf.pages > 2
    for at, page in enumerate(reader(pdf.content).pages, start=1):
        text = " ".join(page.extract_text().split())
        for part in (f"{at} of {pdf.pages}", "0147-CS-1", "Longleaf & Shore Backup Power", "41 Cormorant Lane"):
            assert part in text


def test_assumptions_and_warnings_are_listed() -> None:
    text = example_text("calculations")
    for line in (*example_result().assumptions, *example_result().warnings):
        assert squeezed(line) in squeezed(text)


def test_units_that_sizing_writes_plainly_read_well() -> None:
    said = calculations(study_facts())
    assert "°C" in str(said["groups"]) and "kWh/m²" in str(said["groups"])


def test_notes_and_remarks_read_as_print_and_one_is_not_many() -> None:
    assert printed("cells reach 62 C; 40% of 0.533 in2") == "cells reach 62 °C; 40% of 0.533 in²"
    assert printed("T_air + (NOCT - 20) / 800 x G (at -9.4 °C)") == "T_air + (NOCT − 20) / 800 × G (at −9.4 °C)"
    assert printed("Table 310.15(C)(1), ASCE 7-16, 2017 NEC 690.31") == "Table 310.15(C)(1), ASCE 7-16, 2017 NEC 690.31"
    assert quantity(1, "batteries") == "1\u00a0battery" and quantity(2, "batteries") == "2\u00a0batteries"


@pytest.mark.django_db
def test_it_is_issued_from_a_job_and_names_the_design(hybrid: Job, office: Person) -> None:
    issued = issue_paper(job=hybrid, kind="calculations", actor=office)
    assert issued.number == f"{hybrid.label}-CS-1" and issued.design_fingerprint
    assert len(issued.facts["working"]) == len(StudyRun.objects.filter(job=hybrid).latest("id").result["working"])
    again = issue_paper(job=hybrid, kind="calculations", actor=office)
    assert again.changes == [] and again.facts["replaces"] == issued.number


@pytest.mark.django_db
def test_without_a_study_it_is_refused(firm: object) -> None:
    job = factories.job_at("site_assessment", "hybrid")
    assert "no design yet" in paper_problems(job=job, kind="calculations")[0].message
