"""The crew's sheet: parts and expected readings from the design, room to write, differences from what was approved."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from paperwork.content.crew_sheet import (
    built_lines,
    cautions,
    limits,
    measured_rows,
    parts_rows,
    tools,
    torque_places,
    voltage_rows,
)
from paperwork.content.inspection_day import inspector_list
from paperwork.issue import issue_paper, paper_problems
from projects.actions import design
from projects.actions import permits as permit_actions
from projects.models import OfficeProfile, Person
from tests import factories
from tests.paperwork.golden_designs import packet_facts
from tests.paperwork.reading import text_of
from tests.paperwork.study_facts import study_facts
from tests.paperwork.test_packet import ready_job


@pytest.mark.django_db
@pytest.mark.parametrize("kind", ["grid_tied", "hybrid", "off_grid"])
def test_it_lists_parts_circuits_and_tests_of_the_design(firm: OfficeProfile, office: Person, kind: str) -> None:
    job = factories.job_at("installation", kind)
    issued = issue_paper(job=job, kind="crew_sheet", actor=office)
    text = text_of(bytes(issued.content))
    drawn = job.designs.get()
    for part in (drawn.module.name, drawn.inverter.name, "PV source circuits", "Torque", "Inspection day", "signature"):
        assert part in text, part
    for circuit in issued.facts["study"]["electrical"]["circuits"]:
        if kind != "grid_tied" or circuit["key"] != "backup_feeder":
            assert circuit["label"] in text and circuit["conductor"] in text
    assert ("insulated tools and face shield" in text) == (kind != "grid_tied")
    assert ("permission to operate" in text) == (kind != "off_grid")
    assert "written from memory: the makers' instructions" in text and ("2 s (parting" in text) == (kind != "off_grid")
    assert f"building-{job.number}" in text and "This sheet shows the design as it was submitted." in text


def test_a_ground_mount_has_no_roof_to_fall_from_and_no_rafters() -> None:
    facts = study_facts(rough_in=False, fire_review=False, notice_days=2)

    def told() -> str:
        return " ".join([*cautions(facts), *tools(facts), *inspector_list(facts)])

    words = ("Roof: fall protection", "harness", "rafters", "ladder")
    assert all(word in told() for word in words)
    for plane in facts["study"]["request"]["planes"]:
        plane["mounting"] = "ground"
    assert not any(word in told() for word in words)
    assert "catches wind" in told() and "foundation drawing" in told()
    # Nor has it rapid shutdown to look for, where the study gave it no label.
    tests = [row["what"] for row in measured_rows(facts)]
    assert any("Rapid shutdown" in what for what in tests) and "rapid shutdown" in told() and "30 s" in limits(facts)
    facts["labels"] = [label for label in facts["labels"] if label["key"] != "rapid_shutdown"]
    tests = [row["what"] for row in measured_rows(facts)]
    assert not any("Rapid shutdown" in what for what in tests) and "rapid shutdown" not in told()
    assert "30 s" not in limits(facts)


def test_expected_voltages_worked_by_hand() -> None:
    """9 modules of 37.2 V: 334.8 V at 25 C; with -0.26 %/C 9 x 37.2 x 1.065 = 356.6 at 0 C, x 0.935 = 313.0 at 50 C."""
    rows = voltage_rows(study_facts())
    assert [row["modules"] for row in rows] == [9, 9, 8]
    assert rows[0]["expected"] == ["357 V", "335 V", "313 V"]


def test_parts_count_modules_and_every_circuit() -> None:
    rows = parts_rows(study_facts(structure=None))
    said = {row["what"]: row for row in rows}
    assert said["PV module"]["number"] == "26" and said["Battery"]["number"] == "2"
    assert said["Labels and placards"]["number"] == str(len(study_facts()["labels"]))
    assert said["Inverter output, conductors"]["which"].startswith("3 × 8 AWG Cu")
    # 18 m of source circuit and a tenth: 18 / 0.3048 x 1.1 = 64.96
    assert said["PV source circuits, conductors"]["number"] == "65 ft run"


@pytest.mark.django_db
def test_a_design_that_left_the_submitted_plans_says_how(firm: OfficeProfile, office: Person) -> None:
    job = ready_job("grid_tied")
    permit_actions.submit_permit(
        job=job,
        kind="electrical",
        actor=office,
        on=timezone.localdate(),
        how="online",
        licence=factories.licence("electrician"),
    )
    design.save_design(
        job=job,
        actor=office,
        plane_modules=[{"plane": "South roof", "modules": 14}],
        **factories.catalogue("grid_tied"),
    )
    design.run_study(job=job, actor=office)
    issued = issue_paper(job=job, kind="crew_sheet", actor=office)
    assert issued.facts["differs"]
    text = text_of(bytes(issued.content))
    assert "This design differs from the plans that were submitted" in text
    assert issued.facts["differs"][0] in text


def test_cautions_come_with_what_is_there() -> None:
    hybrid = " ".join(cautions(study_facts()))
    for part in ("fall protection", "live in any light", "Prove dead", "battery can't be switched off", "generator"):
        assert part in hybrid


def test_off_the_grid_the_panel_and_the_generator_are_tightened_and_tried_too() -> None:
    facts = packet_facts("off_grid", "crew_sheet", "0147-JS-1")
    places = torque_places(facts)
    assert "Generator terminals and disconnect" in places and "Output disconnect and main panel" in places
    tried = {row["what"]: row["expect"] for row in measured_rows(facts)}
    assert tried["Generator: starts, takes load, interlock holds"] == "never beside the inverter on the panel"
    assert "Inverter, battery and generator: model and serial numbers" in built_lines(facts)
    grid_tied = packet_facts("grid_tied", "crew_sheet", "0147-JS-1")
    assert "Inverter: model and serial numbers" in built_lines(grid_tied)
    assert not any("enerator" in place or "Output" in place for place in torque_places(grid_tied))


@pytest.mark.django_db
def test_a_sketch_is_not_built(firm: OfficeProfile, office: Person) -> None:
    job = factories.lead("hybrid")
    assert paper_problems(job=job, kind="crew_sheet")


@pytest.mark.django_db
def test_the_crews_page_leads_to_the_sheet_that_was_issued_last(
    firm: OfficeProfile, office: Person, client: Client
) -> None:
    job = factories.job_at("installation", "hybrid")
    client.force_login(factories.crew_person())
    page = reverse("crew-job", args=[job.number])
    assert reverse("paper-preview", args=[job.number, "crew_sheet"]) in client.get(page).content.decode()
    issued = issue_paper(job=job, kind="crew_sheet", actor=office)
    address = reverse("paper", args=[issued.number])
    assert address in client.get(page).content.decode()
    assert client.get(address).content == bytes(issued.content)
