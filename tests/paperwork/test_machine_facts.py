"""What rides along with a packet: its facts as data, and the QR code to its job. Read back by pikepdf."""

from __future__ import annotations

import io
import json
from typing import Any

import pikepdf
import pytest

from paperwork.draw.qr import QUIET, matrix, qr_drawing
from paperwork.issue import issue_paper
from projects.models import OfficeProfile, Person
from tests import factories
from tests.paperwork.test_packet import ready_job

ADDRESS = "https://book.longleaf-shore.example"


def attached(content: bytes) -> dict[str, Any]:
    with pikepdf.open(io.BytesIO(content)) as pdf:
        assert list(pdf.attachments) == ["packet.json"]
        spec = pdf.attachments["packet.json"]
        assert spec.description.endswith("its facts as data")
        assert spec.get_file().mime_type == "application/json"
        return json.loads(spec.get_file().read_bytes())


@pytest.mark.django_db
@pytest.mark.parametrize("kind", ["building_packet", "electrical_packet", "interconnection"])
def test_a_packet_carries_its_facts_as_data(firm: OfficeProfile, office: Person, kind: str) -> None:
    job = ready_job()
    issued = issue_paper(job=job, kind=kind, actor=office)
    data = attached(bytes(issued.content))
    study = issued.facts["study"]
    assert data["format"] == "rafterbook.packet.1" and data["paper"]["number"] == issued.number
    assert data["electrical"] == study["electrical"]
    assert data["system"]["module"] == study["request"]["module"]
    assert "not certified" in data["standing"]
    if kind == "building_packet":
        assert data["structure"]["planes"] == issued.facts["structure"]["planes"]
        assert data["roof_layout"] == issued.facts["roof_layout"]


@pytest.mark.django_db
def test_the_handover_packet_says_its_warranties_as_data(firm: OfficeProfile, office: Person) -> None:
    issued = issue_paper(job=factories.job_at("in_service", "hybrid"), kind="handover", actor=office)
    data = attached(bytes(issued.content))
    assert data["warranties"]["rows"] and data["permission"]["granted_on"]


@pytest.mark.django_db
def test_nothing_private_rides_along(firm: OfficeProfile, office: Person) -> None:
    """Bills, loan and the household's answers are not on the pages of a packet, so not in its data either."""
    job = ready_job()
    text = json.dumps(attached(bytes(issue_paper(job=job, kind="building_packet", actor=office).content)))
    assert job.customer.email and job.customer.phone
    for part in ('"loan"', '"tariff"', '"usage"', '"appliances"', job.customer.email, job.customer.phone):
        assert part not in text, part


@pytest.mark.django_db
def test_the_code_leads_to_the_job_where_the_address_is_known(
    firm: OfficeProfile, office: Person, settings: Any
) -> None:
    job = ready_job()
    settings.OFFICE_ADDRESS = ""
    without = issue_paper(job=job, kind="electrical_packet", actor=office)
    assert without.facts["address"] == ""
    settings.OFFICE_ADDRESS = ADDRESS
    issued = issue_paper(job=job, kind="electrical_packet", actor=office)
    assert issued.facts["address"] == f"{ADDRESS}/jobs/{job.number}/"
    with pikepdf.open(io.BytesIO(bytes(issued.content))) as pdf:
        spoken = [str(o["/Alt"]) for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/Alt" in o]
    assert f"QR code: {ADDRESS}/jobs/{job.number}/" in spoken


def test_the_drawing_has_every_dark_module_of_the_code_and_its_quiet_zone() -> None:
    """The runs of the path laid back into a grid give the encoder's own matrix."""
    address = f"{ADDRESS}/jobs/147/"
    wanted = matrix(address)
    size = len(wanted)
    drawn = [[False] * size for _ in range(size)]
    path = next(part for part in qr_drawing(address).parts if part.startswith("<path"))
    for run in path.split('d="')[1].split('"')[0].split("z")[:-1]:
        start, _, rest = run[1:].partition("h")
        x, y = map(int, start.split())
        for step in range(int(rest.split("v")[0])):
            drawn[y][x + step] = True
    assert drawn == wanted
    assert not any(any(row) for row in (*wanted[:QUIET], *wanted[-QUIET:]))
    # The three finder patterns, seven dark modules along each edge.
    assert all(wanted[QUIET][QUIET : QUIET + 7]) and all(wanted[QUIET][-QUIET - 7 : -QUIET])
