"""Freezes the handover packet: the design as built, what runs in an outage, warranties, permission, whom to call."""

from __future__ import annotations

from datetime import date
from typing import Any

from paperwork.freeze import exemption, label_facts, single_line_facts, study_facts
from paperwork.sources import Sources
from projects.actions.warranty_terms import anniversary, makers_terms, proposed_years, starts_on
from projects.models import Inspection, Interconnection, Job, JobMark, Permit, Warranty

LETTER_DAYS = ("submitted_on", "approved_on", "agreement_signed_on", "meter_set_on", "witness_passed_on")


def handover_facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    assert sources.design is not None and sources.study is not None
    job = sources.job
    facts = single_line_facts(job, sources.design, sources.study, common)
    study = study_facts(sources.study)
    facts["study"] |= {key: study.get(key) for key in ("ride_through", "off_grid")}
    marks = {mark.key: mark.on for mark in JobMark.objects.filter(job=job, withdrawn_at=None)}
    passed = Inspection.objects.filter(job=job, kind="final", result="passed").order_by("-result_on").first()
    return {
        **facts,
        "label_keys": [label["key"] for label in label_facts(sources.study)],
        "days": {
            "switched_on": _iso(marks.get("switched_on")),
            "commissioned": _iso(marks.get("commissioning_tests")),
            "inspected": _iso(passed.result_on if passed else None),
            "own_check": _iso(marks.get("final_check")),
        },
        "permits": [
            {"kind": permit.get_kind_display(), "number": permit.number, "issued_on": _iso(permit.issued_on)}
            for permit in Permit.objects.filter(job=job)
            if permit.issued_on
        ],
        "exempt": exemption(job, date.fromisoformat(common["on"])),
        "permission": permission_facts(job),
        "warranties": warranty_facts(job),
        "phones": {
            "jurisdiction": job.jurisdiction.phone if job.jurisdiction else "",
            "utility": job.utility.phone if job.utility else "",
        },
    }


def permission_facts(job: Job) -> dict[str, Any] | None:
    """What the utility's letter says, as the job's file has it; None where no utility is connected."""
    row = Interconnection.objects.filter(job=job).first()
    if row is None or job.utility is None or job.system_kind == "off_grid":
        return None
    return {
        "utility": job.utility.name,
        "application": row.number,
        "number": row.permission_number,
        "granted_on": _iso(row.permission_on),
        **{name: _iso(getattr(row, name)) for name in LETTER_DAYS},
    }


def warranty_facts(job: Job) -> dict[str, Any]:
    """Registered warranties; before they are, what will be registered, from the day of switching on."""
    rows = list(Warranty.objects.filter(job=job))
    if rows:
        found = [(row.covers, row.years, row.starts_on, row.ends_on) for row in rows]
    else:
        start = starts_on(job)
        terms = [(Warranty.WORKMANSHIP, proposed_years(job)), *((t.covers, t.years) for t in makers_terms(job))]
        found = [(covers, years, start, anniversary(start, years)) for covers, years in terms] if start else []
    return {
        "registered": bool(rows),
        "rows": [
            {"covers": covers, "years": years, "starts_on": _iso(start), "ends_on": _iso(end)}
            for covers, years, start, end in found
        ],
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
