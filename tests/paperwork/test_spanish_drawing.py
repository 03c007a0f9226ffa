"""The as-built drawing in Spanish: no English left on it, nothing overlaps, and no figure lost on the way."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from functools import cache
from typing import Any

import pytest

from paperwork.content.single_line import one_line_of, single_line
from paperwork.draw.one_line import one_line_drawing
from paperwork.draw.one_line_sheet import Label, OneLine
from paperwork.papers import handover
from paperwork.spanish import spanish_change
from paperwork.spanish_drawing import HEADINGS, plan_in_spanish, said, schedules_in_spanish
from sizing.study import request as q
from sizing.study.run import run_study
from tests.paperwork.golden_designs import COUPLED, KINDS, packet_facts, request
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.test_one_line_geometry import overlaps

ALL = [*KINDS, *COUPLED]
ENGLISH = re.compile(
    r"\b(the|of|and|at|least|most|each|with|by|on|in|to|for|from|ahead|fed|main|breaker|busbar|feeder|disconnect|carries|"
    r"battery|inverter|service|usable|listed|existing|verify|array|modules|passes|input|inputs|spaces|free|wires)\b",
    re.IGNORECASE,
)
SAME_IN_BOTH = re.compile(r"National Electrical Code|UL 9540")
FIGURE = re.compile(r"\d[\d.,/]*")


def facts(kind: str) -> dict[str, Any]:
    return packet_facts(kind, "electrical_packet", "0147-EP-1")


def labels(plan: OneLine) -> list[Label]:
    return [label for field in fields(plan) if isinstance(label := getattr(plan, field.name), Label)]


def names_of(facts: dict[str, Any]) -> set[str]:
    """What stays as the office or a maker wrote it."""
    asked = facts["study"]["request"]
    found = {asked[key]["name"] for key in ("module", "inverter", "battery", "generator") if asked.get(key)}
    return found | {facts["utility"]} | {plane["name"] for plane in asked["planes"]}


def english_in(texts: list[str], names: set[str]) -> list[str]:
    left = []
    for text in texts:
        plain = text
        for name in names:
            plain = plain.replace(name, "")
        if ENGLISH.search(SAME_IN_BOTH.sub("", plain)):
            left.append(text)
    return left


@pytest.mark.parametrize("kind", ALL)
def test_no_label_of_the_diagram_stays_english(kind: str) -> None:
    given = facts(kind)
    plan = plan_in_spanish(one_line_of(given), "Diagrama")
    texts = [text for label in labels(plan) for text in (label.title, *label.lines)]
    assert english_in([*texts, *(row.note for row in plan.rows), plan.rapid_shutdown], names_of(given)) == []
    assert plan.shutdown_title.startswith("Apagado rápido")


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_rapid_shutdown_of_a_ground_mount_is_told_in_spanish(edition: str) -> None:
    from sizing.electrical.shutdown import rapid_shutdown

    english = rapid_shutdown(edition, on_building=False)  # type: ignore[arg-type]
    spanish = said(english)
    assert english_in([spanish], set()) == []
    assert re.findall(r"690\.[\d().A-Z]+", spanish) == re.findall(r"690\.[\d().A-Z]+", english)


@pytest.mark.parametrize("kind", ALL)
def test_every_figure_of_a_label_is_on_the_spanish_one(kind: str) -> None:
    english = one_line_of(facts(kind))
    for before, after in zip(labels(english), labels(plan_in_spanish(english, "")), strict=True):
        for one, other in zip(before.lines, after.lines, strict=True):
            assert sorted(FIGURE.findall(one)) == sorted(FIGURE.findall(other)), (one, other)


@pytest.mark.parametrize("kind", ALL)
def test_nothing_overlaps_in_spanish(kind: str) -> None:
    assert overlaps(one_line_drawing(plan_in_spanish(one_line_of(facts(kind)), ""))) == []


@pytest.mark.parametrize("kind", ALL)
def test_schedules_and_notes_are_spanish_and_keep_their_figures(kind: str) -> None:
    given = facts(kind)
    before = single_line(given)
    after = schedules_in_spanish(before)
    names = names_of(given)
    for key, columns in (
        ("conductors", ("label", "run", "device")),
        ("equipment", ("device", "name", "ratings")),
        ("checks", ("label", "value", "limit", "word", "source")),
    ):
        for one, other in zip(before[key], after[key], strict=True):
            assert english_in([other[column] for column in columns], names) == []
            for column in columns[1:]:
                assert sorted(FIGURE.findall(one[column])) == sorted(FIGURE.findall(other[column]))
    assert english_in(after["notes"], names) == []
    assert [line["licence"] for line in after["sign"]] == [line["licence"] for line in before["sign"]]
    assert english_in(list(HEADINGS.values()), set()) == []


@cache
def other_facts(case: str) -> dict[str, Any]:
    """What the golden designs don't have: joined strings, two inverters ahead of the main breaker, a guarded garage, a
    place without published temperatures."""
    asked = request("ac_coupled" if case == "coupled" else "hybrid")
    assert asked.battery is not None
    if case == "joined":
        strings = (q.StringGroup("South roof", 7, 3, 1),)
        inverter = replace(asked.inverter, max_input_current_a=60.0, max_short_circuit_a=60.0, strings_per_mppt=1)
        planes = (replace(asked.planes[0], modules=21),)
        return facts_of(
            run_study(replace(asked, planes=planes, strings=strings, inverter=inverter, climate=q.Climate()))
        )
    return facts_of(
        run_study(
            replace(
                asked,
                inverter_count=1 if case == "coupled" else 2,
                battery=replace(
                    asked.battery, units=2, location="attached_garage", unit_gap_m=1.0, vehicle_guarded=True
                ),
                service=q.Service(connection="supply_side"),
            )
        )
    )


@pytest.mark.parametrize("case", ["joined", "two", "coupled"])
def test_rarer_designs_leave_no_english_and_lose_no_figure_either(case: str) -> None:
    given = other_facts(case)
    before = single_line(given)
    after = schedules_in_spanish(before)
    for key, columns in (("conductors", ("label", "run", "device")), ("checks", ("label", "value", "limit", "source"))):
        for one, other in zip(before[key], after[key], strict=True):
            assert english_in([other[column] for column in columns], names_of(given)) == []
            for column in columns:
                assert sorted(FIGURE.findall(one[column])) == sorted(FIGURE.findall(other[column]))
    assert english_in(after["notes"], names_of(given)) == []
    plan = plan_in_spanish(one_line_of(given), "Diagrama")
    assert english_in([text for label in labels(plan) for text in label.lines], names_of(given)) == []
    if case == "joined":
        assert any("fusibles de" in row["value"] for row in after["checks"])
        assert any("estimación" in note for note in after["notes"])


def test_what_no_word_knows_stays_as_it_was() -> None:
    assert said("Tern 400") == "Tern 400"
    assert said("carries Refrigerator and Well pump, 1 hp, 230 V and 3 more loads") == (
        "lleva Refrigerador y Bomba de pozo, 1 hp, 230 V y 3 más"
    )


def test_each_kind_of_difference_has_its_spanish_name() -> None:
    for label, _ in handover.SHOWN:
        line = spanish_change(f"{label}: 30 A (was 25 A).")
        assert line.endswith("(antes 25 A).") and not line.startswith(f"{label}:"), label
