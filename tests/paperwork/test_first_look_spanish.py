"""The first look in Spanish: no English left of the report's own words, the same figures, one page."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from django.utils.safestring import SafeString

from paperwork.content.first_look import first_look as content
from paperwork.papers import first_look
from paperwork.spanish import AS_WRITTEN, SENTENCES, spanish, spanish_change
from tests.paperwork import hand_made
from tests.paperwork.golden_designs import KINDS, result
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader, text_of
from tests.paperwork.test_first_look_page import LONG_NAME, LONG_WORD, SIZES, extreme

ENGLISH = re.compile(
    r"\b(the|and|of|is|are|with|without|for|you|your|we|not|it|this|that|from|to|in|on|at|by|what|each|month|year|house)\b",
    re.IGNORECASE,
)
SAME_IN_SPANISH = {"no", "a"}


def facts(kind: str, **changes: Any) -> dict[str, Any]:
    found = facts_of(result(kind), **changes)
    found["customer"]["language"] = "es"
    found["jurisdiction"], found["utility"] = "Marrow Bay", "Cormorán Eléctrica"
    return found


def texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [] if isinstance(value, SafeString) else [value]
    if isinstance(value, dict):
        return [text for key, item in value.items() if key not in AS_WRITTEN for text in texts(item)]
    return [text for item in value for text in texts(item)] if isinstance(value, list | tuple) else []


@pytest.mark.parametrize("visited", [True, False])
@pytest.mark.parametrize("kind", KINDS)
def test_no_english_is_left_of_what_the_report_says_itself(kind: str, visited: bool) -> None:
    for bills, price in (("months", "38420.00"), ("year", None), ("", None)):
        shown = content(facts(kind, visited=visited, price_usd=price, answers={"bills": bills}))
        for text in texts(shown):
            words = ENGLISH.findall(text)
            assert not words, f"{text!r}: {words}"


@pytest.mark.parametrize("kind", KINDS)
def test_the_figures_are_those_of_the_english_report(kind: str) -> None:
    def figures(language: str) -> Counter[str]:
        asked = facts(kind)
        asked["customer"]["language"] = language
        shown = content(asked)
        return Counter(re.findall(r"\d[\d,.]*\d|\d", " ".join(texts(shown))))

    assert figures("es") == figures("en")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", [LONG_NAME, LONG_WORD])
def test_the_longest_report_is_one_page_in_spanish_too(kind: str, size: str, name: str) -> None:
    asked = extreme(kind, name)
    asked["customer"]["language"] = "es"
    pdf = first_look.pages(asked, False, size)
    text = text_of(pdf)
    assert pdf.pages == len(reader(pdf.content).pages) == 1
    for part in ("más", "Deje todo trabajo en ellos a personas con licencia", "Supuesto:", "Lo que sigue", "0147-FL-1"):
        assert part in text


def test_the_file_says_its_language_and_its_drawings_are_described_in_it() -> None:
    read = reader(first_look.pages(facts("hybrid"), False).content)
    assert read.trailer["/Root"]["/Lang"] == "es" and "Primer vistazo" in str(read.metadata and read.metadata.title)
    shown = content(facts("hybrid"))
    assert "Gráfico de barras" in shown["months"] and "Tres curvas" in shown["sun_path"]
    assert "De 100 apagones" in shown["outage"]["drawing"] and "Recibo de luz" in shown["money"]["drawing"]


def test_what_the_office_typed_stays_as_it_was_typed() -> None:
    assert spanish("He likes the view. None of our business.") == "He likes the view. None of our business."
    asked = facts("hybrid", recommended_kind="off_grid", kind_reason="the well is shared with the Brandts")
    assert "The well is shared with the Brandts." in content(asked)["recommended"]["why"]
    assert "fuera de la red" in content(asked)["recommended"]["why"]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Array: 8.8 kW (was 6.4 kW).", "Paneles: 8.8 kW (antes 6.4 kW)."),
        ("Bill today: $127 a month (not shown before).", "Recibo hoy: $127 al mes (antes no figuraba)."),
        ("Kind of system: hybrid (was grid-tied).", "Tipo de sistema: híbrido (antes conectado a la red)."),
        ("Something else changed as well.", "Something else changed as well."),
    ],
)
def test_changes_are_said_in_spanish(line: str, said: str) -> None:
    assert spanish_change(line) == said


def test_every_reason_and_meaning_of_a_recommendation_is_known() -> None:
    from projects.route.system_kind import Answers, recommend

    for grid in (True, False):
        for more in (
            {"wants_backup": True},
            {"wants_payback": True, "wants_backup": True},
            {"must_run": ("oxygen",), "owns_home": False, "wants_loan": True, "wants_warranty": True},
            {"outage_days_wanted": 4.0, "diy_comfort": "much"},
            {"distance_to_grid_m": 120.0},
            {"distance_to_grid_m": 2400.0},
        ):
            for reason in recommend(Answers(grid_available=grid, **more)).reasons:  # type: ignore[arg-type]
                assert not ENGLISH.findall(spanish(reason)), reason


def test_every_place_of_the_storage_is_known() -> None:
    from sizing.electrical.storage import PLACE

    for place in PLACE.values():
        for rest in ("", "; the space between the units and to doors and windows is not measured yet"):
            said = spanish(f"The storage stands {place}{rest}.")
            assert said.startswith("La batería está") and not ENGLISH.findall(said), said


def test_every_sentence_has_its_figures_in_both_languages() -> None:
    for english, said in SENTENCES.items():
        if not re.search(r"\b[ap]m\b", english):
            assert sorted(re.findall(r"[\d.]*\d", english)) == sorted(re.findall(r"[\d.]*\d", said)), english


def test_an_empty_report_in_spanish() -> None:
    study = hand_made.result("hybrid")
    study = replace(study, loads=replace(study.loads, appliances=()), ride_through=None, money=None)
    study = replace(study, request=replace(study.request, loan=None))
    asked = facts_of(study, price_usd=None, recommendation={}, recommended_kind="")
    asked["customer"]["language"] = "es"
    text = text_of(first_look.pages(asked, False))
    assert "Todavía no hay nada en la lista." in text and "por definir" in text
