"""Interconnection: the utility's application by its level, agreement, meter and witness test."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from projects.route.business_days import business_days_between
from projects.route.facts import Comment, JobFacts
from projects.route.reading import connects_to_grid, latest_submission, permit_kinds
from projects.route.requirements.base import Done, Requirement, days_after, never, on_day, said
from projects.route.requirements.permits import SUBMIT_DAYS, in_review

APPLY_DAYS = 3
SEND_DAYS = 1
SIGN_DAYS = 5
ORDER_METER_DAYS = 2
# Common practice, no source.

LEVELS = {1: "simplified", 2: "fast track with screens", 3: "with a study"}


def level_of_size(ac_kw: float | None, simplified_up_to_kw: float, fast_track_up_to_kw: float) -> int:
    """1, 2 or 3 by the AC rating against the utility's thresholds; 1 where the size isn't known yet."""
    if ac_kw is None or ac_kw <= simplified_up_to_kw:
        return 1
    return 2 if ac_kw <= fast_track_up_to_kw else 3


def level_by_size(facts: JobFacts) -> int:
    return level_of_size(facts.ac_kw, facts.utility.simplified_up_to_kw, facts.utility.fast_track_up_to_kw)


def level(facts: JobFacts) -> int:
    """As applied for; before that, by the size."""
    return facts.interconnection.level or level_by_size(facts)


def _why_this_level(facts: JobFacts) -> str:
    """The size, where that is why; a utility may count otherwise, or have moved its thresholds since."""
    asked, utility = level(facts), facts.utility
    if asked != level_by_size(facts):
        return f"level {asked}, as {utility.name} has the application"
    above = utility.simplified_up_to_kw if asked == 2 else utility.fast_track_up_to_kw
    return f"level {asked}: above {above:g} kW AC"


def open_requests(facts: JobFacts) -> list[tuple[Comment, date]]:
    """What the utility asked for and has no answer to yet, with the day it asked."""
    return [(comment, asked) for comment, asked in facts.interconnection.requests if comment.answered_on is None]


def requests_due(facts: JobFacts, done: Done) -> date | None:
    asked = min((day for _, day in open_requests(facts)), default=None)
    return done.utility_days_after(facts.utility.answer_days, asked)


def applied_with_another_design(facts: JobFacts) -> bool:
    """The application shows another design than the current one."""
    shown = facts.interconnection.design_fingerprint
    return bool(shown) and shown != facts.design_fingerprint


def _differences(facts: JobFacts) -> str:
    """What differs is known where a permit shows the same earlier design."""
    shown = facts.interconnection.design_fingerprint
    rounds = [latest_submission(facts, kind) for kind in permit_kinds(facts)]
    if facts.design_changes and any(r is not None and r.design_fingerprint == shown for r in rounds):
        return "; ".join(facts.design_changes)
    return "the application shows an earlier design"


def _revision_due(facts: JobFacts, done: Done) -> date | None:
    return done.business_days_after(SUBMIT_DAYS, facts.design_on)


def _application_detail(facts: JobFacts) -> str:
    if facts.ac_kw is None or facts.interconnection.submitted_on:
        return ""
    return f"level {level(facts)}, {LEVELS[level(facts)]}: {facts.ac_kw:g} kW AC"


def _after_complete(days: Callable[[JobFacts], int]) -> Callable[[JobFacts, Done], date | None]:
    """Counted from the day the application is complete, or where the utility doesn't say so from the application."""
    return lambda facts, done: done.utility_days_after(days(facts), done.latest("application", "application_complete"))


def _approval_due(facts: JobFacts, done: Done) -> date | None:
    begun = done.latest("screens", "grid_study") or facts.interconnection.submitted_on
    return done.utility_days_after(facts.utility.review_days, begun)


def _approval_detail(facts: JobFacts) -> str:
    said_ = facts.interconnection
    if said_.submitted_on is None or said_.approved_on or open_requests(facts):
        return ""
    days = business_days_between(said_.submitted_on, facts.today, facts.utility.holidays)
    words = in_review(days, facts.utility.review_days, "the utility's review")
    return f"{words}, number {said_.queue_position} in its queue" if said_.queue_position else words


def _meter_due(facts: JobFacts, done: Done) -> date | None:
    return done.utility_days_after(
        facts.utility.meter_days, done.latest("inspection_sent", "agreement", "meter_ordered")
    )


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
        detail=_application_detail,
    ),
    Requirement(
        key="application_matches_design",
        stage="interconnection",
        party="office",
        sentence=lambda facts: f"The changed design is told to {facts.utility.name}",
        met=never,
        applies=lambda facts: connects_to_grid(facts) and applied_with_another_design(facts),
        due=_revision_due,
        detail=_differences,
        waivable=False,
    ),
    Requirement(
        key="application_complete",
        stage="interconnection",
        party="utility",
        sentence=lambda facts: f"The application is found complete by {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.complete_on or facts.interconnection.approved_on),
        applies=lambda facts: connects_to_grid(facts) and facts.utility.completeness_days > 0,
        after=("application",),
        due=_after_complete(lambda facts: facts.utility.completeness_days),
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
        key="screens",
        stage="interconnection",
        party="utility",
        sentence=lambda facts: f"The screens of {facts.utility.name} are passed",
        met=lambda facts: on_day(facts.interconnection.screens_passed_on or facts.interconnection.approved_on),
        applies=lambda facts: connects_to_grid(facts) and level(facts) == 2,
        after=("application", "application_complete"),
        due=_after_complete(lambda facts: facts.utility.screens_days),
        detail=_why_this_level,
    ),
    Requirement(
        key="grid_study",
        stage="interconnection",
        party="utility",
        sentence=lambda facts: f"The study of {facts.utility.name} on its network is finished",
        met=lambda facts: on_day(facts.interconnection.study_done_on or facts.interconnection.approved_on),
        applies=lambda facts: connects_to_grid(facts) and level(facts) == 3,
        after=("application", "application_complete"),
        due=_after_complete(lambda facts: facts.utility.study_days),
        detail=_why_this_level,
    ),
    Requirement(
        key="utility_approval",
        stage="interconnection",
        party="utility",
        sentence=lambda facts: f"The interconnection application is approved by {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.approved_on),
        applies=connects_to_grid,
        after=(
            "application",
            "application_matches_design",
            "application_complete",
            "utility_requests",
            "screens",
            "grid_study",
        ),
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
        key="meter_ordered",
        stage="interconnection",
        party="office",
        sentence=lambda facts: f"The new meter is ordered from {facts.utility.name}",
        met=lambda facts: on_day(facts.interconnection.meter_ordered_on or facts.interconnection.meter_set_on),
        applies=lambda facts: connects_to_grid(facts) and facts.utility.meter_swap and facts.utility.meter_order,
        after=("agreement",),
        due=days_after(ORDER_METER_DAYS, "agreement"),
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
        after=("inspection_sent", "agreement", "meter_ordered"),
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
