"""Freezes the crew's sheet: design, structure, booked days, permits, and where the design left the approved plans."""

from __future__ import annotations

from datetime import date
from typing import Any

from paperwork.freeze import exemption, label_facts, single_line_facts
from paperwork.freeze_packet import profile_facts, roof_facts
from paperwork.freeze_structure import structure_facts
from paperwork.sources import Sources
from projects.actions.differences import differences
from projects.models import Inspection, Permit


def crew_facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None
    job, jurisdiction = sources.job, sources.job.jurisdiction
    facts = single_line_facts(job, sources.design, sources.study, common)
    structure = None
    if jurisdiction is not None:
        structure = structure_facts(roof_facts(sources), sources.study.result, profile_facts(jurisdiction))
    permits, found = [], {}
    for permit in Permit.objects.filter(job=job).prefetch_related("submissions"):
        permits.append(
            {
                "kind": permit.get_kind_display(),
                "number": permit.number,
                "issued_on": permit.issued_on.isoformat() if permit.issued_on else None,
            }
        )
        if rounds := list(permit.submissions.all()):
            found.update(dict.fromkeys(differences(rounds[-1].design_frozen, sources.design.frozen)))
    booked = [("Installation", job.install_on)] if job.install_on else []
    booked += [(row.get_kind_display(), row.booked_for) for row in Inspection.objects.filter(job=job, result="booked")]
    return {
        **facts,
        "labels": label_facts(sources.study),
        "structure": structure,
        "permits": permits,
        "exempt": exemption(job, date.fromisoformat(common["on"])),
        "differs": list(found),
        "booked": [[what, on.isoformat()] for what, on in booked],
        "rough_in": bool(jurisdiction and jurisdiction.rough_in_inspection),
        "fire_review": bool(jurisdiction and jurisdiction.fire_review),
        "notice_days": jurisdiction.inspection_notice_days if jurisdiction else 2,
    }
