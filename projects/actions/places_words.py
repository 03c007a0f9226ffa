"""A state as people type it."""

from __future__ import annotations

from projects import places
from projects.actions.findings import Findings


def checked_state(findings: Findings, state: str) -> str:
    state = (state or "").strip().upper()
    if state not in places.STATES:
        findings.add("state", "Two letters of a state, as in NC.")
    return state
