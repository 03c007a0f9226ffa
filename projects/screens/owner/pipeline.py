"""The owner's morning: five questions answered, jobs by stage, what is stuck and why, whom the jobs wait on."""

from __future__ import annotations

from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from projects import queries
from projects.models import Stage
from projects.queries.crew_load import crew_weeks
from projects.queries.money import owed
from projects.queries.people_load import people_load
from projects.queries.pipeline import under_way
from projects.queries.stuck import stuck
from projects.screens.access import owner_only
from projects.screens.oneline import oneline_small
from projects.screens.owner.answers import cash_answer, due_answer, load_answer, pipe_answer, stuck_answer, why
from projects.screens.owner.drawing import StageLoad, pipeline_drawing

PARTY_WORDS = {
    "office": "The office",
    "crew": "The crew",
    "customer": "Customers",
    "engineer": "The structural engineer",
    "contractor": "The licensed contractor",
    "electrician": "The licensed electrician",
    "jurisdiction": "Jurisdictions",
    "utility": "Utilities",
    "lender": "Lenders",
}
STUCK_SHOWN = 10
WEEKS_LOOKED_AT = 4
WEEK = timedelta(days=7)
OUTSIDE = ("jurisdiction", "utility", "lender", "engineer")


@owner_only
@require_safe
def pipeline(request: HttpRequest) -> HttpResponse:
    found = queries.pipeline()
    loads = [
        StageLoad(stage.key, stage.title, stage.jobs, stage.overdue, stage.value_usd)
        for stage in found.stages
        if stage.key != Stage.IN_SERVICE or stage.jobs
    ]
    most = max((party.jobs for party in found.parties), default=1)
    stuck_rows, stuck_found = stuck(found.today, STUCK_SHOWN)
    due = under_way().filter(due_on__range=(found.today, found.today + WEEK)).count()
    ours = sum(party.jobs for party in found.parties if party.party in ("office", "crew"))
    context = {
        "nav": "pipeline",
        "pipeline": found,
        "drawing": pipeline_drawing(loads),
        "drawing_upright": pipeline_drawing(loads, rows=2),
        "stages": [stage for stage in found.stages if stage.key != Stage.IN_SERVICE or stage.jobs],
        "parties": [
            {
                "party": party,
                "words": PARTY_WORDS.get(party.party, party.party),
                "bar": round(100 * party.jobs / most),
                "names": [n for n in found.names if n.party == party.party] if party.party in OUTSIDE else [],
                "days": _days(party.oldest_since, found.today),
            }
            for party in found.parties
        ],
        "stuck": [
            {
                "job": row.job,
                "why": why(row),
                "days": _days(row.job.stage_since, found.today),
                "drawing": oneline_small(row.job.gates, label=row.job.get_stage_display()),
            }
            for row in stuck_rows
        ],
        "stuck_more": max(0, stuck_found - len(stuck_rows)),
        "answers": [
            stuck_answer(stuck_rows, stuck_found),
            due_answer(found.overdue, due, found.today + WEEK),
            pipe_answer(found, ours),
            cash_answer(owed(found.today)),
            load_answer(crew_weeks(found.today, WEEKS_LOOKED_AT), people_load(found.today)),
        ],
        "ours": ours,
        "theirs": sum(p.jobs for p in found.parties) - ours,
    }
    return render(request, "owner/pipeline.html", context)


def _days(since: date | None, today: date) -> int | None:
    return (today - since).days if since else None
