"""Interconnection: the utility's application, agreement, meter and witness test."""

from __future__ import annotations

from datetime import date

from projects.route.business_days import business_days_between
from projects.route.facts import Comment, JobFacts
from projects.route.reading import connects_to_grid
from projects.route.requirements.base import Done, Requirement, days_after, never, on_day, said
from projects.route.requirements.permits import in_review

APPLY_DAYS = 3
SEND_DAYS = 1
SIGN_DAYS = 5
"""Common practice, no source."""


def open_requests(facts: JobFacts) -> list[tuple[Comment, date]]:
    """What the utility asked for and has no answer to yet, with the day it asked."""
    return [(comment, asked) for comment, asked in facts.interconnection.requests if comment.answered_on is None]


def requests_due(facts: JobFacts, done: Done) -> date | None:
    asked = min((day for _, day in open_requests(facts)), default=None)
    return done.business_days_after(facts.utility.answer_days, asked)


def applied_with_another_design(facts: JobFacts) -> bool:
    """The application shows another design than the current one."""
    shown = facts.interconnection.design_fingerprint
    return bool(shown) and shown != facts.design_fingerprint


def _approval_due(facts: JobFacts, done: Done) -> date | None:
    return done.business_days_after(facts.utility.review_days, facts.interconnection.submitted_on)


def _approval_detail(facts: JobFacts) -> str:
    submitted = facts.interconnection.submitted_on
    if submitted is None or facts.interconnection.approved_on or open_requests(facts):
        return ""
    if applied_with_another_design(facts):
        return "the application shows an earlier design: tell the utility what changed"
    days = business_days_between(submitted, facts.today, facts.jurisdiction.holidays)
    return in_review(days, facts.utility.review_days, "the utility's review")


def _meter_due(facts: JobFacts, done: Done) -> date | None:
    return done.business_days_after(facts.utility.meter_days, done.latest("inspection_sent", "agreement"))


REQUIREMENTS = (
    Requirement(
        key="application",
        stage="interconnection",
        party="office",
        sentence=lambda facts: f"The interconnection application is submitted to {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.submitted_on),
        applies=connects_to_grid,
        after=("single_line", "contract"),
        due=days_after(APPLY_DAYS, "single_line", "contract"),
    ),
    Requirement(
        key="utility_requests",
        stage="interconnection",
        party="office",
        sentence=lambda facts: f"The questions of {facts.utility.name} about the application are answered",
        met=never,
        applies=lambda facts: connects_to_grid(facts) and bool(open_requests(facts)),
        due=requests_due,
        detail=lambda facts: "; ".join(comment.text for comment, _ in open_requests(facts)),
    ),
    Requirement(
        key="utility_approval",
        stage="interconnection",
        party="utility",
        sentence=lambda facts: f"The interconnection application is approved by {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.approved_on),
        applies=connects_to_grid,
        after=("application", "utility_requests"),
        due=_approval_due,
        detail=_approval_detail,
    ),
    Requirement(
        key="agreement",
        stage="interconnection",
        party="customer",
        sentence=lambda facts: f"The interconnection agreement with {facts.utility.name} is signed by the customer",
        met=lambda facts: on_day(facts.interconnection.agreement_signed_on),
        applies=connects_to_grid,
        after=("utility_approval",),
        due=days_after(SIGN_DAYS, "utility_approval"),
    ),
    Requirement(
        key="inspection_sent",
        stage="interconnection",
        party="office",
        sentence=lambda facts: f"The passed inspection is sent to {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.inspection_sent_on),
        applies=connects_to_grid,
        after=("application", "final_passed"),
        due=days_after(SEND_DAYS, "final_passed"),
    ),
    Requirement(
        key="meter",
        stage="interconnection",
        party="utility",
        sentence=lambda facts: f"The new meter is set by {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.meter_set_on),
        applies=lambda facts: connects_to_grid(facts) and facts.utility.meter_swap,
        after=("inspection_sent", "agreement"),
        due=_meter_due,
    ),
    Requirement(
        key="witness",
        stage="interconnection",
        party="utility",
        sentence=lambda facts: f"The witness test is passed with {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.witness_passed_on),
        applies=lambda facts: connects_to_grid(facts) and facts.utility.witness_test,
        after=("inspection_sent", "agreement"),
        due=_meter_due,
        detail=said("a licensed electrician attends"),
    ),
)
