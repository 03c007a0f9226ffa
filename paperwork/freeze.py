"""Freezes what a paper will show: plain data out of the job, its current design and the latest study of it."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.urls import reverse

from projects.actions.facts import facts_of
from projects.models import Design, Inspection, Job, JobMark, Licence, OfficeProfile, StudyRun
from projects.route.reading import exempt_from_permits
from projects.route.standing import standing
from sizing.electrical.labels import labels
from sizing.study.codec import read
from sizing.study.request import StudyRequest
from sizing.study.result import Electrical

LEFT_OUT_OF_STUDY = ("working",)
OUTAGE_TRACES = "traces"


def current_design(job: Job) -> Design | None:
    return job.designs.select_related("module", "inverter", "battery", "generator").order_by("-revision").first()


def latest_study(job: Job) -> StudyRun | None:
    """The latest finished study, of whatever design."""
    return job.studies.filter(state=StudyRun.State.DONE).order_by("-id").first()


def firm_facts(profile: OfficeProfile | None) -> dict[str, str]:
    if profile is None:
        return {"name": "", "address": "", "phone": "", "email": "", "licence_line": ""}
    return {
        "name": profile.name,
        "address": profile.address,
        "phone": profile.phone,
        "email": profile.email,
        "licence_line": profile.licence_line,
    }


def common_facts(job: Job, *, kind: str, number: str, issue: int, at: datetime) -> dict[str, Any]:
    """What stands on every paper: firm, job, customer, place, number and date."""
    local = at.astimezone(ZoneInfo(settings.TIME_ZONE))
    site = job.site
    return {
        "kind": kind,
        "number": number,
        "issue": issue,
        "on": local.date().isoformat(),
        "at": at.isoformat(),
        "firm": firm_facts(OfficeProfile.current()),
        "job": {"number": job.number, "label": job.label},
        "address": f"{settings.OFFICE_ADDRESS}{reverse('job', args=[job.number])}" if settings.OFFICE_ADDRESS else "",
        "customer": {"name": job.customer.name, "language": job.customer.preferred_language},
        "site": {
            "street": site.street,
            "city": site.city,
            "state": site.state,
            "zip_code": site.zip_code,
            "county": site.county,
            "address": site.address,
            "latitude_deg": site.latitude_deg,
            "owns_home": site.owns_home,
        },
        "jurisdiction": job.jurisdiction.name if job.jurisdiction else "",
        "utility": job.utility.name if job.utility else "",
        "system_kind": job.system_kind,
    }


def study_facts(run: StudyRun) -> dict[str, Any]:
    """The study's result without its working (the calculation sheet carries that) and its hourly traces."""
    study = {key: value for key, value in run.result.items() if key not in LEFT_OUT_OF_STUDY}
    if study.get("ride_through"):
        study["ride_through"] = {k: v for k, v in study["ride_through"].items() if k != OUTAGE_TRACES}
    return study


def design_facts(design: Design) -> dict[str, Any]:
    return {
        "revision": design.revision_letter,
        "preliminary": design.preliminary,
        "fingerprint": design.fingerprint,
        "modules": design.module_count,
        "array_kw": design.array_kw,
        "battery_kwh": design.battery_kwh,
        "connection": design.connection,
        "designed_on": design.on.isoformat(),
        "assumptions": list(design.frozen.get("assumptions", [])),
    }


def first_look_facts(job: Job, design: Design, run: StudyRun, common: dict[str, Any]) -> dict[str, Any]:
    answers = getattr(job, "answers", None)
    return {
        **common,
        "design": design_facts(design),
        "study": study_facts(run),
        "recommended_kind": job.recommended_kind,
        "recommendation": job.recommendation,
        "kind_reason": job.kind_reason,
        "price_usd": str(job.price_usd) if job.price_usd is not None else None,
        "visited": job.site.service_recorded_on is not None,
        "exempt": exempt_from_permits(facts_of(job, date.fromisoformat(common["on"]))),
        "answers": {
            "goal": answers.goal if answers else "",
            "outage_days_wanted": answers.outage_days_wanted if answers else 1,
            "wants_loan": answers.wants_loan if answers else False,
            "bills": ("months" if len(answers.monthly_kwh) == 12 else "year" if answers.yearly_kwh else "")
            if answers
            else "",
        },
    }


def licence_facts(state: str, on: date) -> list[dict[str, str]]:
    """One licence per trade that is valid on the day, for the lines to sign."""
    found: dict[str, dict[str, str]] = {}
    for licence in Licence.objects.select_related("holder").filter(state=state, expires_on__gte=on):
        found.setdefault(
            licence.trade,
            {
                "trade": licence.trade,
                "holder": licence.holder.name,
                "number": licence.number,
                "classification": licence.classification,
                "state": licence.state,
                "expires_on": licence.expires_on.isoformat(),
            },
        )
    return [found[trade] for trade in sorted(found)]


def single_line_facts(job: Job, design: Design, run: StudyRun, common: dict[str, Any]) -> dict[str, Any]:
    study = study_facts(run)
    site = job.site
    return {
        **common,
        "design": design_facts(design),
        "licences": licence_facts(site.state, date.fromisoformat(common["on"])),
        "service": {
            "recorded_on": site.service_recorded_on.isoformat() if site.service_recorded_on else None,
            "panel_note": site.panel_note,
        },
        "study": {key: study[key] for key in ("request", "climate", "production", "loads", "electrical", "warnings")},
    }


def calculation_facts(job: Job, design: Design, run: StudyRun, common: dict[str, Any]) -> dict[str, Any]:
    """As the single-line's, with every line of working and what the study assumed."""
    return {
        **single_line_facts(job, design, run, common),
        "working": run.result["working"],
        "assumptions": run.result["assumptions"],
    }


def label_facts(run: StudyRun) -> list[dict[str, Any]]:
    """Labels with the study's own numbers on them."""
    request = read(StudyRequest, run.result["request"])
    return [
        asdict(label) | {"text": list(label.text)}
        for label in labels(request, read(Electrical, run.result["electrical"]))
    ]


def exemption(job: Job, today: date) -> dict[str, Any] | None:
    """The local rule by which no permit is asked for, and since when the office has it confirmed; else None."""
    if job.jurisdiction is None or not exempt_from_permits(facts_of(job, today)):
        return None
    mark = JobMark.objects.filter(job=job, key="permit_exemption", withdrawn_at=None).first()
    return {"rule": job.jurisdiction.off_grid_exemption_rule, "on": mark.on.isoformat() if mark else None}


def checklist_facts(job: Job, common: dict[str, Any]) -> dict[str, Any]:
    """From the standing as it is on the day of issue."""
    today = date.fromisoformat(common["on"])
    known = facts_of(job, today)
    answer = standing(known)
    stages = list(dict.fromkeys([requirement.stage for requirement in answer.requirements]))
    if "in_service" not in stages:
        stages.append("in_service")
    booked = [("visit", job.visit_on), ("install", job.install_on)]
    booked += [("inspection", row.booked_for) for row in Inspection.objects.filter(job=job, result="booked")]
    return {
        **common,
        "exempt": exempt_from_permits(known),
        "standing": {
            "stage": answer.stage,
            "in_service": answer.in_service,
            "stages": stages,
            "steps": [
                {
                    "key": step.key,
                    "party": step.party,
                    "due_on": step.due_on.isoformat() if step.due_on else None,
                }
                for step in answer.next_steps
            ],
        },
        "booked": [{"what": what, "on": on.isoformat()} for what, on in booked if on],
        "phones": {
            "jurisdiction": job.jurisdiction.phone if job.jurisdiction else "",
            "utility": job.utility.phone if job.utility else "",
        },
    }
