"""The structural sheet counts what the study counts, on the rows that the study laid; one layout for all papers."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from paperwork.content.structural import structural
from paperwork.freeze_structure import rows_of, structure_facts
from sizing.study.codec import read, result_to_dict
from sizing.study.example import example_request
from sizing.study.request import Structure
from sizing.study.result import RoofLayout
from sizing.study.run import run_study
from tests.paperwork.study_facts import study_facts

PROFILE = {"name": "Borough 1", "wind_speed_mph": 115, "ground_snow_psf": 10}
WIDE_M, TALL_M, GAP_M = 1.134, 1.722, 0.02


def two_rows_of_eight() -> dict[str, Any]:
    """A study's plain result in which one plane carries two upright rows of eight, laid by hand."""
    facts = study_facts()
    request = facts["study"]["request"]
    module = request["module"] | {"length_m": TALL_M, "width_m": WIDE_M, "weight_kg": 21.0}
    plane = request["planes"][0] | {"name": "South roof", "modules": 16}
    places = [
        {"u_m": 1 + n * (WIDE_M + GAP_M), "v_m": 1 + row * (TALL_M + GAP_M), "width_m": WIDE_M, "height_m": TALL_M}
        for row in range(2)
        for n in range(8)
    ]
    return {
        "request": {**request, "module": module, "planes": [plane], "structure": None},
        "roof": {
            "code": "x",
            "array_share_of_plan": 0.3,
            "ridge_setback_m": 0.457,
            "pathway_m": 0.914,
            "checks": [],
            "planes": [
                {
                    "name": "South roof",
                    "orientation": "portrait",
                    "room_for": 16,
                    "modules": 16,
                    "fits": True,
                    "places": places,
                    "keep_clear": [],
                }
            ],
        },
    }


def on_rafters(inches: float = 24.0, wood: str = "") -> list[dict[str, Any]]:
    return [{"name": "South roof", "on_ground": False, "rafter_spacing_m": inches * 0.0254, "wood": wood}]


def test_loads_and_attachments_worked_by_hand() -> None:
    """At 115 mph 0.00256 x 0.85 x 0.85 x 115^2 = 24.46 psf; 8 modules of 1.134 m with 2 cm between are 9.21 m =
    30.2 ft of rail; at 48 in that is 8 bays and 9 attachments on each of four rails."""
    got = structure_facts(on_rafters(), two_rows_of_eight(), PROFILE)
    assert got["pressure_psf"] == pytest.approx(24.46, abs=0.01)
    plane = got["planes"][0]
    assert plane["rows"] == [8, 8] and plane["rail_ft"][0] == pytest.approx(30.22, abs=0.01)
    assert plane["spacing_in"] == pytest.approx(48) and plane["attachments"] == 36


def test_uplift_that_spacing_does_not_answer_asks_for_more_attachments() -> None:
    """GCp -3, edge 1.5: 0.6 x 24.46 x 3 x 1.5 = 66.0 psf, less 0.6 x 2.70 = 64.4 psf on a row's 168.2 ft2: 10 836 lb.
    A 5/16 in lag, 2.5 in in spruce-pine-fir, carries 1800 x 0.42^1.5 x 0.3125^0.75 x 2.5 x 1.6 = 819 lb: 14 a row by
    strength, fewer than the 18 by spacing, so 602 lb on each. At 195 mph it is 188.2 psf, 31 660 lb a row: 39."""
    got = structure_facts(on_rafters(), two_rows_of_eight(), PROFILE)["planes"][0]
    assert got["allowed_lb"] == pytest.approx(819, abs=1)
    assert got["at"]["-3.0"]["attachments"] == 36 and got["at"]["-3.0"]["each_lb"] == pytest.approx(602, abs=2)
    stormy = structure_facts(on_rafters(), two_rows_of_eight(), PROFILE | {"wind_speed_mph": 195})["planes"][0]
    assert stormy["at"]["-3.0"]["attachments"] == 78


@pytest.mark.parametrize(("inches", "spacing"), [(16.0, 48.0), (24.0, 48.0), (19.2, 38.4), (60.0, 60.0)])
def test_rafters_at_16_inches_take_a_screw_on_every_third_and_far_rafters_on_each(
    inches: float, spacing: float
) -> None:
    got = structure_facts(on_rafters(inches), two_rows_of_eight(), PROFILE)["planes"][0]
    assert got["spacing_in"] == pytest.approx(spacing)


def test_the_wood_that_was_found_carries_more_than_the_weakest() -> None:
    weakest = structure_facts(on_rafters(), two_rows_of_eight(), PROFILE)["planes"][0]
    pine = structure_facts(on_rafters(wood="southern pine"), two_rows_of_eight(), PROFILE)["planes"][0]
    assert weakest["wood"] == "spruce-pine-fir" and pine["allowed_lb"] > weakest["allowed_lb"]


def test_packet_and_study_count_the_same_attachments() -> None:
    """Where the study has a structure sheet of its own, the packet's schedule says its numbers plane by plane."""
    given = Structure(130.0, 10.0, -2.0, 0.6096, "spruce-pine-fir")
    result = run_study(replace(example_request(), structure=given))
    plain = result_to_dict(result)
    assert result.structure is not None and result.structure.planes
    roof = [
        {"name": plane.name, "on_ground": False, "rafter_spacing_m": 0.6096, "wood": ""}
        for plane in result.structure.planes
    ]
    got = structure_facts(roof, plain, PROFILE)
    counted = {plane["name"]: plane["attachments"] for plane in got["planes"]}
    assert counted == {plane.name: plane.attachments for plane in result.structure.planes}
    assert list(got["uplift_psf"]) == ["-2.0"] and got["coefficient_given"]
    layout = read(RoofLayout, plain["roof"])
    rows = {plane.name: [count for count, _ in rows_of(plane)] for plane in layout.planes}
    assert {plane["name"]: plane["rows"] for plane in got["planes"]} == {name: rows[name] for name in counted}


def test_the_sheet_shows_each_coefficient_with_its_own_number() -> None:
    study = two_rows_of_eight()
    facts = study_facts(
        structure=structure_facts(on_rafters(), study, PROFILE),
        profile=PROFILE,
        roof=[{**on_rafters()[0], "covering": "Shingle", "age_years": 7, "tilt_deg": 25.0, "modules": 16}],
    )
    said = structural(facts)
    assert [row["coefficient"] for row in said["uplift"]] == ["−1.0", "−2.0", "−3.0"]
    assert said["planes"][0]["attachments"] == "36" and "engineer's answer" in said["zone"]


def test_each_attachment_that_is_counted_lies_on_a_rail_no_farther_from_the_next_than_allowed() -> None:
    result = two_rows_of_eight()
    plane = structure_facts(on_rafters(), result, PROFILE)["planes"][0]
    spots = [tuple(spot) for spot in plane["spots"]]
    assert len(set(spots)) == len(spots) == plane["attachments"]
    rails: dict[float, list[float]] = {}
    for u, v in spots:
        rails.setdefault(round(v, 3), []).append(u)
    bottoms = (1.0, 1.0 + TALL_M + GAP_M)
    assert sorted(rails) == [round(v + share * TALL_M, 3) for v in bottoms for share in (0.25, 0.75)]
    for along in rails.values():
        assert min(along) == pytest.approx(1.0)
        assert max(along) == pytest.approx(1.0 + 8 * WIDE_M + 7 * GAP_M)
        apart = [b - a for a, b in pairwise(sorted(along))]
        assert max(apart) <= plane["spacing_in"] * 0.0254 + 1e-9
