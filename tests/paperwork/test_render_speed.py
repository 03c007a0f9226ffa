"""Warm, at the pace of a quiet machine: the one-page report, a long packet, and memory over packet after packet.

Aims: 120 ms for the report, 1.5 s for a packet of 12 pages and 1,500 table cells. The bounds are a sixth wider, which
the yardstick can't tell. Measured: 105 to 112 ms, beside 135 to 149 ms in turns with it before labels were set whole,
parts packed once and bullets typed (three kinds, three rounds); 1.2 to 1.4 s for 15 pages and 1,490 cells; all on a
machine with other work to do. A hundred packets took resident memory from 250 to 259 MB, all but 3 MB of it within the
first two.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

from paperwork import pdf
from paperwork.papers import first_look, packet
from tests.pace import quiet_ms
from tests.paperwork import hand_made
from tests.paperwork.golden_designs import KINDS, packet_facts
from tests.paperwork.hand_facts import facts_of

pytestmark = pytest.mark.speed
CELLS = 1_450
REPORT_MS, PACKET_MS = 140, 1_750


def long_packet() -> dict[str, Any]:
    """The golden hybrid's electrical packet with a schedule of checks that goes on for pages."""
    facts = packet_facts("hybrid", "electrical_packet", "0147-EP-1")
    electrical = facts["study"]["electrical"]
    checks = [{**check, "label": f"{check['label']}, {n}"} for n in range(12) for check in electrical["checks"]]
    study = {**facts["study"], "electrical": {**electrical, "checks": [*electrical["checks"], *checks[:165]]}}
    return {**facts, "study": study}


@pytest.mark.parametrize("kind", KINDS)
def test_a_report_takes_a_moment(kind: str) -> None:
    facts = facts_of(hand_made.result(kind))
    assert quiet_ms(lambda: first_look.pages(facts, False), within=REPORT_MS) < REPORT_MS


def test_a_packet_of_many_cells_takes_a_second_or_two(monkeypatch: pytest.MonkeyPatch) -> None:
    facts, typeset, cells = long_packet(), pdf._typeset, []

    def counted(*args: Any) -> tuple[str, Any]:
        html, document = typeset(*args)
        cells.append(html.count("<td") + html.count("<th "))
        return html, document

    monkeypatch.setattr(pdf, "_typeset", counted)
    assert packet.pages(facts, False).pages >= 12 and sum(cells) > CELLS
    monkeypatch.undo()
    assert quiet_ms(lambda: packet.pages(facts, False), rounds=3, within=PACKET_MS) < PACKET_MS


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads the memory of the process from /proc")
def test_packet_after_packet_takes_no_more_memory() -> None:
    facts = {kind: packet_facts(kind, "electrical_packet", "0147-EP-1") for kind in KINDS}

    def megabytes() -> float:
        return int(Path("/proc/self/statm").read_text().split()[1]) * 4096 / 1e6

    after = []
    for n in range(7):
        packet.pages(facts[KINDS[n % 3]], False)
        after.append(megabytes())
    # Without sweeping up, each packet left some 5 MB behind.
    assert after[-1] - after[2] < 10
