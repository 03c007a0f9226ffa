"""Writes an appointment's day where the route reads it, and says for the journal what it was before and is now."""

from __future__ import annotations

from datetime import date, time
from typing import Any

from projects.actions.recording import written_once
from projects.models import Appointment, Crew, Inspection, Job
from projects.route.clashes import INSPECTIONS

State = dict[str, Any]
"""Of one appointment, as the journal keeps it: ``on`` and ``planned_on`` (ISO days or None), ``crew`` (id or None),
``at`` ("9:30" or None), ``days``."""

FREE: State = {"on": None, "planned_on": None, "crew": None, "at": None, "days": 1}


def state(job: Job, kind: str) -> State:
    row = Appointment.objects.filter(job=job, kind=kind).first()
    found = dict(FREE)
    if row is not None:
        found |= {"crew": row.crew_id, "days": row.days}
        found["planned_on"] = row.planned_on.isoformat() if row.planned_on else None
        found["at"] = row.starts_at.isoformat("minutes") if row.starts_at else None
    on = booked_on(job, kind)
    found["on"] = on.isoformat() if on else None
    return found


def booked_on(job: Job, kind: str) -> date | None:
    if kind in INSPECTIONS:
        row = booked_inspection(job, kind)
        return row.booked_for if row else None
    return job.visit_on if kind == "site_visit" else job.install_on


def booked_inspection(job: Job, kind: str) -> Inspection | None:
    return Inspection.objects.filter(job=job, kind=kind, result=Inspection.Result.BOOKED).first()


def write_state(job: Job, kind: str, wanted: State, why: str = "") -> None:
    """Makes the rows say ``wanted``. ``why``: kept with an inspection that is cancelled by it."""
    on = date.fromisoformat(wanted["on"]) if wanted["on"] else None
    _write_day(job, kind, on, why)
    planned_on = date.fromisoformat(wanted["planned_on"]) if wanted["planned_on"] else None
    at = time.fromisoformat(wanted["at"]) if wanted["at"] else None
    Appointment.objects.update_or_create(
        job=job,
        kind=kind,
        defaults={"crew_id": wanted["crew"], "days": wanted["days"], "starts_at": at, "planned_on": planned_on},
    )


def _write_day(job: Job, kind: str, on: date | None, why: str) -> None:
    if kind not in INSPECTIONS:
        column = "visit_on" if kind == "site_visit" else "install_on"
        Job.objects.filter(pk=job.pk).update(**{column: on})
        setattr(job, column, on)
        return
    row = booked_inspection(job, kind)
    if row is None:
        if on is not None:
            Inspection.objects.create(job=job, kind=kind, booked_for=on)
        return
    still = Inspection.objects.filter(pk=row.pk, result=Inspection.Result.BOOKED)
    if on is None:
        written_once(still.update(result=Inspection.Result.CANCELLED, note=why))
    elif row.booked_for != on:
        written_once(still.update(booked_for=on))


def day_set(job: Job, kind: str, on: date, reason: str = "") -> dict[str, Any]:
    """Books the day, keeping crew and hour; returns the journal's data."""
    before = state(job, kind)
    after = before | {"on": on.isoformat(), "planned_on": None}
    write_state(job, kind, after)
    return changed(kind, before, after, reason)


def changed(kind: str, before: State, after: State, reason: str = "") -> dict[str, Any]:
    """Journal data of a change: what the sentence needs, and what undoing needs."""
    data: dict[str, Any] = {"appointment": kind, "before": before, "after": after}
    day, was = after["on"] or after["planned_on"], before["on"] or before["planned_on"]
    if kind in INSPECTIONS:
        data["inspection"] = kind
    if day or was:
        data["day"] = day or was
    if was and day and was != day:
        data["was"] = was
    if reason.strip():
        data["reason"] = reason.strip()
    if after["crew"] and after["crew"] != before["crew"]:
        data["crew"] = Crew.objects.get(pk=after["crew"]).name
    return data
