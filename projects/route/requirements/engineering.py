"""Engineering: design, study, checks, single-line diagram, the licence holders' reviews, contract, loan."""

from __future__ import annotations

from datetime import date

from projects.route.facts import JobFacts
from projects.route.requirements.base import Done, Met, Requirement, days_after, marked, said
from projects.route.words import listed

DESIGN_DAYS = 5
CONTRACT_DAYS = 10
# The office's own pace within engineering: common practice, no source.
STUDY_DAYS = 2
REVIEW_DAYS = 3
LETTER_DAYS = 10
LENDER_DAYS = 10


def _site_done(facts: JobFacts, done: Done) -> date | None:
    return facts.site_assessed_on or facts.visit_on or done.latest("go_ahead")


def _financing(facts: JobFacts) -> Met | None:
    """The lender's decision on the application, or the plain fact where no application is recorded."""
    mark = facts.marks.get("loan_approved")
    day = facts.loan_approved_on or (mark.on if mark else None)
    return Met(day) if day else None


def _design_due(facts: JobFacts, done: Done) -> date | None:
    return done.business_days_after(DESIGN_DAYS, _site_done(facts, done))


def _design(facts: JobFacts) -> Met | None:
    return Met(facts.design_on) if facts.design_fingerprint else None


def _study_is_current(facts: JobFacts) -> bool:
    return bool(facts.design_fingerprint) and facts.study_fingerprint == facts.design_fingerprint


def _study(facts: JobFacts) -> Met | None:
    return Met(facts.study_on) if _study_is_current(facts) else None


def _study_detail(facts: JobFacts) -> str:
    return "the last study looked at an earlier design" if facts.study_fingerprint else ""


def _checks(facts: JobFacts) -> Met | None:
    return Met(facts.study_on) if _study_is_current(facts) and not facts.failing_checks else None


def _checks_detail(facts: JobFacts) -> str:
    return f"failing: {listed(facts.failing_checks)}" if facts.failing_checks else ""


def _single_line(facts: JobFacts) -> Met | None:
    paper = facts.papers.get("single_line")
    if paper is None or not facts.design_fingerprint or paper[1] != facts.design_fingerprint:
        return None
    return Met(paper[0])


def _single_line_detail(facts: JobFacts) -> str:
    return "the one issued shows an earlier design" if "single_line" in facts.papers else ""


REQUIREMENTS = (
    Requirement(
        key="design",
        stage="engineering",
        party="office",
        sentence=said("The system is designed for the roof and the service as measured"),
        met=_design,
        after=("service", "roof"),
        due=_design_due,
    ),
    Requirement(
        key="study",
        stage="engineering",
        party="office",
        sentence=said("The study has run on the current design"),
        met=_study,
        after=("design",),
        due=days_after(STUDY_DAYS, "design"),
        detail=_study_detail,
    ),
    Requirement(
        key="design_checks",
        stage="engineering",
        party="office",
        sentence=said("The design passes its checks"),
        met=_checks,
        after=("study",),
        due=days_after(STUDY_DAYS, "design"),
        detail=_checks_detail,
    ),
    Requirement(
        key="single_line",
        stage="engineering",
        party="office",
        sentence=said("The single-line diagram of the current design is issued"),
        met=_single_line,
        after=("design_checks",),
        due=days_after(STUDY_DAYS, "design_checks"),
        detail=_single_line_detail,
    ),
    Requirement(
        key="electrician_review",
        stage="engineering",
        party="electrician",
        sentence=said("The licensed electrician has reviewed the single-line diagram"),
        met=marked("electrician_review"),
        after=("single_line",),
        due=days_after(REVIEW_DAYS, "single_line"),
        mark="electrician_review",
    ),
    Requirement(
        key="contractor_review",
        stage="engineering",
        party="contractor",
        sentence=said("The licensed contractor has reviewed the design"),
        met=marked("contractor_review"),
        after=("single_line",),
        due=days_after(REVIEW_DAYS, "single_line"),
        mark="contractor_review",
    ),
    Requirement(
        key="structural_letter",
        stage="engineering",
        party="engineer",
        sentence=said("The structural engineer's stamped letter for the roof is in hand"),
        met=marked("structural_letter"),
        applies=lambda facts: facts.jurisdiction.structural_letter,
        after=("design",),
        due=days_after(LETTER_DAYS, "design"),
        detail=lambda facts: f"asked for by {facts.jurisdiction.name}",
        mark="structural_letter",
    ),
    Requirement(
        key="contract",
        stage="engineering",
        party="customer",
        sentence=said("The contract is signed by the customer"),
        met=marked("contract_signed"),
        after=("go_ahead", "design"),
        due=days_after(CONTRACT_DAYS, "design"),
        mark="contract_signed",
    ),
    Requirement(
        key="financing",
        stage="engineering",
        party="lender",
        sentence=said("The loan is approved by the lender"),
        met=_financing,
        applies=lambda facts: facts.wants_loan,
        after=("contract",),
        due=days_after(LENDER_DAYS, "contract"),
        mark="loan_approved",
    ),
)
