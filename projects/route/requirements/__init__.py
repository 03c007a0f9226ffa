"""The route's requirements as data, one file per stage, in route order."""

from __future__ import annotations

from projects.route.marks import MARKS, MarkRule
from projects.route.requirements import (
    engineering,
    financing,
    inspection,
    installation,
    interconnection,
    lead,
    operation,
    permits,
    service,
    site_assessment,
)
from projects.route.requirements.base import Done, Met, Requirement

REQUIREMENTS: tuple[Requirement, ...] = (
    *lead.REQUIREMENTS,
    *site_assessment.REQUIREMENTS,
    *engineering.REQUIREMENTS,
    *permits.REQUIREMENTS,
    *installation.REQUIREMENTS,
    *inspection.REQUIREMENTS,
    *interconnection.REQUIREMENTS,
    *financing.REQUIREMENTS,
    *operation.REQUIREMENTS,
    *service.REQUIREMENTS,
)

REQUIREMENT_BY_KEY: dict[str, Requirement] = {requirement.key: requirement for requirement in REQUIREMENTS}

HOLDS: tuple[str, ...] = tuple(requirement.key for requirement in REQUIREMENTS if requirement.hold)

MARK_OF_REQUIREMENT: dict[str, str] = {
    requirement.key: requirement.mark for requirement in REQUIREMENTS if requirement.mark
}
"""Requirement key to the key of the mark that meets it: "contract" is met by "contract_signed"."""

__all__ = [
    "HOLDS",
    "MARKS",
    "MARK_OF_REQUIREMENT",
    "REQUIREMENTS",
    "REQUIREMENT_BY_KEY",
    "Done",
    "MarkRule",
    "Met",
    "Requirement",
]
