"""In service: claims under the warranties and visits to the system. They exist only while something is open."""

from __future__ import annotations

from datetime import date, timedelta

from projects.route.facts import JobFacts
from projects.route.requirements.base import Done, Requirement, never
from projects.route.words import listed, short_date

CLAIM_DAYS = 5
"""Business days until somebody has looked at a claim. Common practice, no source."""
VISIT_AHEAD_DAYS = 14
"""Calendar days before a planned visit from which on it is a next step: early enough to ring the customer."""


def visit_near(facts: JobFacts) -> date | None:
    """The earliest planned visit, once it is near."""
    if not facts.service_visits:
        return None
    first = facts.service_visits[0]
    return first if first <= facts.today + timedelta(days=VISIT_AHEAD_DAYS) else None


def _claims_sentence(facts: JobFacts) -> str:
    count = len(facts.claims)
    return "The open warranty claim is settled" if count == 1 else f"The {count} open warranty claims are settled"


def _claims_due(facts: JobFacts, done: Done) -> date | None:
    days = [claim.visit_on or done.business_days_after(CLAIM_DAYS, claim.reported_on) for claim in facts.claims]
    return min((day for day in days if day), default=None)


def _claims_detail(facts: JobFacts) -> str:
    return listed(
        [
            f"{claim.covers}, "
            + (f"visit {short_date(claim.visit_on, facts.today)}" if claim.visit_on else "no visit planned yet")
            for claim in facts.claims
        ]
    )


REQUIREMENTS = (
    Requirement(
        key="claims_settled",
        stage="in_service",
        party="office",
        sentence=_claims_sentence,
        met=never,
        applies=lambda facts: bool(facts.claims),
        due=_claims_due,
        detail=_claims_detail,
        waivable=False,
    ),
    Requirement(
        key="service_visit",
        stage="in_service",
        party="crew",
        sentence=lambda facts: "The planned service visit is made",
        met=never,
        applies=lambda facts: visit_near(facts) is not None,
        due=lambda facts, done: visit_near(facts),
        waivable=False,
    ),
)
SERVICE_KEYS = frozenset(requirement.key for requirement in REQUIREMENTS)
"""What may be open while the system is in service all the same."""
