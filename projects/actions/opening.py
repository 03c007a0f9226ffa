"""What a lead says, cleaned; and the jobs that it opens: one, or a whole file's at once.

One lead takes as many queries as five hundred do, so that an import is the same intake as a call.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field, is_dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from projects.actions import answers, authorities, contact, journal, search_terms
from projects.actions.amounts import checked_usd
from projects.actions.facts import facts_of_many
from projects.actions.findings import Findings
from projects.actions.standing import cache_of
from projects.models import Customer, Job, JournalEntry, LeadAnswers, Person, Role, Site
from projects.route import system_kind as route_kind
from projects.route.standing import standing

NUMBER_TRIES = 5


@dataclass(frozen=True)
class Lead:
    """Columns of the rows that a lead becomes."""

    customer: Mapping[str, Any]
    site: Mapping[str, Any]
    answers: Mapping[str, Any]
    job: Mapping[str, Any]
    later: tuple[tuple[str, Mapping[str, Any]], ...] = field(default=())
    """Journal lines beside that of the lead itself: what an import told besides, such as a price."""


def cleaned(
    *,
    roughly: bool = False,
    name: str,
    email: str = "",
    phone: str = "",
    street: str,
    city: str,
    state: str,
    zip_code: str,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    owns_home: bool = True,
    source: str = "",
    preferred_language: str = "en",
    received_at: datetime | None = None,
    price_usd: Decimal | None = None,
    assigned_to: Person | None = None,
    **said: Any,
) -> Lead:
    """``said``: fields of LeadAnswers. ``roughly``: a ZIP that isn't in the list is taken, for a homeowner knows no
    coordinates and the office finds the house. Raises Problems with every reason against it."""
    findings = Findings()
    now = timezone.now()
    received_at = received_at or now
    if received_at > now:
        findings.add("received_at", "This moment has not come yet.")
    if len(source.strip()) > 40:
        findings.add("source", "At most 40 characters.")
    reached = contact.cleaned(findings, name=name, email=email, phone=phone, preferred_language=preferred_language)
    address = contact.cleaned_address(findings, street=street, city=city)
    place = contact.located(findings, state, zip_code, latitude_deg, longitude_deg, roughly=roughly)
    told = answers.cleaned(findings, said)
    if price_usd is not None:
        price_usd = checked_usd(findings, "price_usd", price_usd)
    if assigned_to is not None and (not assigned_to.is_active or assigned_to.role == Role.LICENCE_HOLDER):
        findings.add("assigned_to", "Choose somebody who works here.")
    findings.refuse()
    assert place is not None
    site = {"state": state.strip().upper(), "zip_code": zip_code.strip(), "owns_home": owns_home, **address}
    later: list[tuple[str, Mapping[str, Any]]] = []
    if price_usd is not None:
        later.append(("price_set", {"price_usd": f"{price_usd:,.2f}"}))
    if assigned_to is not None:
        later.append(("assigned", {"person": assigned_to.pk}))
    return Lead(
        customer=reached,
        site=site | contact.columns(place),
        answers=told,
        job={
            "source": source.strip(), "received_at": received_at, "price_usd": price_usd, "assigned_to": assigned_to,
        },
        later=tuple(later),
    )  # fmt: skip


def open_jobs(leads: Sequence[Lead], actor: Person | None, **told: Any) -> list[Job]:
    """The jobs of the leads, in their order, with their journals and standings: all of them, or none.

    ``told`` goes into the journal's line of each lead.
    """
    # Two leads at once may pick the same number on PostgreSQL; the unique constraint decides and the other tries again.
    for attempt in range(NUMBER_TRIES):
        try:
            with transaction.atomic():
                return _opened(leads, actor, told)
        except IntegrityError:
            if attempt == NUMBER_TRIES - 1:
                raise
    raise AssertionError("unreachable")


def _opened(leads: Sequence[Lead], actor: Person | None, told: Mapping[str, Any]) -> list[Job]:
    last = Job.objects.order_by("-number").values_list("number", flat=True).first() or 0
    customers = Customer.objects.bulk_create(Customer(**lead.customer) for lead in leads)
    rows = zip(leads, customers, strict=True)
    sites = Site.objects.bulk_create(Site(customer=customer, **lead.site) for lead, customer in rows)
    guess = authorities.Guess()
    jobs, said = [], []
    for number, (lead, customer, site) in enumerate(zip(leads, customers, sites, strict=True), start=last + 1):
        jurisdiction, utility = guess.of(site)
        answer = LeadAnswers(**lead.answers)
        jobs.append(
            Job(
                number=number, customer=customer, site=site, jurisdiction=jurisdiction, utility=utility,
                **lead.job, **recommended(answer, site),
            )
        )  # fmt: skip
        said.append(answer)
    Job.objects.bulk_create(jobs)
    for job, answer in zip(jobs, said, strict=True):
        answer.job = job
    LeadAnswers.objects.bulk_create(said)
    JournalEntry.objects.bulk_create(_lines(leads, jobs, actor, told))
    _standings(jobs)
    return jobs


def _lines(
    leads: Sequence[Lead], jobs: Sequence[Job], actor: Person | None, told: Mapping[str, Any]
) -> Iterable[JournalEntry]:
    for lead, job in zip(leads, jobs, strict=True):
        day = timezone.localdate(job.received_at)
        yield journal.entry(job, actor, "lead_received", day, {"public": actor is None, **told})
        for kind, data in lead.later:
            yield journal.entry(job, actor, kind, None, data)


def _standings(jobs: Sequence[Job]) -> None:
    """What ``refresh`` does, for jobs that nobody else knows of yet."""
    facts = facts_of_many(jobs)
    for job in jobs:
        columns = cache_of(job, facts[job.pk], standing(facts[job.pk]), ())
        Job.objects.filter(pk=job.pk).update(**columns)
        for column, value in columns.items():
            setattr(job, column, value)
    search_terms.index({job.pk: job.search_text for job in jobs})


def recommended(said: LeadAnswers, site: Site) -> dict[str, Any]:
    """Columns of Job: what the answers speak for, with the reasons as they stand now."""
    found = route_kind.recommend(answers.for_route(said, site))
    recommendation = {"reasons": list(found.reasons), "meanings": _plain(found.meanings)}
    return {"recommended_kind": found.kind, "recommendation": recommendation}


def _plain(meanings: Any) -> dict[str, Any]:
    return {
        kind: asdict(meaning) if is_dataclass(meaning) and not isinstance(meaning, type) else meaning
        for kind, meaning in dict(meanings).items()
    }
