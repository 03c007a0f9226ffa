"""The program's single-line diagrams against the worked drawings in words (``golden/*.txt``), element by element."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from paperwork.content.single_line import one_line_of
from paperwork.content.single_line_tables import conductor_rows
from paperwork.draw.one_line import one_line_drawing
from paperwork.draw.svg import Box, Drawing
from tests.paperwork.golden_designs import COUPLED, KINDS, result
from tests.paperwork.hand_facts import facts_of

GOLDEN = Path(__file__).parent / "golden"
DRAWN = (*KINDS, *COUPLED)
HEADS = ("DEVICES", "CONDUCTORS", "LEFT TO RIGHT", "WORDS", "BREAKERS")


@dataclass(frozen=True)
class Worked:
    devices: list[str]
    conductors: set[frozenset[str]]
    order: list[str]
    words: dict[str, str]
    breakers: list[str]


@cache
def worked(kind: str) -> Worked:
    parts: dict[str, list[str]] = {}
    head = ""
    for line in (GOLDEN / f"{kind}.txt").read_text(encoding="utf-8").splitlines():
        if line in HEADS:
            head = line
            parts[head] = []
        elif head and line.strip():
            parts[head].append(line.strip())
    assert set(parts) == set(HEADS)
    return Worked(
        devices=parts["DEVICES"],
        conductors={frozenset(line.split(" -- ")) for line in parts["CONDUCTORS"]},
        order=parts["LEFT TO RIGHT"][0].split(", "),
        words=dict(line.split(": ", 1) for line in parts["WORDS"]),
        breakers=parts["BREAKERS"],
    )


@cache
def drawn(kind: str) -> Drawing:
    return one_line_drawing(one_line_of(facts_of(result(kind))))


def devices(drawing: Drawing) -> list[Box]:
    return [box for box in drawing.symbols if not box.what.startswith("tag")]


def connected(drawing: Drawing) -> set[frozenset[str]]:
    """Devices that one run of conductors joins: segments that touch belong together, and to the devices they touch."""
    runs: list[tuple[list[Box], set[str]]] = []
    for wire in drawing.wires:
        ends = {box.what for box in devices(drawing) if box.overlaps(wire)}
        touching = [run for run in runs if any(wire.overlaps(other) for other in run[0])]
        for run in touching:
            runs.remove(run)
        segments = [wire, *(segment for run in touching for segment in run[0])]
        runs.append((segments, ends.union(*(run[1] for run in touching))))
    return {frozenset(names) for _, names in runs}


@pytest.mark.parametrize("kind", DRAWN)
def test_every_device_is_drawn_once_and_no_other(kind: str) -> None:
    assert Counter(box.what for box in devices(drawn(kind))) == Counter(worked(kind).devices)


@pytest.mark.parametrize("kind", DRAWN)
def test_conductors_join_what_the_worked_drawing_joins_and_nothing_else(kind: str) -> None:
    assert connected(drawn(kind)) == worked(kind).conductors


@pytest.mark.parametrize("kind", DRAWN)
def test_power_goes_from_left_to_right(kind: str) -> None:
    at = {box.what: box.x0 for box in devices(drawn(kind))}
    order = worked(kind).order
    assert [at[name] for name in order] == sorted(at[name] for name in order)


@pytest.mark.parametrize("kind", DRAWN)
def test_each_device_has_its_words_beside_it(kind: str) -> None:
    """The words stand whole on the sheet, and no other device that carries words of its own is nearer to them."""
    drawing, wanted = drawn(kind), worked(kind).words
    labels = drawing.boxes
    own = {box.what: box for box in devices(drawing) if box.what in wanted}
    for device, words in wanted.items():
        found = _run_of(labels, words)
        assert found, f"{device}: {words}"
        group = Box(
            min(b.x0 for b in found), min(b.y0 for b in found), max(b.x1 for b in found), max(b.y1 for b in found)
        )
        nearest = min(own, key=lambda name: _distance(own[name], group))
        assert nearest == device or _distance(own[device], group) <= _distance(own[nearest], group) + 1, device


def _run_of(labels: list[Box], words: str) -> list[Box]:
    """The first run of labels whose texts, one after the other, begin with these words."""
    for start in range(len(labels)):
        said = ""
        for end in range(start, len(labels)):
            said = f"{said} {labels[end].what}".strip().replace("\u00a0", " ")
            if said == words:
                return labels[start : end + 1]
            if not words.startswith(said):
                break
    return []


def _distance(a: Box, b: Box) -> float:
    dx = max(a.x0 - b.x1, b.x0 - a.x1, 0.0)
    dy = max(a.y0 - b.y1, b.y0 - a.y1, 0.0)
    return float((dx * dx + dy * dy) ** 0.5)


@pytest.mark.parametrize("kind", DRAWN)
def test_breakers_in_the_panel_carry_their_ratings(kind: str) -> None:
    texts = [part.split(">")[1].split("<")[0].replace("\u00a0", " ") for part in drawn(kind).parts if "<text" in part]
    for breaker in worked(kind).breakers:
        assert breaker in texts


@pytest.mark.parametrize("kind", DRAWN)
def test_every_circuit_drawn_has_its_line_in_the_conductor_schedule_and_in_the_working(kind: str) -> None:
    studied = result(kind)
    rows = conductor_rows(facts_of(studied)["study"])
    tags = sorted(box.what for box in drawn(kind).symbols if box.what.startswith("tag"))
    assert tags == sorted(f"tag {row['letter']}" for row in rows)
    worked_out = {line.key for line in studied.working}
    for circuit in studied.electrical.circuits:
        if not (kind == "grid_tied" and circuit.key == "backup_feeder"):
            assert f"circuit.{circuit.key}.current" in worked_out


def test_two_sources_on_one_panel_are_checked_as_the_worked_drawing_says() -> None:
    """By hand in golden/ac_coupled.txt: currents, devices, both busbars."""
    studied = result("ac_coupled")
    circuits = {circuit.key: circuit for circuit in studied.electrical.circuits}
    assert [circuits[key].overcurrent_a for key in ("inverter_output", "battery", "backup_feeder")] == [40, 30, 70]
    assert circuits["backup_feeder"].current_a == pytest.approx(52.5)
    checks = {check.key: check for check in studied.electrical.checks}
    busbar = checks["interconnection.busbar"]
    assert (busbar.passes, busbar.value, busbar.limit) == (True, "200 + 1.25 × 52.5 = 265.6 A", "1.2 × 225 = 270 A")
    assert checks["interconnection.breaker_spaces"].value == "2 spaces"
    assert studied.electrical.backup_busbar_a == 125
    assert studied.electrical.backfeed_breaker_a == 70 and studied.electrical.ac_disconnect_a == 100
    runs = {row["label"]: row["run"] for row in conductor_rows(facts_of(studied)["study"])}
    assert runs["Inverter output"] == "PV inverter to critical-loads panel"
    assert runs["Battery"] == "Battery to critical-loads panel"


def test_the_coldest_string_is_the_one_worked_by_hand() -> None:
    assert result("hybrid").electrical.voc_cold_v == pytest.approx(447.8, abs=0.1)


def test_the_comparison_sees_a_missing_conductor() -> None:
    drawing = drawn("hybrid")
    cut = Drawing(drawing.width, drawing.height, "cut", symbols=drawing.symbols, wires=drawing.wires[:-1])
    assert connected(cut) != worked("hybrid").conductors
