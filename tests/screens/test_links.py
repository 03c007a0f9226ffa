"""Every link that a page shows leads to a page: walked from each role's first page, over jobs at every stage."""

from __future__ import annotations

import re
from collections import Counter
from html import unescape

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, resolve
from django.utils import timezone

from projects.actions import claims, service_visits
from projects.models import Stage
from tests.factories import crew_person, job_at, office_person, owner_person
from tests.signing_in import signed_in

LINK = re.compile(r'<a\b[^>]*\bhref="([^"]*)"')
OF_A_KIND = 9
"""Pages of one address pattern that are opened: one for each stage, and some."""
EXCUSED = {("paper-preview", 422), ("paper", 404)}
"""A preview that says what is still missing; and the factories tell of issued papers without making their bytes."""
ROLES = {"office": office_person, "crew": crew_person, "owner": owner_person}


def names(patterns) -> list[str]:
    found = []
    for row in patterns:
        if isinstance(row, URLResolver):
            found += names(row.url_patterns)
        elif isinstance(row, URLPattern) and row.name:
            found.append(row.name)
    return found


def test_no_two_addresses_share_a_name() -> None:
    """Of two, one is never reached: its links lead to the other."""
    again = [name for name, times in Counter(names(get_resolver().url_patterns)).items() if times > 1]
    assert again == []


def walked(client: Client) -> tuple[Counter, list[str]]:
    """How often each address pattern was opened, and what did not answer with a page: "page -> link: status"."""
    seen: Counter = Counter()
    known, queue, broken = {"/"}, [("", "/")], []
    while queue:
        page, link = queue.pop(0)
        answer = client.get(link)
        if answer.status_code in (301, 302):
            queue.append((link, answer["Location"].partition("#")[0]))
            continue
        if (resolve(link.partition("?")[0]).view_name, answer.status_code) in EXCUSED:
            continue
        if answer.status_code != 200:
            broken.append(f"{page} -> {link}: {answer.status_code}")
            continue
        if "html" not in answer.get("Content-Type", ""):
            b"".join(answer) if answer.streaming else answer.content
            continue
        for found in LINK.findall(answer.content.decode()):
            target = unescape(found).partition("#")[0]
            path, _, query = target.partition("?")
            if not path.startswith("/") or path.startswith(("/static/", "//")):
                continue
            name = f"{resolve(path).view_name}{'?' if query else ''}"
            if target in known or seen[name] >= OF_A_KIND:
                continue
            known.add(target)
            seen[name] += 1
            queue.append((link, target))
    return seen, broken


@pytest.mark.django_db
def test_every_link_leads_to_a_page() -> None:
    for stage in Stage:
        job_at(stage.value)
    job = job_at("done", name="Noor Vance")
    told = {"job": job, "actor": office_person(), "on": timezone.localdate()}
    claim = claims.report_claim(**told, warranty=job.warranties.first(), trouble="The display is dark.")
    service_visits.plan_service_visit(**told, claim=claim)
    opened: Counter = Counter()
    for person in ROLES.values():
        seen, broken = walked(signed_in(person()))
        assert broken == [], "\n".join(broken)
        opened += seen
    for name in (
        "job",
        "job-service",
        "crew-job",
        "calendar-day",
        "job-site",
        "job-design",
        "pipeline",
        "record-about",
    ):
        assert opened[name], f"{name} was never reached by a link"
