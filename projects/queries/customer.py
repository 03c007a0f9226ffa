"""The job behind a customer's link."""

from __future__ import annotations

from django.utils import timezone

from projects.actions.office import hash_of
from projects.models import CustomerLink, Job


def customer_status(token: str) -> Job | None:
    """The job, with what the status page shows, or None for an unknown, ended or revoked link.

    Only the token's hash is looked up, by an index: how long that takes says nothing about the token itself.
    Reading changes nothing but the link's ``last_seen_at``, since mail scanners open links too.
    """
    now = timezone.now()
    link = (
        CustomerLink.objects.filter(token_hash=hash_of(token), revoked_at=None, expires_at__gt=now)
        .select_related("job__customer", "job__site", "job__jurisdiction", "job__utility", "job__assigned_to")
        .first()
    )
    if link is None:
        return None
    CustomerLink.objects.filter(pk=link.pk).update(last_seen_at=now)
    return link.job
