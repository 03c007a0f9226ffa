"""The job's money sheet: what can be invoiced now."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from projects.models import Job
from projects.queries.money import job_money
from tests.factories import job_at

pytestmark = pytest.mark.django_db


def test_all_that_is_due_at_once_is_told_together(office):
    job = job_at("done")
    Job.objects.filter(pk=job.pk).update(price_usd=Decimal(31_400))
    job.refresh_from_db()
    due = job_money(job).due
    assert len(due) > 1 and sum(part.amount_usd for part in due) == Decimal(31_400)
    page = office.get(reverse("job-money", args=[job.number])).content.decode()
    head = re.sub(r"<[^>]+>|\s+", " ", page.partition("to invoice now")[2].partition("Parts of the price")[0])
    assert "$31,400.00" in head
    assert all(part.title in head for part in due)
