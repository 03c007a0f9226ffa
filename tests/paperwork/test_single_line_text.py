"""The single-line summary carries the study's figures, circuit by circuit, and claims no certificate."""

from __future__ import annotations

from dataclasses import replace

import pytest

from paperwork.content.single_line import notes, one_line_of
from paperwork.content.single_line_tables import conductor_rows, equipment_rows
from paperwork.draw.one_line import one_line_drawing
from paperwork.draw.svg import INK
from paperwork.papers import single_line
from paperwork.words import short
from projects.models import Job
from sizing.study import request as q
from sizing.study.example import example_request
from sizing.study.run import run_study
from tests.paperwork import hand_made
from tests.paperwork.golden_designs import request as golden_request
from tests.paperwork.golden_designs import result
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import reader, text_of

KINDS = ("grid_tied", "hybrid", "off_grid")


@pytest.mark.parametrize("size", ["letter", "a4"])
@pytest.mark.parametrize("kind", KINDS)
def test_it_is_landscape_with_the_title_block_on_every_sheet(kind: str, size: str) -> None:
    pdf = single_line.pages(facts_of(hand_made.result(kind), number="0147-SL-1"), False, size)
    pages = reader(pdf.content).pages
    assert len(pages) == pdf.pages == 2
    for i, page in enumerate(pages):
        assert float(page.mediabox.width) > float(page.mediabox.height)
        text = " ".join(page.extract_text().split())
        for part in (
            "Longleaf & Shore Backup Power",
            "0147-SL-1",
            "41 Cormorant Lane",
            f"{i + 1} of 2",
            "not certified",
            "24 Nov 2026",
        ):
            assert part in text, part


@pytest.mark.parametrize("kind", KINDS)
def test_every_circuit_of_the_study_is_in_the_schedule(kind: str) -> None:
    result = hand_made.result(kind)
    text = text_of(single_line.pages(facts_of(result), False))
    for circuit in result.electrical.circuits:
        assert circuit.label in text
        assert f"{circuit.conductors_in_conduit - 1} × {circuit.conductor}" in text
        assert f"{short(circuit.required_ampacity_a)} A" in text
        assert circuit.conduit in text


def test_every_check_is_listed_with_value_limit_result_and_rule() -> None:
    result = hand_made.result("hybrid")
    text = text_of(single_line.pages(facts_of(result), False))
    for check in result.electrical.checks:
        for part in (check.label, check.value, check.limit, check.source):
            assert part in text
    assert text.count("passes") >= len(result.electrical.checks)


def test_a_study_of_the_examples_request_is_drawn_whole() -> None:
    """End to end on a real study: the request that the study itself carries as its example."""
    result = run_study(example_request())
    facts = facts_of(result)
    text = text_of(single_line.pages(facts, False))
    for row in conductor_rows(facts["study"]):
        assert row["conductor"] in text
    for row in equipment_rows(facts):
        assert row["name"] in text
    for check in result.electrical.checks:
        assert check.label in text
    assert str(round(result.electrical.voc_cold_v)) in text


def test_a_ratings_word_is_at_least_where_the_study_gives_only_the_least() -> None:
    plan = one_line_of(facts_of(hand_made.result("hybrid")))
    assert plan.dc_disconnect.lines[0] == "at least 600 V DC, 21.4 A"
    assert plan.ac_disconnect is not None and plan.ac_disconnect.lines[1] == "at least 40 A, 240 V"
    assert plan.panel_breaker == "PV 40 A" and plan.main_breaker == "200 A"


def test_a_supply_side_connection_has_a_fused_disconnect_and_no_breaker_in_the_panel() -> None:
    asked = hand_made.request("grid_tied", service=q.Service(connection="supply_side"))
    plan = one_line_of(facts_of(hand_made.result("grid_tied", request=asked)))
    assert plan.supply_side and plan.ac_disconnect_fused and plan.panel_breaker == ""
    assert "PV joined ahead of the main breaker" in plan.main_panel.lines
    # Studied whole: a service's disconnect is rated for 60 A at least (NEC 230.79(D), from memory), fused at 40 A.
    studied = run_study(replace(golden_request("hybrid"), service=q.Service(connection="supply_side")))
    plan = one_line_of(facts_of(studied))
    assert plan.ac_disconnect is not None
    assert plan.ac_disconnect.lines[1] == "at least 60 A, fuses 40 A, 240 V"


def test_strings_of_different_inputs_are_drawn_side_by_side_and_counted_not_joined() -> None:
    facts = facts_of(hand_made.result("hybrid"))
    assert one_line_of(facts).source_circuits == 2
    drawing = one_line_drawing(one_line_of(facts))
    assert any(part.startswith("<text") and part.endswith(">2</text>") for part in drawing.parts)
    dots = [part for part in drawing.parts if part.startswith("<circle") and f'r="1.9" fill="{INK}"' in part]
    assert dots == []
    one = hand_made.request("hybrid", strings=(q.StringGroup("South roof", 11, 1, 1),))
    single = one_line_drawing(one_line_of(facts_of(hand_made.result("hybrid", request=one))))
    assert not any(part.startswith("<text") and part.endswith(">1</text>") for part in single.parts)


def test_two_inverters_have_a_breaker_and_a_disconnect_each() -> None:
    plan = one_line_of(
        facts_of(hand_made.result("grid_tied", request=hand_made.request("grid_tied", inverter_count=2)))
    )
    assert plan.panel_breaker == "PV 2 × 40 A"
    assert plan.ac_disconnect is not None and plan.ac_disconnect.lines[1].endswith("240 V, one an inverter")
    assert "PV breaker 2 × 40 A, at the far end of the busbar" in plan.main_panel.lines


def test_a_battery_with_its_own_inverter_is_in_every_schedule_as_it_is_drawn() -> None:
    facts = facts_of(result("ac_coupled"))
    rows = {row["device"]: row["ratings"] for row in equipment_rows(facts)}
    assert "by its own inverter on 240 V AC" in rows["Battery"] and "on its own" not in rows["PV inverter"]
    assert rows["Critical-loads panel"] == "busbar at least 125 A, feeder 70 A"
    assert rows["Backup interface"] == "at least 70 A"
    runs = [row["run"] for row in conductor_rows(facts["study"])]
    panel = "Critical-loads panel to main service panel, through backup interface and utility disconnect"
    assert runs[:3] == [
        "Array to DC disconnect",
        "PV inverter to critical-loads panel",
        "Battery to critical-loads panel",
    ]
    assert runs[3:] == [panel]
    said = " ".join(notes(facts))
    assert "the PV inverter follows it" in said and "bonded at the service alone" in said
    text = text_of(single_line.pages(facts, False))
    for check in facts["study"]["electrical"]["checks"]:
        assert check["label"] in text and check["value"] in text


def test_strings_joined_before_the_inverter_show_their_combiner() -> None:
    asked = hand_made.request("grid_tied", strings=(q.StringGroup("South roof", 8, 3, 1),))
    asked = replace(asked, inverter=replace(asked.inverter, strings_per_mppt=1))
    facts = facts_of(hand_made.result("grid_tied", request=asked))
    assert one_line_of(facts).combiner is not None
    assert "Array to combiner" in [row["run"] for row in conductor_rows(facts["study"])]


def test_a_grid_tied_drawing_has_no_backup_even_where_the_inverter_could() -> None:
    result = hand_made.result("grid_tied")
    hybrid = hand_made.result("hybrid")
    feeder = next(c for c in hybrid.electrical.circuits if c.key == "backup_feeder")
    electrical = replace(result.electrical, circuits=(*result.electrical.circuits, feeder))
    facts = facts_of(replace(result, electrical=electrical))
    assert one_line_of(facts).critical_panel is None
    assert "backup_feeder" not in one_line_of(facts).tags


def test_notes_defer_to_the_jurisdiction_and_warn_of_live_parts() -> None:
    said = " ".join(notes(facts_of(hand_made.result("hybrid"))))
    for part in ("authority having jurisdiction", "permission to operate", "live whenever there is light"):
        assert part in said
    off_grid = " ".join(notes(facts_of(hand_made.result("off_grid"))))
    assert "permission to operate" not in off_grid and "interlocked" in off_grid


def test_it_certifies_nothing() -> None:
    text = text_of(single_line.pages(facts_of(hand_made.result("hybrid")), False)).lower()
    assert "for review by the licensed electrician; not certified" in text
    assert text.replace("not certified", "").count("certif") == 0
    assert "signature" in text and "joss venn, licence nc el-22954" in text


@pytest.mark.django_db
@pytest.mark.parametrize("kind", KINDS)
def test_a_real_job_is_drawn(firm, kind: str) -> None:
    from paperwork.issue import issue_paper
    from tests import factories

    job: Job = factories.job_at("permits", kind)
    paper = issue_paper(job=job, kind="single_line", actor=factories.office_person())
    text = text_of(bytes(paper.content))
    design = job.designs.order_by("-revision").first()
    assert design is not None
    for part in (design.module.name, design.inverter.name, job.customer.name, job.label):
        assert part in text
    if design.battery:
        assert design.battery.name in text


def test_a_drawing_owns_up_to_numbers_from_memory_and_leaves_money_and_weather_to_other_papers() -> None:
    warnings = (
        "The weather is that of Greensboro, 318 km from the site.",
        "In the first year the saving (116 USD a month) does not cover the loan payment (197 USD a month).",
        "No published record low for this place: -9.4 C is an estimate from the weather year.",
    )
    said = notes(facts_of(hand_made.result("hybrid", warnings=warnings)))
    assert any("written from memory of the codes" in note for note in said)
    assert any("No published record low" in note for note in said)
    assert not any("loan" in note or "weather is that of" in note for note in said)
