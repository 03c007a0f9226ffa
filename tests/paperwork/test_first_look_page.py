"""The first-look report is one page, whatever is on it, and nothing of it gets lost."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from paperwork.papers import first_look
from sizing.study import result as r
from tests.paperwork import hand_made
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader, text_of

KINDS = ("grid_tied", "hybrid", "off_grid")
SIZES = ("letter", "a4")
LONG_NAME = "Wilhelmina Oluwaseun Featherstonehaugh-Hernández de la Cruz and Bartholomew van der Meerschenk Esq."
LONG_WORD = "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch" * 2
LONG_ADDRESS = "12345 North Old Confederate Memorial Turnpike Extension Service Road, Unit 4417-B, Upper Tarn on the Water, NC 28599-4417"  # noqa: E501


def extreme(kind: str, name: str = LONG_NAME) -> dict[str, Any]:
    """Everything at its longest: names, addresses, loads, reasons, assumptions, failing checks."""
    study = hand_made.result(kind)
    loads = tuple(
        r.ApplianceLoad(f"Appliance number {i} with a very long description", "must_run", 3, 900, 1500, 9000)
        for i in range(40)
    )
    checks = tuple(
        r.Check(f"check{i}", f"A check with a long label that fails, number {i}", False, "1", "2", "x")
        for i in range(9)
    )
    study = replace(
        study,
        loads=replace(study.loads, appliances=loads),
        electrical=replace(study.electrical, checks=checks),
        climate=replace(study.climate, name="Some Extraordinarily Long Station Name International Airport, NC, TMY3"),
        assumptions=tuple(
            f"Assumption {i} says something that goes on for quite a while, as they do." for i in range(12)
        ),
    )
    facts = facts_of(study)
    facts["customer"]["name"] = name
    facts["site"]["address"] = LONG_ADDRESS
    facts["firm"] |= {"name": LONG_NAME, "email": f"{'office' * 8}@{'longleaf' * 5}.example"}
    facts["jurisdiction"] = facts["utility"] = "The Consolidated Unified Government and Authority of Three Counties"
    facts["recommendation"]["reasons"] = [
        "A reason that the office typed at length, and then some more of it. " * 4
    ] * 6
    facts["design"]["assumptions"] = ["One plane facing south is assumed until the roof is measured. " * 3] * 5
    facts["price_usd"] = "1234567.00"
    facts["answers"]["bills"] = "year"
    facts |= {"replaces": "0147-FL-1", "changes": ["Array: 8.8 kW (was 6.4 kW). Something else changed as well."] * 15}
    return facts


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("kind", KINDS)
def test_an_ordinary_report_is_one_page(kind: str, size: str) -> None:
    pdf = first_look.pages(facts_of(hand_made.result(kind)), False, size)
    assert pdf.pages == len(reader(pdf.content).pages) == 1
    page = reader(pdf.content).pages[0].mediabox
    width = {"letter": 612, "a4": 595}[size]
    assert round(float(page.width)) == width


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", [LONG_NAME, LONG_WORD])
def test_the_longest_report_is_one_page_and_keeps_its_ends(kind: str, size: str, name: str) -> None:
    pdf = first_look.pages(extreme(kind, name), False, size)
    text = text_of(pdf)
    assert pdf.pages == 1
    for part in (
        "more items",
        "Leave all work on them to licensed people",
        "Assumed:",
        "What happens next",
        "0147-FL-1",
    ):
        assert part in text
    assert "not a guarantee" in text


@pytest.mark.parametrize("kind", KINDS)
def test_an_empty_report_is_one_page_and_says_what_is_missing(kind: str) -> None:
    study = hand_made.result(kind)
    study = replace(
        study,
        loads=replace(study.loads, appliances=(), use_kwh_by_month=(0.0,) * 12, use_kwh_year=0.0),
        ride_through=None,
        money=None,
        sun_path=replace(study.sun_path, silhouettes=()),
        request=replace(study.request, loan=None),
    )
    facts = facts_of(study, price_usd=None, recommendation={}, recommended_kind="")
    text = text_of(first_look.pages(facts, False))
    assert "Nothing is on the list yet" in text
    assert "not known yet" in text
    assert "to follow" in text


def test_text_typed_by_people_can_not_become_markup() -> None:
    facts = facts_of(hand_made.result("hybrid"))
    facts["customer"]["name"] = "<b>Bobby</b> & <script>alert(1)</script>"
    assert "<b>Bobby</b> & <script>alert(1)</script>" in text_of(first_look.pages(facts, False))
