"""A large office's job book as rows: copies of jobs that were driven through the actions, so that their standing is
real, with households, places, days and prices of their own. The same ``seed`` gives the same office."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from itertools import islice
from typing import Any

from django.utils import timezone

from projects.actions import search_terms
from projects.actions.standing import search_text
from projects.models import Customer, Job, PaperIssue, Permit, Person, Site
from projects.words import plain
from tests.factories import JurisdictionFactory, PersonFactory, UtilityFactory, job_at

BATCH = 2000
FIRST_NAMES = [
    "Ada",
    "Bo",
    "Cleo",
    "Dov",
    "Edda",
    "Finn",
    "Greta",
    "Hal",
    "Ines",
    "Jory",
    "Kari",
    "Lowell",
    "Mina",
    "Nell",
    "Orla",
    "Piet",
    "Rosa",
    "Sven",
    "Tove",
    "Una",
]
LAST_ROOTS = [
    "Harrow",
    "Lark",
    "Quill",
    "Sedge",
    "Finch",
    "Marsh",
    "Tolliver",
    "Vance",
    "Wick",
    "Yarrow",
    "Bram",
    "Cormor",
    "Dunlin",
    "Egret",
    "Fathom",
]
LAST_ENDS = ["", "s", "son", "ley", "man", "well", "wood", "field", "more", "dale", "ton", "worth", "by", "ford"]
STREETS = [
    "Spartina",
    "Heron",
    "Dune",
    "Cormorant",
    "Reed",
    "Sandpiper",
    "Oyster",
    "Loblolly",
    "Juniper",
    "Tidewater",
    "Piney",
    "Kestrel",
]
WAYS = ["Lane", "Road", "Street", "Court", "Way", "Drive"]
TOWNS = [("Marrow Bay", "28557"), ("Kestrel Hill", "27302"), ("Sedge Point", "28516"), ("Lowfield", "27410")]
MODELS = {
    "done": 70, "lead": 6, "site_assessment": 3, "engineering": 3, "permits": 3, "installation": 2, "inspection": 1,
    "operation": 2,
}  # fmt: skip
"""Stage and share of 90 jobs in a hundred; of all, 8 % were lost and 2 % cancelled."""


def many_jobs(size: int, seed: int = 1) -> None:
    """Adds ``size`` jobs to the book, with their search terms, permit numbers and a paper each."""
    chance = random.Random(seed)
    models = {stage: job_at(stage) for stage in MODELS}
    shared = {
        "people": [PersonFactory(first_name=name) for name in FIRST_NAMES[:8]],
        "jurisdictions": [JurisdictionFactory() for _ in range(12)],
        "utilities": [UtilityFactory() for _ in range(5)],
    }
    number = Job.objects.order_by("-number").values_list("number", flat=True).first() or 0
    stages = chance.choices(list(MODELS), list(MODELS.values()), k=size)
    rows = iter(enumerate(stages, start=number + 1))
    while batch := list(islice(rows, BATCH)):
        _add(batch, models, shared, chance)


def _add(batch: list[tuple[int, str]], models: dict[str, Job], shared: dict[str, Any], chance: random.Random) -> None:
    customers = Customer.objects.bulk_create(_households(len(batch), chance))
    sites = Site.objects.bulk_create(_site(customer, chance) for customer in customers)
    permits: list[tuple[Job, str]] = []
    jobs = []
    for (number, stage), customer, site in zip(batch, customers, sites, strict=True):
        job = _copy(models[stage], shared, chance, number=number, customer=customer, site=site)
        numbers = [f"BLD-{job.received_at:%Y}-{number:06d}"] if stage not in ("lead", "site_assessment") else []
        permits += [(job, each) for each in numbers]
        job.search_text = search_text(job, numbers)
        jobs.append(job)
    Job.objects.bulk_create(jobs)
    Permit.objects.bulk_create(Permit(job=job, kind="building", number=number) for job, number in permits)
    clerk = Person.objects.order_by("pk").first()
    PaperIssue.objects.bulk_create(
        PaperIssue(job=job, kind="first_look", number=f"{job.label}-FL-1", on=job.received_at.date(), issued_by=clerk)
        for job in jobs
    )
    search_terms.index({job.pk: job.search_text for job in jobs})


def _households(count: int, chance: random.Random) -> Iterator[Customer]:
    for _ in range(count):
        first = chance.choice(FIRST_NAMES)
        last = chance.choice(LAST_ROOTS) + chance.choice(LAST_ENDS)
        digits = f"252{chance.randrange(10**7):07d}"
        mail = f"{first}.{last}{chance.randrange(10**4)}@mail.example".lower()
        yield Customer(name=f"{first} {last}", phone=digits, phone_digits=digits, email=mail)


def _site(customer: Customer, chance: random.Random) -> Site:
    town, zip_code = chance.choice(TOWNS)
    street = f"{chance.randrange(1, 9999)} {chance.choice(STREETS)} {chance.choice(WAYS)}"
    return Site(
        customer=customer, street=street, city=town, state="NC", zip_code=zip_code, latitude_deg=34.8,
        longitude_deg=-76.7, time_zone="America/New_York",
    )  # fmt: skip


def _copy(model: Job, shared: dict[str, Any], chance: random.Random, **own: Any) -> Job:
    names = [
        field.attname
        for field in Job._meta.concrete_fields
        if not field.generated and field.attname not in ("id", "number", "customer_id", "site_id", "search_text")
    ]
    job = Job(**{name: getattr(model, name) for name in names}, **own)
    job.household_key = plain(job.customer.name)
    job.received_at = timezone.now() - timedelta(minutes=chance.randrange(60 * 24 * 365 * 8))
    job.jurisdiction = chance.choice(shared["jurisdictions"])
    job.utility = chance.choice(shared["utilities"])
    job.assigned_to = chance.choice([*shared["people"], None])
    job.price_usd = None if chance.random() < 0.2 else Decimal(chance.randrange(800_000, 9_000_000)) / 100
    ended = chance.random()
    if ended < 0.1 and job.stage != "in_service":
        ended = 0.0
    if ended < 0.1:
        lost = chance.random() < 0.8
        job.outcome, job.outcome_reason = ("lost", "They move.") if lost else ("cancelled", "Called off.")
        job.next_step = job.next_key = job.waiting_on = job.waiting_on_name = ""
        job.due_on = job.fresh_until = None
    elif job.next_key:
        job.due_on = timezone.localdate() + timedelta(days=chance.randrange(-30, 60))
        job.stage_since = timezone.localdate() - timedelta(days=chance.randrange(0, 90))
    return job
