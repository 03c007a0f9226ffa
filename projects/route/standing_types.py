"""The answer that the route computes: plain frozen data for screens, lists and papers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from projects.route.facts import Party, PauseFacts

State = Literal["met", "waived", "open", "waiting"]
"""open: unmet and actionable now. waiting: unmet, and something else must come first."""


@dataclass(frozen=True)
class RequirementStanding:
    key: str
    stage: str
    sentence: str
    """Plain words: "The building permit is submitted to Pelican County"."""
    party: Party
    state: State
    met_on: date | None
    due_on: date | None
    after: tuple[str, ...]
    """waiting: sentences (lower case, no full stop) of what must come first."""
    detail: str
    """One line more: "2 of 3 comments answered", "day 6 of 10 in plan review"."""
    hold: bool
    """Protects people: can't be waived."""
    waivable: bool
    branch: str = ""
    """Permits: "building", "electrical", "combined" or "fire"; else empty."""
    mark: str = ""
    """Key of the plain fact that meets it ("contract_signed" for the contract); empty where another noun does."""

    @property
    def done(self) -> bool:
        return self.state in ("met", "waived")


GateState = Literal["closed", "live", "waiting", "future"]
"""How a gate is drawn. closed: all its requirements done. live: work can be done on it now by us or the customer.
waiting: the next move is somebody else's (jurisdiction, utility, lender...). future: nothing can be done yet."""


@dataclass(frozen=True)
class Gate:
    """One breaker on the one-line: a stage, or one permit branch of the permits stage."""

    key: str
    """Stage key, or "permit_building" and the like for a branch."""
    title: str
    caption: str
    """Under the title: "3 Nov", "plan review, answer due 2 Dec", "2 of 5 done"."""
    state: GateState
    branch: bool
    current: bool
    done: int
    total: int


@dataclass(frozen=True)
class Standing:
    stage: str
    stage_title: str
    in_service: bool
    requirements: tuple[RequirementStanding, ...]
    gates: tuple[Gate, ...]
    """In drawing order; consecutive gates with ``branch`` are parallel."""
    waiting_on: Party | None
    waiting_on_name: str
    """"Town of Marrow Bay", "the office", "the customer"."""
    next_step: str
    """Sentence of the most pressing open requirement; empty when in service."""
    due_on: date | None
    """Earliest due date of the open requirements."""
    outcome: str = ""
    paused: PauseFacts | None = None
    """The pause that the job is in: then to look again is its only next step, though facts may still come in."""
    pressing: tuple[str, ...] = ()
    """Keys of the open requirements, the most pressing first (the rule is ``projects.route.pressing``'s)."""

    @property
    def next_steps(self) -> tuple[RequirementStanding, ...]:
        """All open requirements, the most pressing first: the first one is ``next_step``."""
        by_key = {r.key: r for r in self.requirements}
        return tuple(by_key[key] for key in self.pressing)

    @property
    def next_key(self) -> str:
        return self.pressing[0] if self.pressing else ""
