"""The legs of many jobs as their facts tell them: what the Kaplan-Meier curves and the forecast are made of."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.core.cache import cache
from django.db.models import QuerySet
from django.utils import timezone

from projects.actions.findings import today as office_today
from projects.models import (
    Inspection,
    Interconnection,
    Job,
    JobMark,
    JournalEntry,
    Pause,
    Permit,
    PermitSubmission,
    Stage,
)
from projects.route.forecast.course import Course, Rest, Spell, course, spells
from projects.route.forecast.legs import legs_for
from projects.route.forecast.posterior import LegPosterior, fit

HISTORY_JOBS = 1500
"""The latest leads: more would tell little more, and an office of three years ago kept another pace."""
KEPT_SECONDS = 600
KEPT_TODAY_SECONDS = 86_400

ENGINEERED = ("contract_signed", "electrician_review", "contractor_review", "structural_letter", "loan_approved")
INSTALLED = ("mounted", "wired", "labels", "commissioning_tests")
ORDER = {stage.value: n for n, stage in enumerate(Stage)}
COLUMNS = (
    "pk", "received_at", "system_kind", "stage", "install_on", "outcome", "jurisdiction_id", "utility_id",
    "site__assessed_on", "jurisdiction__combined_permit", "jurisdiction__fire_review", "jurisdiction__off_grid_exempt",
)  # fmt: skip


@dataclass(frozen=True)
class History:
    spells: tuple[Spell, ...]
    today: date
    posterior: dict[str, LegPosterior]


def jurisdiction_key(pk: int | None) -> str:
    """How the forecast, which knows no database, tells authorities apart."""
    return f"j{pk}" if pk else ""


def utility_key(pk: int | None) -> str:
    return f"u{pk}" if pk else ""


def history(today: date | None = None, *, kept_today: bool = False) -> History:
    """Spells of the latest jobs and what follows from them. Kept for ten minutes: one fact more hardly moves it.

    ``kept_today``: one made earlier today will do, for a page that is about a single job.
    """
    today = today or office_today()
    kept: History | None = cache.get(_key(today)) or (cache.get(_key(today, "-first")) if kept_today else None)
    if kept is not None:
        return kept
    latest = Job.objects.filter(duplicate_of=None).order_by("-received_at", "-pk")[:HISTORY_JOBS]
    found = [spell for job in courses(latest) for spell in spells(job, today)]
    made = History(tuple(found), today, fit(found))
    cache.set(_key(today), made, KEPT_SECONDS)
    cache.set(_key(today, "-first"), made, KEPT_TODAY_SECONDS)
    return made


def _key(today: date, more: str = "") -> str:
    return f"history-{today:%Y-%m-%d}{more}"


def courses(jobs: QuerySet[Job]) -> list[Course]:
    """Each job's way through the legs, in the jobs' order: eight queries, however many."""
    rows = list(jobs.values(*COLUMNS))
    ids = [row["pk"] for row in rows]
    marks: dict[int, dict[str, date]] = defaultdict(dict)
    for job_id, key, on in JobMark.objects.filter(job__in=ids, withdrawn_at=None).values_list("job_id", "key", "on"):
        marks[job_id][key] = on
    issued: dict[int, dict[str, date | None]] = defaultdict(dict)
    live = Permit.objects.filter(job__in=ids, voided_on=None)
    for job_id, kind, on in live.values_list("job_id", "kind", "issued_on"):
        issued[job_id][kind] = on
    submitted: dict[int, dict[str, date]] = defaultdict(dict)
    rounds = PermitSubmission.objects.filter(permit__job__in=ids, permit__voided_on=None, round=1)
    for job_id, kind, on in rounds.order_by().values_list("permit__job_id", "permit__kind", "submitted_on"):
        submitted[job_id][kind] = on
    passed = dict(
        Inspection.objects.filter(job__in=ids, kind=Inspection.Kind.FINAL, result=Inspection.Result.PASSED)
        .order_by("id")
        .values_list("job_id", "result_on")
    )
    days = ("submitted_on", "approved_on", "agreement_signed_on", "permission_on")
    grid = {row["job_id"]: row for row in Interconnection.objects.filter(job__in=ids).values("job_id", *days)}
    rests: dict[int, list[Rest]] = defaultdict(list)
    today = office_today()
    for pause in Pause.objects.filter(job__in=ids):
        until = pause.ended_on or max(pause.look_again_on, today)
        moratorium = pause.cause == Pause.Cause.MORATORIUM
        rests[pause.job_id].append(Rest(pause.on, until, running=pause.ended_on is None, utility=moratorium))
    closed = {
        job_id: on or timezone.localdate(at)
        for job_id, on, at in JournalEntry.objects.filter(
            job__in=[r["pk"] for r in rows if r["outcome"]], kind="closed"
        )
        .order_by("id")
        .values_list("job_id", "effective_on", "at")
    }
    return [
        _course(row, marks[pk], issued[pk], submitted[pk], passed.get(pk), grid.get(pk, {}), closed.get(pk), rests[pk])
        for pk, row in zip(ids, rows, strict=True)
    ]


def _course(
    row: dict[str, Any],
    marks: dict[str, date],
    issued: dict[str, date | None],
    submitted: dict[str, date],
    passed_on: date | None,
    grid: dict[str, Any],
    closed_on: date | None,
    rests: list[Rest],
) -> Course:
    branches = _branches(row)
    stage = ORDER[row["stage"]]
    ends: dict[str, date | None] = {
        "lead": marks.get("go_ahead"),
        "site_assessment": row["site__assessed_on"] if stage > ORDER["site_assessment"] else None,
        "engineering": _latest(marks.get(key) for key in ENGINEERED) if stage > ORDER["engineering"] else None,
        "submittal": max(submitted.values()) if submitted and set(branches) <= set(submitted) else None,
        "scheduling": marks.get("install_started"),
        "installing": _latest(marks.get(key) for key in INSTALLED) if stage > ORDER["installation"] else None,
        "inspection": passed_on or marks.get("final_check"),
        "application": grid.get("submitted_on"),
        "utility_review": grid.get("approved_on"),
        "agreement": grid.get("agreement_signed_on"),
        "permission": grid.get("permission_on"),
        **{f"permit_{kind}": issued.get(kind) for kind in branches},
    }
    return course(
        row["pk"],
        legs_for(permits=branches, grid=row["system_kind"] != "off_grid"),
        timezone.localdate(row["received_at"]),
        {key: day for key, day in ends.items() if day is not None},
        starts={f"permit_{kind}": day for kind, day in submitted.items() if kind in branches},
        jurisdiction=jurisdiction_key(row["jurisdiction_id"]),
        utility=utility_key(row["utility_id"]),
        booked_on=row["install_on"],
        ended_on=closed_on if row["outcome"] else None,
        rests=tuple(rests),
    )


def _branches(row: dict[str, Any]) -> tuple[str, ...]:
    if row["system_kind"] == "off_grid" and row["jurisdiction__off_grid_exempt"]:
        return ()
    main = ("combined",) if row["jurisdiction__combined_permit"] else ("building", "electrical")
    return (*main, "fire") if row["jurisdiction__fire_review"] else main


def _latest(days: Iterable[date | None]) -> date | None:
    return max((day for day in days if day is not None), default=None)
