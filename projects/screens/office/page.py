"""Everything the job page shows, from the facts that ``queries.job_page`` has loaded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import timezone

from projects.actions import journal_money
from projects.actions.sharing_site import at_the_same_site
from projects.models import Design, Job, LeadAnswers, Person
from projects.queries import JobPage
from projects.route.facts import JobFacts, Mark
from projects.route.requirements import MARK_OF_REQUIREMENT
from projects.route.stages import stages_of
from projects.route.standing_types import RequirementStanding, Standing
from projects.route.words import listed, within_sentence
from projects.screens.office import customer_pictures, headline, reviews
from projects.screens.office.as_built import as_built
from projects.screens.office.beside_steps import not_told, with_papers
from projects.screens.office.papers import paper_lines
from projects.screens.office.steps import Act, Finder, Rounds
from projects.screens.office.symbols import SYMBOLS, WORDS
from projects.screens.office.tables import day, due_words
from projects.screens.office.usual import must_run_words
from projects.screens.oneline import oneline_tall, oneline_wide
from projects.screens.tasks import task

JOURNAL_LINES = 8
MONEY_KINDS = ("price_set", "loan_terms_set", *journal_money.MONEY_KINDS)
"""Journal entries that are the office's alone."""


@dataclass(frozen=True)
class Line:
    """One requirement in the table of the whole route."""

    requirement: RequirementStanding
    undo: Act | None
    told: Mark | None = None
    """The mark or the waiver behind it: who recorded it, and the note or reason."""

    @property
    def symbol(self) -> str:
        return SYMBOLS[self.requirement.state]

    @property
    def word(self) -> str:
        return WORDS[self.requirement.state]

    @property
    def after(self) -> str:
        """What must come first, cut short where it is much."""
        first, more = self.requirement.after[:2], len(self.requirement.after) - 2
        return "; ".join(first) + (f"; and {more} more" if more > 0 else "")


@dataclass(frozen=True)
class StageLines:
    key: str
    title: str
    lines: tuple[Line, ...]
    current: bool

    @property
    def done(self) -> int:
        return sum(1 for line in self.lines if line.requirement.done)

    @property
    def unfolded(self) -> bool:
        """Where the job stands, or where something can be done already."""
        return self.current or any(line.requirement.state == "open" for line in self.lines)

    @property
    def symbol(self) -> str:
        if self.done == len(self.lines):
            return SYMBOLS["met"]
        return SYMBOLS["open" if self.unfolded else "waiting"]

    @property
    def done_on(self) -> date | None:
        """The day of its last fact, once all are done."""
        if self.done < len(self.lines):
            return None
        return max((line.requirement.met_on for line in self.lines if line.requirement.met_on), default=None)


def rounds_of(found: JobPage) -> Rounds:
    requests = list(found.interconnection.requests.all()) if found.interconnection else []
    return Rounds(
        {permit.kind: permit for permit in found.permits}, list(found.inspections), requests, found.interconnection
    )


def shown(found: JobPage, person: Person) -> dict[str, Any]:
    """The template's names for all that the page shows, with the buttons this person may press."""
    job, facts, answer, design = found.job, found.facts, found.standing, found.design
    rounds = rounds_of(found)
    finder = Finder(job, person, rounds)
    journal = [line for line in found.journal if person.is_office or line[0].kind not in MONEY_KINDS]
    return {
        "job": job,
        "standing": answer,
        "wide": oneline_wide(answer),
        "tall": oneline_tall(answer),
        "steps": [] if job.outcome else with_papers([finder.step(r, facts) for r in answer.next_steps], found, finder),
        "not_told": not_told(job, answer, finder),
        "waiting_detail": waiting_detail(facts, answer),
        "coming": coming(answer),
        "stages": stage_lines(facts, answer, finder),
        "total": len(answer.requirements),
        "done": sum(1 for requirement in answer.requirements if requirement.done),
        "branches": reviews.branches(answer, finder, found.void_permits),
        "inspections": reviews.inspections(answer, finder),
        "utility": reviews.utility_side(answer, finder),
        "design": design,
        "study": found.done_study,
        "study_current": found.study_is_current,
        "system": system_rows(found),
        "system_line": system_line(job, design, found.answers),
        "asked": asked_for(found.answers),
        "as_built": as_built(found),
        "pause": job.pauses.filter(ended_on=None).select_related("paused_by").first() if answer.paused else None,
        "same_site": list(at_the_same_site(job)),
        "asks": customer_pictures.asks_of(job, finder) if person.is_office else [],
        "title_block": title_block(job, person, design, rounds),
        "warranties": list(job.warranties.all()),
        "photos": found.evidence[::-1],
        "papers": paper_lines(found, finder),
        "journal": journal[:JOURNAL_LINES],
        "more_journal": len(journal) > JOURNAL_LINES,
        "links": list(job.customer_links.filter(revoked_at=None, expires_at__gt=timezone.now()).order_by("-pk")),
        "today": facts.today,
    }


def coming(answer: Standing) -> list[str]:
    """What opens after the steps that are open now; the holds say nothing that the permits don't."""
    if answer.outcome:
        return []
    waiting = [r for r in answer.requirements if r.state == "waiting" and not r.hold]
    return [task(requirement.key, requirement.sentence) for requirement in waiting[:3]]


def waiting_detail(facts: JobFacts, answer: Standing) -> str:
    """Under the name of whom the job waits on: how far others are ("day 6 of 10 in plan review"), when ours is due."""
    if not answer.next_steps:
        return ""
    first = answer.next_steps[0]
    if first.detail and first.party in ("jurisdiction", "utility"):
        return first.detail
    if first.due_on is None:
        return ""
    words = due_words(first.due_on, facts.today)
    return words if first.due_on < facts.today else f"due {words}"


def stage_lines(facts: JobFacts, answer: Standing, finder: Finder) -> list[StageLines]:
    by_stage: dict[str, list[Line]] = {}
    for requirement in answer.requirements:
        mark = facts.marks.get(MARK_OF_REQUIREMENT.get(requirement.key, ""))
        told = facts.waivers.get(requirement.key) if requirement.state == "waived" else mark
        by_stage.setdefault(requirement.stage, []).append(Line(requirement, finder.undoing(requirement), told))
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


def system_rows(found: JobPage) -> list[headline.Row]:
    design, study = found.design, found.done_study
    if design is None:
        return []
    rows = headline.of_design(design)
    return (
        rows + headline.of_study(study.headline, design.inverter_count)
        if study and study.design_id == design.pk
        else rows
    )


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
