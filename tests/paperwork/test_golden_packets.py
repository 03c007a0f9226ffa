"""The packets of three designs, laid out, opened again and held against the figures of their studies."""

from __future__ import annotations

import io
import json
import re
from functools import cache
from typing import Any

import pikepdf
import pytest

from paperwork.content.calculations import BACKUP
from paperwork.content.packet import WORKING
from paperwork.kinds import KINDS as PAPERS
from paperwork.pdf import Pdf
from tests.paperwork.golden_designs import KINDS, packet_facts, result
from tests.paperwork.reading import reader, text_of
from tests.paperwork.tagged import elements, faults, opened

PACKETS = ("building_packet", "electrical_packet", "permit_packet")
NUMBERS = re.compile(r"[-−]?\d[\d,]*(?:\.\d+)?")
every = pytest.mark.parametrize("kind", KINDS)
each = pytest.mark.parametrize("packet", PACKETS)


@cache
def facts(kind: str, packet: str) -> dict[str, Any]:
    return packet_facts(kind, packet, f"0147-{PAPERS[packet].code}-1")


@cache
def laid_out(kind: str, packet: str) -> Pdf:
    return PAPERS[packet].pages(facts(kind, packet), False)


@cache
def text(kind: str, packet: str) -> str:
    return text_of(laid_out(kind, packet))


@every
@each
def test_the_file_is_one_that_everybody_can_read(kind: str, packet: str) -> None:
    assert faults(laid_out(kind, packet).content, "en") == []


@every
@each
def test_strings_and_currents_are_the_studys(kind: str, packet: str) -> None:
    """In the form of the papers: volts with one decimal at most, amperes as they are."""
    electrical = result(kind).electrical
    if packet != "building_packet":
        assert f"{electrical.voc_cold_v:.1f} V" in text(kind, packet)
        for check in electrical.checks:
            assert check.passes and check.label in text(kind, packet)
    for circuit in electrical.circuits:
        if kind == "grid_tied" and circuit.key == "backup_feeder":
            continue
        assert f"{circuit.conductors_in_conduit - 1} × {circuit.conductor}" in text(kind, packet), circuit.key
        assert f"{circuit.current_a:.1f}".removesuffix(".0") + " A" in text(kind, packet), circuit.key
        if circuit.overcurrent_a is not None:
            assert f"{circuit.overcurrent_a:g} A" in text(kind, packet)


@every
@each
def test_what_the_roof_carries_is_the_studys(kind: str, packet: str) -> None:
    said, frozen = text(kind, packet), facts(kind, packet)
    assert "22 modules" in said and "Tern 400" in said and "8.8 kW DC" in said
    if packet != "electrical_packet":
        for plane in frozen["structure"]["planes"]:
            # Reckoned by the study; the sheet gives it per plane.
            assert str(plane["attachments"]) in said and plane["attachments"] > 0
        assert "Structural letter" in said


@every
@each
def test_every_line_of_working_that_belongs_to_the_packet_is_on_it(kind: str, packet: str) -> None:
    """Label, and near it a number that is the line's result, to 0.1 % (four figures on paper)."""
    said = text(kind, packet)
    lines = [line for line in facts(kind, packet)["working"] if line["key"].split(".")[0] in WORKING[packet]]
    if kind == "grid_tied":  # backs nothing up: what is worked out about that stays in the study
        lines = [line for line in lines if not line["key"].startswith(BACKUP)]
        assert "Running without the grid" not in said and "fails" not in said
    assert len(lines) > 10
    missing = [line["label"] for line in lines if line["label"] not in said]
    assert missing == []
    for line in lines:
        if line["result"] is not None:
            near = [_number(found) for part in said.split(line["label"])[1:] for found in NUMBERS.findall(part[:900])]
            assert any(abs(one - line["result"]) <= max(1e-3 * abs(line["result"]), 5e-5) for one in near), line


def _number(text: str) -> float:
    return float(text.replace(",", "").replace("−", "-"))


@every
@each
def test_every_device_has_its_datasheet_values(kind: str, packet: str) -> None:
    said = text(kind, packet)
    wanted = ["37.1 V", "13.7 A", "31 V", "12.9 A", "−0.27 %/°C", "7600 W", "120 to 500 V"]
    wanted += ["13.5 kWh", "UL 9540", "Marsh 13.5"] if kind != "grid_tied" else []
    wanted += ["Otter 9 kW"] if kind == "off_grid" else []
    folded = said.replace("7,600", "7600")
    assert [part for part in wanted if part not in folded and part.replace("−", "-") not in folded] == []
    assert ("Marsh" in said) == (kind != "grid_tied") and ("Otter" in said) == (kind == "off_grid")


@every
@each
def test_the_facts_that_ride_along_are_the_studys(kind: str, packet: str) -> None:
    with opened(laid_out(kind, packet).content) as pdf:
        data = json.loads(pdf.attachments["packet.json"].get_file().read_bytes())
        spoken = [str(element["/Alt"]) for element in elements(pdf) if "/Alt" in element]
    assert data["electrical"]["voc_cold_v"] == result(kind).electrical.voc_cold_v
    assert data["system"]["battery"] is None if kind == "grid_tied" else data["system"]["battery"]["units"] == 2
    assert "QR code: https://book.longleaf-shore.example/jobs/147/" in spoken


@every
@each
def test_pages_are_upright_or_lying_letter_sheets_with_running_numbers(kind: str, packet: str) -> None:
    read = reader(laid_out(kind, packet).content)
    assert {tuple(sorted((round(float(p.mediabox.width)), round(float(p.mediabox.height))))) for p in read.pages} == {
        (612, 792)
    }
    for at, page in enumerate(read.pages, start=1):
        assert f"{facts(kind, packet)['number']}, page {at}" in " ".join(page.extract_text().split())


def _spoilt(**how: bool) -> bytes:
    """A good packet with one thing taken away."""
    with opened(laid_out("grid_tied", "building_packet").content) as pdf:
        if how.get("language"):
            del pdf.Root.Lang
        if how.get("mark"):
            del pdf.Root.MarkInfo
        if how.get("spoken"):
            figure = next(element for element in elements(pdf) if element.S == "/Figure")
            figure.Alt = pikepdf.String("")
        if how.get("headings"):
            next(element for element in elements(pdf) if element.S == "/H1").S = pikepdf.Name.H4
        if how.get("tags"):
            page = pdf.pages[0]
            kept = [
                (operands, operator)
                for operands, operator in pikepdf.parse_content_stream(page)
                if str(operator) not in ("BDC", "BMC", "EMC")
            ]
            page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(kept))
        if how.get("letters"):
            font = next(o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/ToUnicode" in o)
            del font.ToUnicode
        if how.get("fonts"):
            for o in pdf.objects:
                if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/FontDescriptor":
                    for key in ("/FontFile", "/FontFile2", "/FontFile3"):
                        if key in o:
                            del o[key]
        out = io.BytesIO()
        pdf.save(out)
        return out.getvalue()


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("language", "7.2"),
        ("mark", "7.1"),
        ("spoken", "7.3"),
        ("headings", "7.4.2"),
        ("tags", "7.1: page 1 shows something"),
        ("letters", "7.21.7"),
        ("fonts", "7.21.4"),
    ],
)
def test_the_check_sees_what_is_taken_away(what: str, said: str) -> None:
    assert any(fault.startswith(said) for fault in faults(_spoilt(**{what: True}), "en"))
