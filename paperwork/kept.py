"""What is kept of a job's issued papers, for the jobs' side to show."""

from __future__ import annotations

from paperwork.models import IssuedPaper
from projects.paper_registry import Kept


def kept_of(job_id: int) -> dict[str, Kept]:
    """By number, in one query, without the bytes."""
    rows = IssuedPaper.objects.filter(job_id=job_id).values_list("number", "issue", "pages", "sha256", "changes")
    return {number: Kept(issue, pages, sha256, tuple(changes)) for number, issue, pages, sha256, changes in rows}
