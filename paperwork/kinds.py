"""The kinds of paper: for whom, what each needs before it can be issued, and how its facts become pages."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from paperwork.changes import Shown
from paperwork.papers import (
    calculations,
    checklist,
    credit_note,
    crew_sheet,
    first_look,
    handover,
    interconnection,
    invoice,
    labels,
    packet,
    roof_plan,
    single_line,
)
from paperwork.pdf import Pdf
from paperwork.sources import Sources
from projects.actions.problems import Problem


@dataclass(frozen=True)
class PaperKind:
    key: str
    code: str
    """In the number: "FL" of "0147-FL-2"."""
    title: str
    customer_may_read: bool
    shows_design: bool
    """Its issue names the design; a later change of the design makes it out of date."""
    problems: Callable[[Sources], list[Problem]]
    facts: Callable[[Sources, dict[str, Any]], dict[str, Any]]
    pages: Callable[[Mapping[str, Any], bool], Pdf]
    """Facts, and whether it is only a preview."""
    shown: Shown


KINDS: dict[str, PaperKind] = {
    kind.key: kind
    for kind in (
        PaperKind(
            "first_look",
            "FL",
            "First-look report",
            True,
            True,
            first_look.problems,
            first_look.facts,
            first_look.pages,
            first_look.SHOWN,
        ),
        PaperKind(
            "single_line",
            "SL",
            "Single-line diagram",
            True,
            True,
            single_line.problems,
            single_line.facts,
            single_line.pages,
            single_line.SHOWN,
        ),
        PaperKind(
            "checklist",
            "CL",
            "Customer checklist",
            True,
            False,
            checklist.problems,
            checklist.facts,
            checklist.pages,
            checklist.SHOWN,
        ),
        PaperKind(
            "calculations",
            "CS",
            "Calculation sheet",
            False,
            True,
            calculations.problems,
            calculations.facts,
            calculations.pages,
            calculations.SHOWN,
        ),
        PaperKind(
            "labels",
            "LS",
            "Label sheet",
            False,
            True,
            labels.problems,
            labels.facts,
            labels.pages,
            labels.SHOWN,
        ),
        PaperKind(
            "building_packet",
            "BP",
            "Building permit packet",
            False,
            True,
            packet.problems("building_packet"),
            packet.facts,
            packet.pages,
            packet.SHOWN,
        ),
        PaperKind(
            "electrical_packet",
            "EP",
            "Electrical permit packet",
            False,
            True,
            packet.problems("electrical_packet"),
            packet.facts,
            packet.pages,
            packet.SHOWN,
        ),
        PaperKind(
            "permit_packet",
            "PP",
            "Permit packet",
            False,
            True,
            packet.problems("permit_packet"),
            packet.facts,
            packet.pages,
            packet.SHOWN,
        ),
        PaperKind(
            "interconnection",
            "IA",
            "Interconnection application summary",
            False,
            True,
            interconnection.problems,
            interconnection.facts,
            interconnection.pages,
            interconnection.SHOWN,
        ),
        PaperKind(
            "crew_sheet",
            "JS",
            "Crew job sheet",
            False,
            True,
            crew_sheet.problems,
            crew_sheet.facts,
            crew_sheet.pages,
            crew_sheet.SHOWN,
        ),
        PaperKind(
            "roof_plan",
            "RP",
            "Roof plan",
            False,
            True,
            roof_plan.problems,
            roof_plan.facts,
            roof_plan.pages,
            roof_plan.SHOWN,
        ),
        PaperKind(
            "handover",
            "HP",
            "Handover packet",
            True,
            True,
            handover.problems,
            handover.facts,
            handover.pages,
            handover.SHOWN,
        ),
        PaperKind(
            "invoice",
            "IN",
            "Invoice",
            True,
            False,
            invoice.problems,
            invoice.facts,
            invoice.pages,
            invoice.SHOWN,
        ),
        PaperKind(
            "credit_note",
            "CN",
            "Credit note",
            True,
            False,
            credit_note.problems,
            credit_note.facts,
            credit_note.pages,
            credit_note.SHOWN,
        ),
    )
}
MONEY_PAPERS = frozenset({"invoice", "credit_note"})
"""For the office and the customer; the crew has no business with them."""
