"""An array on the ground has no eaves, rafters or roof: its papers say so, and give the engineer what to begin with."""

from __future__ import annotations

from typing import Any

import pytest

from paperwork.content.packet import packet_sheets, wanted_rows
from paperwork.content.roof_plan import roof_plan
from paperwork.content.single_line import notes
from paperwork.content.single_line_tables import checks_rows
from paperwork.content.structural import structural
from paperwork.freeze_structure import structure_facts
from paperwork.papers import packet
from paperwork.pdf import Part
from tests.paperwork.golden_designs import PROFILE, packet_facts
from tests.paperwork.reading import reader


def on_the_ground() -> dict[str, Any]:
    """The golden off-grid design with its 22 modules on the ground."""
    facts = packet_facts("off_grid", "building_packet", "0147-BP-1")
    request = facts["study"]["request"]
    planes = [{**plane, "mounting": "ground"} for plane in request["planes"]]
    study = {**facts["study"], "request": {**request, "planes": planes}}
    roof = [{**plane, "on_ground": True, "rafter_spacing_m": None} for plane in facts["roof"]]
    structure = structure_facts(roof, {**study, "roof": facts["roof_layout"]}, PROFILE)
    return {**facts, "study": study, "roof": roof, "structure": structure}


def test_its_plan_is_of_the_array_and_is_found_where_the_counter_asks_for_a_roof_plan() -> None:
    facts = on_the_ground()
    said = roof_plan(facts, "letter")
    assert (said["title"], said["edges"], said["across"]) == ("Array plan", "lower edges", "Width")
    titles = [sheet.bookmark for sheet in packet_sheets(facts, False, "letter")]
    assert titles[0] == "Array plan"
    wanted = {"kind": "building_packet", "wanted": [{"what": "Plot plan", "part": "roof plan"}]}
    assert wanted_rows(wanted, [Part("Array plan", 2, 1)]) == [{"what": "Plot plan", "where": "page 2, array plan"}]
    assert roof_plan(packet_facts("off_grid", "building_packet", "1"), "letter")["title"] == "Roof plan"


def test_the_engineer_gets_wind_snow_weight_and_area() -> None:
    """By hand: 22 × 1.72 × 1.13 m = 42.759 m² = 460.3 ft²; weights by the module's own datasheet."""
    facts = on_the_ground()
    said = structural(facts)
    values = {what: value.replace("\u00a0", " ") for what, value, _ in said["loads"]}
    assert values["Basic wind speed"] == "140 mph" and values["Ground snow"] == "5 psf"
    assert values["Module area, South roof"] == "460 ft²"
    weight_kg = facts["study"]["request"]["module"]["weight_kg"]
    assert values["Modules, South roof"] == f"{22 * weight_kg / 0.45359237:,.0f} lb"
    assert said["subtitle"] == "Loads of the ground mount" and "rafter" not in said["review"].lower()


def test_its_checks_and_notes_speak_of_no_roof_and_no_utility() -> None:
    study = on_the_ground()["study"]
    assert next(row["limit"] for row in checks_rows(study) if "in a string" in row["label"]) == "22 on the ground"
    said = " ".join(notes(on_the_ground()))
    assert "never feeds the panel beside the inverter" in said and "utility" not in said


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_a_packet_of_it_has_its_cover_on_one_sheet(size: str) -> None:
    attach = ("Foundation of the ground mount", "Makers' datasheets", "Racking maker's table", "Insurance")
    facts = on_the_ground() | {"attach": [{"what": what, "state": "to be attached"} for what in attach]}
    pages = [page.extract_text() for page in reader(packet.pages(facts, False, size).content).pages]
    assert "In this packet" in pages[0] and "Make and model" in pages[0]
    assert "Array plan" in pages[1] and "Roof plan" not in pages[1]
