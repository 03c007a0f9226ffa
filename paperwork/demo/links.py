"""Two customers' pages of the demo office, by links that stay the same from start to start.

The job book keeps only a hash of a link, so the demo keeps its own two, of invented people, in a file beside the book.
"""

from __future__ import annotations

import json
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from projects.actions import office
from projects.models import CustomerLink, Job, Person

SHOWN_TO_CUSTOMERS = ("Ines Halvorsen", "Imelda Santos")


def customer_links(port: int) -> list[str]:
    file = Path(settings.DATA_DIR) / "demo-links.json"
    kept = _kept(file)
    clerk = Person.objects.filter(username="olive").first()
    tokens = {}
    for name in SHOWN_TO_CUSTOMERS:
        job = Job.objects.filter(customer__name=name).first()
        if job and clerk:
            token = kept.get(name, "")
            tokens[name] = token if _opens(job, token) else office.share_link(job=job, actor=clerk)
    if tokens != kept:
        file.touch(mode=0o600)
        file.write_text(json.dumps(tokens))
    return [f"http://127.0.0.1:{port}/status/{token}/" for token in tokens.values()]


def _kept(file: Path) -> dict[str, str]:
    try:
        return dict(json.loads(file.read_text()))
    except (OSError, ValueError):
        return {}


def _opens(job: Job, token: str) -> bool:
    alive = CustomerLink.objects.filter(job=job, revoked_at=None, expires_at__gt=timezone.now())
    return bool(token) and alive.filter(token_hash=office.hash_of(token)).exists()
