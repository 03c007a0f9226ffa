"""Everything the job page shows, loaded with a constant number of queries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch
from django.utils import timezone

from projects.actions import journal
from projects.actions.facts import facts_of
from projects.models import (
    Design,
    Evidence,
    Inspection,
    Interconnection,
    Job,
    JournalEntry,
    LeadAnswers,
    PaperIssue,
    Permit,
    PermitSubmission,
    Person,
    StudyRun,
)
from projects.route.facts import JobFacts
from projects.route.stages import stages_of
from projects.route.standing import standing
from projects.route.standing_types import RequirementStanding, Standing
from projects.route.words import listed, within_sentence
from projects.screens.office import headline, reviews
from projects.screens.office.steps import Act, Finder, Rounds
from projects.screens.office.symbols import SYMBOLS, WORDS
from projects.screens.office.tables import day
from projects.screens.office.usual import must_run_words
from projects.screens.oneline import oneline_tall, oneline_wide

JOURNAL_LINES = 8


@dataclass(frozen=True)
class Line:
    """One requirement in the table of the whole route."""

    requirement: RequirementStanding
    undo: Act | None

    @property
    def symbol(self) -> str:
        return SYMBOLS[self.requirement.state]

    @property
    def word(self) -> str:
        return WORDS[self.requirement.state]


@dataclass(frozen=True)
class StageLines:
    key: str
    title: str
    lines: tuple[Line, ...]
    current: bool

    @property
    def done(self) -> int:
        return sum(1 for line in self.lines if line.requirement.done)


def rounds_of(job: Job) -> Rounds:
    submissions = PermitSubmission.objects.select_related("licence__holder").prefetch_related("comments")
    permits = Permit.objects.filter(job=job).prefetch_related(Prefetch("submissions", queryset=submissions))
    inspections = Inspection.objects.filter(job=job).prefetch_related("corrections__fixed_by")
    interconnection = Interconnection.objects.filter(job=job).prefetch_related("requests").first()
    requests = list(interconnection.requests.all()) if interconnection else []
    return Rounds({permit.kind: permit for permit in permits}, list(inspections), requests, interconnection)


def job_page(job: Job, person: Person) -> dict[str, Any]:
    facts = facts_of(job)
    answer = standing(facts)
    rounds = rounds_of(job)
    finder = Finder(job, person, rounds)
    designs = Design.objects.filter(job=job).select_related("module", "inverter", "battery", "generator")
    design = designs.order_by("-pk").first()
    studies = StudyRun.objects.filter(job=job, state=StudyRun.State.DONE).defer("request", "result")
    study = studies.order_by("-pk").first()
    answers = LeadAnswers.objects.filter(job=job).first()
    entries = journal_of(job)[: JOURNAL_LINES + 1]
    return {
        "job": job,
        "standing": answer,
        "wide": oneline_wide(answer),
        "tall": oneline_tall(answer),
        "steps": [finder.step(requirement, facts) for requirement in answer.next_steps] if not job.outcome else [],
        "stages": stage_lines(facts, answer, finder),
        "total": len(answer.requirements),
        "done": sum(1 for requirement in answer.requirements if requirement.done),
        "branches": reviews.branches(answer, finder),
        "inspections": reviews.inspections(answer, finder),
        "utility": reviews.utility_side(answer, finder),
        "design": design,
        "study": study,
        "study_current": bool(study and design and study.design_fingerprint == design.fingerprint),
        "answers": answers,
        "system": system_rows(design, study),
        "system_line": system_line(job, design, answers),
        "asked": asked_for(answers),
        "title_block": title_block(job, person, design, rounds),
        "photos": list(Evidence.objects.filter(job=job, removed_at=None).order_by("-pk")),
        "papers": list(PaperIssue.objects.filter(job=job).select_related("issued_by").order_by("-pk")[:12]),
        "journal": journal.sentences(entries[:JOURNAL_LINES]),
        "more_journal": len(entries) > JOURNAL_LINES,
        "links": list(job.customer_links.filter(revoked_at=None, expires_at__gt=timezone.now()).order_by("-pk")),
        "today": facts.today,
    }


def journal_of(job: Job):
    return JournalEntry.objects.filter(job=job).select_related("actor").order_by("-pk")


def stage_lines(facts: JobFacts, answer: Standing, finder: Finder) -> list[StageLines]:
    by_stage: dict[str, list[Line]] = {}
    for requirement in answer.requirements:
        by_stage.setdefault(requirement.stage, []).append(Line(requirement, finder.undoing(requirement)))
    return [
        StageLines(stage.key, stage.title_for(facts.system_type), tuple(by_stage[stage.key]), stage.key == answer.stage)
        for stage in stages_of(facts)
        if stage.key in by_stage
    ]


def asked_for(answers: LeadAnswers | None) -> list[headline.Row]:
    """What the household said it needs."""
    if answers is None:
        return []
    rows: list[headline.Row] = []
    if answers.must_run:
        rows.append(("Must run in an outage", ", ".join(must_run_words(answers.must_run)), False))
    if answers.goal:
        rows.append(("First of all", answers.get_goal_display(), False))
    if answers.usage_known:
        yearly = answers.yearly_kwh if answers.yearly_kwh is not None else sum(answers.monthly_kwh)
        rows.append(("Uses in a year", f"{yearly:,.0f} kWh", False))
    rows.append(("Outage to ride through", headline.duration(24 * answers.outage_days_wanted), False))
    if answers.wants_loan:
        rows.append(("Financing", "wants a loan", False))
    return rows


def system_rows(design: Design | None, study: StudyRun | None) -> list[headline.Row]:
    if design is None:
        return []
    rows = headline.of_design(design)
    return rows + headline.of_study(study.headline) if study and study.design_id == design.pk else rows


def system_line(job: Job, design: Design | None, answers: LeadAnswers | None) -> str:
    """ "Hybrid, 8.8 kW array and 27 kWh battery. Runs the well pump and central air through an outage." """
    kind = job.get_system_kind_display() if job.system_kind else "Kind of system not decided"
    parts = [kind]
    if design:
        array = f"{design.array_kw:.1f} kW array"
        parts.append(f"{array} and {design.battery_kwh:.0f} kWh battery" if design.battery_kwh else array)
    line = f"{', '.join(parts)}."
    named = must_run_words(answers.must_run)[:4] if answers else []
    if not named or job.system_kind == "grid_tied":
        return line
    verb = "Runs" if design and design.battery_kwh else "Wants"
    through = "through an outage" if job.system_kind != "off_grid" else "without a grid"
    return f"{line} {verb} {listed([within_sentence(name) for name in named])} {through}."


def title_block(job: Job, person: Person, design: Design | None, rounds: Rounds) -> list[tuple[str, str, bool]]:
    """Name, value, and whether it is a warning: the foot of the first sheet."""
    today = timezone.localdate()
    latest = [list(permit.submissions.all())[-1] for permit in rounds.permits.values() if permit.submissions.all()]
    revision = "none yet"
    changed = False
    if design:
        revision = f"rev {design.revision_letter}"
        if design.preliminary:
            revision += ", a sketch"
        elif latest:
            changed = any(submission.design_fingerprint != design.fingerprint for submission in latest)
            revision += ", changed since submitted" if changed else ", as submitted"
    block = [
        ("job", job.label, False),
        ("system", job.get_system_kind_display() or "not decided", False),
        ("design", revision, changed),
    ]
    used = {submission.licence.trade: submission.licence for submission in latest if submission.licence}
    for trade, name in (("contractor", "building licence"), ("electrician", "electrical licence")):
        licence = used.get(trade)
        words = f"valid to {day(licence.expires_on, today)}" if licence else "none named yet"
        lapsed = bool(licence and licence.expires_on < today)
        block.append((name, f"expired {day(licence.expires_on, today)}" if licence and lapsed else words, lapsed))
    if person.is_office:
        block.append(("price", "not set" if job.price_usd is None else f"${job.price_usd:,.0f}", False))
    return block
