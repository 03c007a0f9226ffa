"""The owner's morning: jobs and value by stage, whom they wait on, what has waited longest."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from projects import queries
from projects.models import Stage
from projects.screens.access import owner_only
from projects.screens.oneline import oneline_small
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
    context = {
        "nav": "pipeline",
        "pipeline": found,
        "drawing": pipeline_drawing(loads),
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
        "oldest": [
            {
                "job": job,
                "days": _days(job.stage_since, found.today),
                "drawing": oneline_small(job.gates, label=job.get_stage_display()),
            }
            for job in found.oldest
        ],
        "ours": sum(p.jobs for p in found.parties if p.party in ("office", "crew")),
        "theirs": sum(p.jobs for p in found.parties if p.party not in ("office", "crew")),
    }
    return render(request, "owner/pipeline.html", context)


def _days(since: date | None, today: date) -> int | None:
    return (today - since).days if since else None
