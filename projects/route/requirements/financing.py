"""What the lender asks for before it pays: one requirement per party whose turn it is, while something is open.

They run beside the route and end it: a job is not done while the lender waits, but no crew is held up by it.
"""

from __future__ import annotations

from datetime import date

from projects.route.facts import JobFacts, LenderAsk, Party
from projects.route.requirements.base import Done, Requirement, never, said

CONDITION_DAYS = 5
"""Business days to answer the lender: common practice, no source."""
LONGEST_DETAIL = 160

_SENTENCES: dict[Party, str] = {
    "customer": "What the lender asks of the customer is handed in",
    "office": "What the lender asks of the office is handed in",
    "lender": "What is still open with the lender is confirmed by it",
}


def open_asks(facts: JobFacts, party: Party) -> list[LenderAsk]:
    return [ask for ask in facts.lender_asks if ask.party == party and ask.met_on is None]


def _due(facts: JobFacts, done: Done, party: Party) -> date | None:
    return done.business_days_after(
        CONDITION_DAYS, min((ask.asked_on for ask in open_asks(facts, party)), default=None)
    )


def _detail(facts: JobFacts, party: Party) -> str:
    text = "; ".join(ask.text for ask in open_asks(facts, party))
    return text if len(text) <= LONGEST_DETAIL else text[: LONGEST_DETAIL - 1] + "…"


def _asks(party: Party) -> Requirement:
    return Requirement(
        key=f"lender_asks_{party}",
        stage="operation",
        party=party,
        sentence=said(_SENTENCES[party]),
        met=never,
        applies=lambda facts: bool(open_asks(facts, party)),
        due=lambda facts, done: _due(facts, done, party),
        detail=lambda facts: _detail(facts, party),
        waivable=False,
    )


REQUIREMENTS = tuple(_asks(party) for party in _SENTENCES)
