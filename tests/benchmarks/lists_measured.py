"""The measuring of ``lists``, in a process of its own for each database: one line of JSON per size."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterator
from typing import Any

from django.conf import settings
from django.core.handlers.wsgi import WSGIHandler
from django.core.management import call_command
from django.db import connection, transaction
from django.http import QueryDict
from django.test import Client, RequestFactory
from django.test.utils import CaptureQueriesContext

from projects import queries
from projects.models import Job, Person, Role
from projects.queries.jobs import job_list
from projects.screens.office.filters import JobFilters
from projects.screens.office.jobs import ROWS_PER_PAGE, bus_of
from projects.screens.office.tables import JobRows, JobTable
from tests.benchmarks.many_jobs import many_jobs
from tests.pace import QUIET_MS, slowness

ROUNDS = 12
SORTS = ("number", "household", "route", "next_step", "waiting_on", "due", "received", "price")
STATES = ("all", "open", "in_service", "lost")
LOOKED_FOR = {
    "a rare name": "egretwood lowell",
    "a common name": "harrow",
    "a house": "4 spartina",
    "a phone's end": "5550117",
    "permits of a month": "bld-2024-04",
    "a town that a quarter live in": "marrow",
    "three common words": "kestrel hill lane",
    "nothing": "no such household",
}


def best_ms(work: Callable[[], Any], rounds: int = ROUNDS) -> float:
    taken = []
    for _ in range(rounds):
        begun = time.perf_counter()
        work()
        taken.append((time.perf_counter() - begun) * 1000)
    return min(taken)


def measured(work: Callable[[], Any]) -> tuple[float, int]:
    with CaptureQueriesContext(connection) as taken:
        work()
    return best_ms(work), len(taken)


def a_page(asked: str, page: int) -> list[Job]:
    filters = JobFilters(QueryDict(asked), queryset=job_list(closed_too=True))
    table = JobTable(JobRows(filters), order_by=filters.data.get("sort") or None)
    table.paginate(per_page=ROWS_PER_PAGE, page=page)
    return [row.record for row in table.page.object_list]


def pages_of(asked: str) -> dict[str, int]:
    last = max(1, -(-JobFilters(QueryDict(asked), queryset=Job.objects.all()).count // ROWS_PER_PAGE))
    return {"first": 1, "middle": (last + 1) // 2, "last": last}


def lists() -> Iterator[tuple[str, float, int]]:
    """Of every sort, direction and state the slowest one, by the place of the page."""
    slowest: dict[str, tuple[float, int]] = {}
    for state in STATES:
        places = pages_of(f"state={state}")
        for sort in SORTS:
            for asked in (f"state={state}&sort={sort}", f"state={state}&sort=-{sort}"):
                for place, page in places.items():
                    slowest[place] = max(slowest.get(place, (0.0, 0)), measured(lambda a=asked, p=page: a_page(a, p)))
    for place, (ms, taken) in slowest.items():
        yield f"list, slowest of {len(SORTS) * 2} sorts x {len(STATES)} states: {place} page", ms, taken - 1


def narrowed() -> Iterator[tuple[str, float, int]]:
    job = Job.objects.exclude(assigned_to=None).order_by("-number")[0]
    for name, asked in {
        "stage": "stage=permits",
        "waiting on": "waiting_on=office",
        "kind": "kind=hybrid&state=all",
        "jurisdiction": f"jurisdiction={job.jurisdiction_id}&state=all",
        "looked after by": f"assigned={job.assigned_to_id}&state=all",
        "overdue": "overdue=true",
    }.items():
        worst = max(measured(lambda a=asked, p=page: a_page(f"{a}&sort=price", p)) for page in pages_of(asked).values())
        yield f"list narrowed by {name}, by price, slowest page", worst[0], worst[1] - 1


def search() -> Iterator[tuple[str, float, int]]:
    for name, text in LOOKED_FOR.items():
        ms, taken = measured(lambda t=text: a_page(f"q={t}", 1))
        yield f"search in the list: {name}", ms, taken - 1


def pages() -> Iterator[tuple[str, float, int]]:
    yield "the bus over the list", *measured(lambda: bus_of(QueryDict()))
    yield "pipeline", *measured(queries.pipeline)
    yield "desk", *measured(queries.desk)
    owner = Person.objects.filter(role=Role.OWNER).first() or Person.objects.create(username="owner", role=Role.OWNER)
    client, server = Client(headers={"host": "localhost"}), WSGIHandler()
    client.force_login(owner)
    cookies = "; ".join(f"{name}={morsel.value}" for name, morsel in client.cookies.items())

    def served(address: str, asked: str = "") -> None:
        environ = RequestFactory().get(address, QUERY_STRING=asked, HTTP_COOKIE=cookies, HTTP_HOST="localhost").environ
        said: list[str] = []
        b"".join(server(environ, lambda status, headers: said.append(status)))
        assert said == ["200 OK"], (address, said)

    yield "the whole page of the list, as served", *measured(lambda: served("/jobs/"))
    yield "its last page, all jobs", *measured(lambda: served("/jobs/", "state=all&sort=household&page=99999"))
    yield "the whole pipeline page, as served", *measured(lambda: served("/pipeline/"))


def pace_of_the_machine(when: str) -> Iterator[tuple[str, float, int]]:
    """Without it nobody can tell a slow program from a slow day."""
    yield f"the yardstick {when} ({QUIET_MS:g} on a quiet machine)", QUIET_MS * slowness(), 0


def rows() -> dict[str, tuple[float, int]]:
    found = (
        *pace_of_the_machine("before"),
        *lists(),
        *narrowed(),
        *search(),
        *pages(),
        *pace_of_the_machine("after"),
    )
    return {work: (ms, taken) for work, ms, taken in found}


def measure(sizes: list[int]) -> None:
    settings.DEBUG = False  # as an office's server runs: no record of every query
    call_command("migrate", verbosity=0)
    for size in sorted(sizes):
        with transaction.atomic():
            many_jobs(size - Job.objects.count())
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:  # what the server does by itself in quiet hours
                cursor.execute("VACUUM ANALYZE")
        print(json.dumps([size, rows()]), flush=True)
