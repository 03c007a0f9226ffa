"""The office's own business: a job's price, person, authorities and links; settings live in profiles and staff."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta
from decimal import Decimal

from django.conf import settings
from django.utils import timezone

from projects.actions.amounts import checked_usd
from projects.actions.profiles import add_closure, remove_closure, save_jurisdiction, save_utility
from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.actions.staff import save_equipment, save_insurance, save_licence, save_person
from projects.models import ChangeOrder, CustomerLink, Job, Jurisdiction, Person, Role, Utility


def set_price(*, job: Job, actor: Person, price_usd: Decimal | None) -> Job:
    """What the customer pays for the installed system; None takes the price back.

    Once the contract is signed it moves by change orders alone (see ``change_orders``).
    """
    with recording(job, actor, OFFICE) as book:
        if price_usd is not None:
            price_usd = checked_usd(book.findings, "price_usd", price_usd)
        book.findings.refuse()
        if job.price_usd == price_usd:
            book.unchanged()
            return job
        if job.price_usd is not None and "contract_signed" in book.facts.marks:
            book.findings.add("price_usd", "The contract is signed for this price: write a change order.")
        if ChangeOrder.objects.filter(job=job, state=ChangeOrder.State.APPROVED).exists():
            book.findings.add("price_usd", "Approved change orders rest on this price: write another one.")
        book.findings.refuse()
        Job.objects.filter(pk=job.pk).update(price_usd=price_usd)
        job.refresh_from_db()
        book.write("price_set", price_usd="none" if job.price_usd is None else f"{job.price_usd:,.2f}")
    return job


def assign(*, job: Job, person: Person | None, actor: Person) -> Job:
    """Names the person of the office or crew who looks after the job; None: nobody."""
    with recording(job, actor, OFFICE) as book:
        if person is not None and (not person.is_active or person.role == Role.LICENCE_HOLDER):
            book.findings.add("person", "Choose somebody who works here.")
        book.findings.refuse()
        if job.assigned_to_id == (person.pk if person else None):
            book.unchanged()
            return job
        Job.objects.filter(pk=job.pk).update(assigned_to=person)
        job.refresh_from_db()
        book.write("assigned", person=person.pk if person else None)
    return job


def set_authorities(*, job: Job, actor: Person, jurisdiction: Jurisdiction | None, utility: Utility | None) -> Job:
    """Which building department and which utility the house belongs to: their profiles shape the route."""
    with recording(job, actor, OFFICE) as book:
        if jurisdiction is not None and jurisdiction.state != job.site.state:
            book.findings.add("jurisdiction", f"{jurisdiction.name} is in {jurisdiction.state}, the house is not.")
        former = (job.jurisdiction_id, job.utility_id)
        wanted = (jurisdiction.pk if jurisdiction else None, utility.pk if utility else None)
        if job.permits.filter(submissions__isnull=False).exists() and former[0] not in (None, wanted[0]):
            book.findings.add("jurisdiction", "Permits are submitted already; the jurisdiction can't change now.")
        book.findings.refuse()
        if former == wanted:
            book.unchanged()
            return job
        Job.objects.filter(pk=job.pk).update(jurisdiction=jurisdiction, utility=utility)
        job.refresh_from_db()
        book.write("authorities_set", jurisdiction=wanted[0], utility=wanted[1])
    return job


def share_link(*, job: Job, actor: Person) -> str:
    """Makes a status link for the customer and returns its raw token, which is stored nowhere."""
    with recording(job, actor, OFFICE, closed_too=True) as book:
        token = secrets.token_urlsafe(32)
        link = CustomerLink.objects.create(
            job=job,
            token_hash=hash_of(token),
            created_by=actor,
            expires_at=timezone.now() + timedelta(days=settings.CUSTOMER_LINK_DAYS),
        )
        book.write("link_shared", link=link.pk)
    return token


def revoke_links(*, job: Job, actor: Person) -> int:
    """Ends all links of the job; returns how many were alive."""
    with recording(job, actor, OFFICE, closed_too=True) as book:
        count = job.customer_links.filter(revoked_at=None).update(revoked_at=timezone.now())
        if count == 0:
            book.unchanged()
        else:
            book.write("links_revoked", count=count)
    return count


def hash_of(token: str) -> str:
    """What is stored of a link's token. The token is 256 random bits, so a plain hash can't be guessed back."""
    return hashlib.sha256(token.encode()).hexdigest()


__all__ = [
    "add_closure",
    "assign",
    "remove_closure",
    "revoke_links",
    "save_equipment",
    "save_insurance",
    "save_jurisdiction",
    "save_licence",
    "save_person",
    "save_utility",
    "set_authorities",
    "set_price",
    "share_link",
]
