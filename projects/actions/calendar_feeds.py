"""A person's secret calendar address: made anew, or ended. Its token is stored as a hash and shown once."""

from __future__ import annotations

import secrets

from django.db import transaction
from django.utils import timezone

from projects.actions.findings import Findings
from projects.actions.office import hash_of
from projects.actions.problems import NotAllowed
from projects.actions.roles import FIELD, require
from projects.models import CalendarFeed, Person, Role


def make_feed(*, actor: Person, person: Person) -> str:
    """A new address for the person's calendar program; the former one ends. Returns the raw token.

    Only for oneself: the address opens without a sign-in.
    """
    require(actor, FIELD)
    if actor.pk != person.pk:
        raise NotAllowed("A calendar address is made by the person who reads it.")
    token = secrets.token_urlsafe(32)
    with transaction.atomic():
        _end(person)
        CalendarFeed.objects.create(person=person, token_hash=hash_of(token))
    return token


def revoke_feed(*, actor: Person, person: Person) -> None:
    """Ends the address: one's own, or by the office somebody else's."""
    require(actor, FIELD)
    if actor.pk != person.pk and actor.role == Role.CREW:
        raise NotAllowed("Only the office may end somebody else's calendar address.")
    findings = Findings()
    if not _end(person):
        findings.add("", "There is no living address to end.")
    findings.refuse()


def _end(person: Person) -> int:
    return CalendarFeed.objects.filter(person=person, revoked_at=None).update(revoked_at=timezone.now())
