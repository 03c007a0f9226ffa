"""No design that the search allows breaks its single-line diagram.

Allowed means what the search means by it: none of its checks of strings, inputs, fuses, circuits, point of connection
and storage fails. Circuits, strings and ratings in the drawing are the electrical study's own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any

from paperwork.content.single_line import one_line_of
from paperwork.content.single_line_tables import letters_of
from paperwork.draw.one_line import one_line_drawing
from sizing.electrical.study import study_electrical
from sizing.search.wiring import array_failures, supply_failures
from sizing.study import request as q
from tests.paperwork import hand_made
from tests.paperwork.hand_facts import facts_of
from tests.paperwork.test_one_line_geometry import drawn, overlaps, wanted

ALLOWED = 360
LOW_C, HIGH_C = -11.0, 34.0
KINDS = ("grid_tied", "hybrid", "off_grid")
NAMES = ("Heron 7600", "Osprey Ridge Extended Temperature Dual-Voltage Hybrid Series 12 K", "X", "W" * 60)
PLANES = ("South roof", "West dormer above the garage", "M" * 40, "Ground mount")


def proposed(random: Random) -> q.StudyRequest:
    kind = random.choice(KINDS)
    base = hand_made.request(kind)
    power_w = random.choice([3800.0, 5000.0, 7600.0, 9600.0, 11400.0])
    coupling = random.choice(["dc", "dc", "ac"])
    inverter = replace(
        hand_made.INVERTER,
        name=random.choice(NAMES),
        ac_power_w=power_w,
        mppt_inputs=random.randint(1, 4),
        strings_per_mppt=random.randint(1, 3),
        backup_power_w=random.choice([0.0, power_w]) if kind == "grid_tied" or coupling == "ac" else power_w,
    )
    planes = tuple(
        replace(base.planes[0], name=name, width_m=20.0, slope_length_m=8.0, modules=random.randint(4, 24))
        for name in random.sample(PLANES, random.randint(1, 3))
    )
    battery = replace(
        hand_made.BATTERY,
        name=random.choice(NAMES),
        units=random.randint(1, 5),
        max_discharge_kw=random.choice([3, 5, 7]),
        coupling=coupling,
        most_pv_kw=24.0,
    )
    return replace(
        base,
        planes=planes,
        strings=(),
        inverter=inverter,
        inverter_count=random.randint(1, 2),
        battery=battery if kind != "grid_tied" and random.random() < 0.7 else None,
        generator=q.Generator(random.choice(NAMES), random.uniform(3000, 14000))
        if kind != "grid_tied" and random.random() < 0.5
        else None,
        service=q.Service(
            rating_a=(rating := random.choice([100.0, 200.0, 400.0])),
            busbar_a=random.choice([rating, rating + 25]),
            main_breaker_a=rating,
            free_breaker_spaces=random.choice([2, 6]),
            connection=random.choice(["busbar_opposite_end", "supply_side"]),
        ),
        code_edition=random.choice(["2017", "2020", "2023"]),
    )


def allowed_designs(number: int) -> Iterator[tuple[q.StudyRequest, dict[str, Any]]]:
    random, found, tried = Random(2026), 0, 0
    while found < number:
        tried += 1
        assert tried < 40 * number, f"only {found} of {tried} designs are allowed"
        asked = proposed(random)
        failures, groups = array_failures(asked, LOW_C, HIGH_C)
        if failures or supply_failures(replace(asked, strings=groups), HIGH_C):
            continue
        found += 1
        electrical, _, _ = study_electrical(asked, LOW_C, HIGH_C)
        assert all(check.passes for check in electrical.checks), "the study refuses what the search allows"
        result = hand_made.result(asked.system_type, request=asked, electrical=electrical)
        yield asked, facts_of(result, utility=random.choice(["Sound & Shore Power", "The United Rural Co-op", ""]))


def test_no_allowed_design_overlaps_or_loses_a_device_or_a_circuit() -> None:
    seen: Counter[str] = Counter()
    for asked, facts in allowed_designs(ALLOWED):
        drawing = one_line_drawing(one_line_of(facts))
        told = f"{asked.system_type}, {asked.planes}, {asked.inverter}"
        assert overlaps(drawing) == [], told
        assert drawn(drawing) == wanted(facts), told
        tags = sorted(box.what for box in drawing.symbols if box.what.startswith("tag"))
        assert tags == sorted(f"tag {letter}" for letter in letters_of(facts["study"]).values()), told
        strings = sum(row[2] for row in facts["study"]["electrical"]["strings"])
        seen.update(
            [
                asked.system_type,
                f"battery: {asked.battery is not None}",
                f"generator: {asked.generator is not None}",
                f"strings: {min(strings, 4)}",
                asked.service.connection,
                f"coupling: {asked.battery.coupling if asked.battery else 'none'}, {asked.system_type}",
                asked.code_edition,
            ]
        )
    least = min(
        seen[key]
        for key in (
            *KINDS,
            *(f"{what}: {so}" for what in ("battery", "generator") for so in (True, False)),
            *(f"strings: {n}" for n in (1, 2, 3, 4)),
            "busbar_opposite_end",
            "supply_side",
            *(f"coupling: {how}, {kind}" for how in ("dc", "ac") for kind in ("hybrid", "off_grid")),
        )
    )
    assert least >= 10, f"too few of some sort: {seen}"
