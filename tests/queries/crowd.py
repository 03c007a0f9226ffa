"""Many jobs at once, as rows: copies of jobs that were driven through the actions, so that their cache is real."""

from __future__ import annotations

from itertools import cycle, islice

from projects.actions import search_terms
from projects.models import Customer, Job, Site
from tests.factories import job_at

STAGES = ("lead", "site_assessment", "engineering", "permits", "installation", "inspection", "operation", "done")


def crowd(size: int, stages: tuple[str, ...] = STAGES) -> list[Job]:
    """``size`` jobs over the stages; each copy has its own customer and site but no facts of its own."""
    models = [job_at(stage) for stage in stages]
    number = max(job.number for job in models)
    missing = size - len(models)
    if missing <= 0:
        return list(Job.objects.order_by("number"))
    names = [f"Household {i}" for i in range(missing)]
    customers = Customer.objects.bulk_create(
        Customer(name=name, phone=f"252555{i:04d}", phone_digits=f"252555{i:04d}", email=f"h{i}@mail.example")
        for i, name in enumerate(names)
    )
    sites = Site.objects.bulk_create(
        Site(
            customer=customer, street=f"{i} Dune Road", city="Marrow Bay", state="NC", zip_code="28557",
            latitude_deg=34.8, longitude_deg=-76.7, time_zone="America/New_York",
        )
        for i, customer in enumerate(customers)
    )  # fmt: skip
    copies = []
    for i, model in enumerate(islice(cycle(models), missing)):
        columns = {
            field.attname: getattr(model, field.attname)
            for field in Job._meta.concrete_fields
            if not field.generated
            and field.attname not in ("id", "number", "customer_id", "site_id", "search_text", "price_usd")
        }
        number += 1
        text = f"{number:04d}\n{customers[i].name}\n{sites[i].street}\nmarrow bay\n28557\n{customers[i].phone_digits}"
        copies.append(
            Job(
                **columns,
                number=number,
                customer=customers[i],
                site=sites[i],
                search_text=text.lower(),
                price_usd=20_000 + i,
            )
        )
    Job.objects.bulk_create(copies)
    search_terms.index({job.pk: job.search_text for job in copies})
    return list(Job.objects.order_by("number"))
