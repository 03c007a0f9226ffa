"""The pictures that the office asks for, as the customer's page shows them."""

from __future__ import annotations

from dataclasses import dataclass

from projects.models import CustomerAsk, Job
from projects.screens.customer import picture_words


@dataclass(frozen=True)
class Asked:
    ask: CustomerAsk
    title: str
    waiting: int
    """Pictures that came and nobody has looked at yet."""
    refused: str
    """Why the last one wasn't usable, while none is waiting."""
    problem: str = ""


def asked_of(job: Job, language: str, problems: dict[int, str] | None = None) -> list[Asked]:
    """Open requests, as the customer's page shows them."""
    told = picture_words.KINDS[language]
    found = []
    for ask in CustomerAsk.objects.filter(job=job, closed_at=None).prefetch_related("uploads"):
        uploads = list(ask.uploads.all())
        waiting = sum(1 for upload in uploads if upload.decided_at is None)
        refused = uploads[-1].refused_because if uploads and not waiting else ""
        found.append(Asked(ask, told[ask.kind], waiting, refused, (problems or {}).get(ask.pk, "")))
    return found
