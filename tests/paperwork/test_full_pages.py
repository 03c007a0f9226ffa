"""No sheet with a few lines left over, for a design of each kind on both sizes of paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from typing import Any

import pytest

from paperwork.content.handover import as_built
from paperwork.papers import packet, single_line
from paperwork.pdf import About, lay_out
from sizing.study import request as q
from sizing.study.run import run_study
from tests.paperwork.golden_designs import COUPLED, KINDS, packet_facts, request
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.reading import letterings, reader

SIZES = ("letter", "a4")
LEAST_LETTERING_PT = 7.0


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("kind", [*KINDS, *COUPLED])
def test_diagram_and_schedules_take_two_sheets(kind: str, size: str) -> None:
    facts = packet_facts(kind, "electrical_packet", "0147-EP-1")
    read = reader(single_line.pages(facts, False, size).content)
    assert len(read.pages) == 2
    second = read.pages[1].extract_text()
    # Every check of the study is on the second: the first holds the diagram and its conductors.
    for check in facts["study"]["electrical"]["checks"]:
        assert check["label"].split()[0] in second


@cache
def fullest() -> dict[str, Any]:
    """A battery with its own inverter, and all that lengthens the schedules: a generator, strings on every input of
    two planes, two units in a garage where everything was measured."""
    asked = request("ac_coupled")
    assert asked.battery is not None
    names = ("Main roof above the living room", "Roof of the garage")
    strings = tuple(q.StringGroup(name, 6, 1, i + 1) for i, name in enumerate((*names, *names)))
    return facts_of(
        run_study(
            replace(
                asked,
                planes=tuple(replace(asked.planes[0], name=name, modules=12) for name in names),
                strings=strings,
                inverter=replace(asked.inverter, mppt_inputs=4, strings_per_mppt=1),
                battery=replace(
                    asked.battery, units=2, location="attached_garage", unit_gap_m=1.0, vehicle_guarded=True
                ),
                generator=q.Generator("Otter 9 kW", 9000),
                service=q.Service(rating_a=400.0, busbar_a=400.0, main_breaker_a=200.0, free_breaker_spaces=4),
            )
        ),
        utility="The United Rural Electric Membership Co-op",
    )


LONGEST = [(kind, of, size) for kind in ("hybrid", "ac_coupled") for of in ("", "en", "es") for size in SIZES]
LONGEST += [("fullest", "", "letter"), ("fullest", "en", "letter")]


@pytest.mark.parametrize(("kind", "language", "size"), LONGEST)
def test_the_longest_schedules_take_two_sheets_in_letters_of_seven_points(kind: str, language: str, size: str) -> None:
    """``language``: of the as-built drawing; empty: the drawing for plan review."""
    facts = fullest() if kind == "fullest" else packet_facts(kind, "electrical_packet", "0147-EP-1")
    drawing = as_built({**facts, "customer": facts["customer"] | {"language": language or "en"}}, False).context
    if not language:
        pdf = single_line.pages(facts, False, size)
    else:
        about = About("As built", "", "", datetime(2026, 11, 24, tzinfo=UTC), language)
        pdf = lay_out("single_line", drawing, about, landscape=True, paper_size=size)
    assert pdf.pages == 2
    for page in letterings(pdf.content):
        assert min(page) >= LEAST_LETTERING_PT - 0.01, page
    second = " ".join(reader(pdf.content).pages[1].extract_text().split())
    for row in drawing["checks"]:
        assert row["label"] in second and row["value"] in second


@pytest.mark.parametrize("kind", ["hybrid", "ac_coupled"])
def test_a_cover_without_the_jurisdictions_own_list_is_one_sheet(kind: str) -> None:
    read = reader(packet.pages(packet_facts(kind, "permit_packet", "0147-PP-1"), False, "letter").content)
    first, second = (page.extract_text() for page in read.pages[:2])
    assert "In this packet" in first and "Make and model" in first
    assert "Roof plan" in second
