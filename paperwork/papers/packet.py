"""Permit packets: building, electrical, or one for both where the jurisdiction issues a combined permit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from django.conf import settings
from django.utils import timezone

from paperwork.changes import Shown
from paperwork.content.machine import machine_facts
from paperwork.content.packet import BUILDING, TITLES, TRADE_WORDS, TRADES, cover_sheet, packet_sheets
from paperwork.freeze_packet import packet_facts, roof_facts
from paperwork.papers import labels, roof_plan, single_line
from paperwork.pdf import About, Pdf, lay_out_packet
from paperwork.sources import Sources
from projects.actions.cover import insurance_problems
from projects.actions.problems import Problem
from projects.models import Job, Licence


def belongs(kind: str, combined: bool) -> bool:
    """Whether a jurisdiction with a combined permit, or without one, takes this packet."""
    return (kind == "permit_packet") == combined


def problems(kind: str) -> Callable[[Sources], list[Problem]]:
    """Everything that is missing from a packet of this kind, all at once."""

    def of(sources: Sources) -> list[Problem]:
        found = single_line.problems(sources)
        found += [problem for problem in labels.problems(sources) if problem not in found]
        found += roof_plan.roof_problems(sources)
        job = sources.job
        if job.jurisdiction is None:
            found.append(
                Problem("authorities", "No jurisdiction is set: the packet carries its code edition and loads.")
            )
        elif job.system_kind == "off_grid" and job.jurisdiction.off_grid_exempt:
            rule = job.jurisdiction.off_grid_exemption_rule
            found.append(Problem("", f"{job.jurisdiction.name} asks for no permit here ({rule}): there is no packet."))
        elif not belongs(kind, job.jurisdiction.combined_permit):
            asks = "one combined permit: issue the permit packet"
            if not job.jurisdiction.combined_permit:
                asks = "a building and an electrical permit: issue their two packets"
            found.append(Problem("", f"{job.jurisdiction.name} has {asks}."))
        if sources.design is not None:
            if sources.design.preliminary:
                found.append(
                    Problem("design", "The design is the first look's sketch: save an engineered design first.")
                )
            if kind in BUILDING:
                found += _rafter_problems(sources)
        found += _licence_problems(job, kind)
        found += [Problem("insurance", said) for said in insurance_problems(job, timezone.localdate())]
        return found

    return of


def _rafter_problems(sources: Sources) -> list[Problem]:
    return [
        Problem("roof", f"{plane['name']}: the rafter spacing is not recorded.")
        for plane in roof_facts(sources)
        if not plane["on_ground"] and plane["rafter_spacing_m"] is None
    ]


def _licence_problems(job: Job, kind: str) -> list[Problem]:
    held = set(
        Licence.objects.filter(state=job.site.state, expires_on__gte=timezone.localdate()).values_list(
            "trade", flat=True
        )
    )
    return [
        Problem(
            "licence", f"No {TRADE_WORDS[trade]} with a licence that is valid today in {job.site.state} is on record."
        )
        for trade in TRADES[kind]
        if trade not in held
    ]


def facts(sources: Sources, common: dict[str, Any]) -> dict[str, Any]:
    return packet_facts(sources, common, building=common["kind"] in BUILDING)


def pages(facts: Mapping[str, Any], preview: bool, paper_size: str | None = None) -> Pdf:
    title = TITLES[facts["kind"]]
    about = About(
        title=f"{title} {facts['number']}, {facts['site']['address']}",
        author=facts["firm"]["name"],
        subject=f"{title}, for review by those licensed to; not certified",
        created_at=datetime.fromisoformat(facts["at"]),
        data=machine_facts(facts),
    )
    return lay_out_packet(
        lambda parts: cover_sheet(facts, parts, preview),
        packet_sheets(facts, preview, paper_size or settings.PAPER_SIZE),
        about,
        number=facts["number"],
        paper_size=paper_size,
    )


def _attachments(facts: Mapping[str, Any]) -> str:
    planes = facts["structure"]["planes"] if facts["structure"] else []
    return "; ".join(f"{plane['name']} {plane['attachments']}" for plane in planes)


SHOWN: Shown = (
    *single_line.SHOWN,
    *(line for line in labels.SHOWN if line[0] not in dict(single_line.SHOWN)),
    ("Jurisdiction", lambda f: f["profile"]["name"]),
    ("Wind speed", lambda f: f"{f['profile']['wind_speed_mph']} mph"),
    ("Ground snow", lambda f: f"{f['profile']['ground_snow_psf']} psf"),
    ("Submitted under", lambda f: ", ".join(licence["number"] for licence in f["licences"])),
    ("Insurance", lambda f: "; ".join(f"{p['insurer']} {p['number']}" for p in f["insurance"])),
    ("Fee", lambda f: "; ".join(fee["working"] for fee in f["fees"])),
    ("Roof", lambda f: "; ".join(f"{p['name']} {p['modules']} modules" for p in f["roof"])),
    ("Attachments", _attachments),
    ("To be attached", lambda f: "; ".join(f"{row['what']}: {row['state']}" for row in f["attach"])),
)
