"""Whether the firm is insured on a day, as far as its register says."""

from __future__ import annotations

from datetime import date

from projects.actions.findings import in_words
from projects.models import Insurance, Job


def insurance_problems(job: Job, on: date | None) -> list[str]:
    """Why no permit may be submitted on that day; empty where the cover holds.

    A kind of cover that the firm once recorded must be in force; a jurisdiction may ask for liability cover in any
    case. Nothing recorded and nothing asked for: the register isn't kept, and says nothing.
    """
    if on is None:
        return []
    by_kind: dict[str, list[Insurance]] = {}
    for policy in Insurance.objects.all():
        by_kind.setdefault(policy.kind, []).append(policy)
    if job.jurisdiction is not None and job.jurisdiction.asks_insurance:
        by_kind.setdefault(Insurance.Kind.LIABILITY, [])
    found = []
    for kind, policies in sorted(by_kind.items()):
        if any(policy.valid_on(on) for policy in policies):
            continue
        label = str(Insurance.Kind(kind).label)
        last = max((p.expires_on for p in policies if p.expires_on < on), default=None)
        if last is not None:
            found.append(f"{label} insurance ended on {in_words(last)}.")
        elif policies:
            found.append(f"No {label.lower()} insurance is in force on {in_words(on)}.")
        else:
            found.append(f"{job.jurisdiction} asks for {label.lower()} insurance, and none is recorded.")
    return found
