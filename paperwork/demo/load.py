"""Loads the demo office: people, authorities and catalogue through the office's actions, then every job's story."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from datetime import timedelta
from decimal import Decimal
from functools import cache
from typing import Any

from django.core.management.base import CommandError
from django.db import connections
from django.utils import timezone

from paperwork.demo import households, imported
from paperwork.demo.clock import weekday
from paperwork.demo.story import Teller
from paperwork.demo.terms import schedule
from paperwork.demo.turns import Turn, Wanted, turns
from paperwork.demo.workers import ready as worker_ready
from projects.actions import crews, outbox, payment_terms, profiles, staff
from projects.actions.engagements import crews as known_crews
from projects.models import Job, Jurisdiction, Licence, OfficeProfile, Person, Role, Utility

SIGN_INS = (
    ("olive", "office", "the desk"),
    ("casey", "crew", "what the crew does next"),
    ("winnie", "owner", "the pipeline"),
)


@cache
def _said() -> dict[str, Any]:
    return households.office()


def password() -> str:
    return _said()["password"]


def office(*, tell: Callable[[str], None], workers: int = 1) -> None:
    """Everything of ``fixtures/demo``; ``tell`` hears what is being done.

    With several ``workers`` the jobs' stories are told side by side, each in a process of its own: drawing and
    typesetting papers takes most of the time.
    """
    cast = people_and_catalogue(tell=tell)
    everyone = households.households()
    tell(f"Taking in {len(everyone)} leads, then telling each job's story with its studies and papers")
    begun = []
    for count, household in enumerate(everyone, start=1):
        cast["count"] = count
        begun.append((count, Teller(household, _now(cast), timezone.localdate()).begin().pk))
    # What ended long ago is told first: the latest rows of the book are then the latest in time.
    begun.sort(key=lambda task: -everyone[task[0] - 1].rested_days)
    for done, line in enumerate(_told(begun, workers), start=1):
        tell(f"  {done:2}/{len(everyone)}  {line}")
    with outbox.nobody_woken():
        imported.home_show(actor=cast["people"]["olive"], today=timezone.localdate())


def _now(cast: dict[str, Any]) -> dict[str, Any]:
    return cast | {"now": timezone.now()}


def _told(begun: list[tuple[int, int]], workers: int) -> Iterator[str]:
    if workers < 2:
        yield from (_go_on(task) for task in begun)
        return
    connections.close_all()  # a connection must not be shared with another process
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=context, initializer=worker_ready) as pool:
        try:
            for told in as_completed([pool.submit(_go_on, task) for task in begun]):
                yield told.result()
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)  # the rest would be told for nothing
            raise


def _go_on(task: tuple[int, int]) -> str:
    count, pk = task
    household = households.households()[count - 1]
    teller = Teller(household, _now(_cast_of_the_book()), timezone.localdate())
    teller.cast["turns"] = _turns()
    teller.job = Job.objects.get(pk=pk)
    try:
        with outbox.nobody_woken():
            job = teller.go_on()
    except Exception as problem:
        raise CommandError(f"{household.name}, until {household.until}: {problem}") from problem
    return f"{job.label} {household.name}: {job.get_stage_display().lower()}"


@cache
def _turns() -> dict[Wanted, Turn]:
    cast, today = _now(_cast_of_the_book()), timezone.localdate()
    wanted = [row for household in households.households() for row in Teller(household, cast, today).wanted()]
    return turns(wanted, _said()["crews"])


@cache
def _cast_of_the_book() -> dict[str, Any]:
    """Whom and what the stories name, as the job book has them."""
    return {
        "people": {person.username: person for person in Person.objects.all()},
        "licences": {row.trade: row for row in Licence.objects.order_by("-pk")},
        "jurisdictions": {row.name: row for row in Jurisdiction.objects.all()},
        "utilities": {row.name: row for row in Utility.objects.all()},
        "towns": _said()["towns"],
        "terms": _said()["payment_terms"],
        "crews": {row.name: row for row in known_crews()},
    }


def people_and_catalogue(*, tell: Callable[[str], None]) -> dict[str, Any]:
    """The office without any job: who works there, whom it deals with and what it builds in."""
    tell("Loading the demo office: people, authorities, equipment")
    said, today = _said(), timezone.localdate()
    OfficeProfile.objects.update_or_create(pk=1, defaults=said["firm"])
    people = _people(said)
    owner = people["winnie"]
    terms = said["payment_terms"]
    payment_terms.save_payment_terms(
        actor=owner,
        lines=schedule(terms["parts"]),
        payment_days=terms["payment_days"],
        labor_usd_per_hour=Decimal(terms["labor_usd_per_hour"]),
    )
    jurisdictions = {}
    for row in said["jurisdictions"]:
        fields = {key: value for key, value in row.items() if key != "closures"}
        for key in ("building_fee_usd", "electrical_fee_usd"):
            fields[key] = Decimal(fields[key])
        profile = profiles.save_jurisdiction(actor=owner, **fields)
        for closure in row.get("closures", ()):
            day = today + timedelta(days=closure["in_days"])
            profiles.add_closure(actor=owner, jurisdiction=profile, on=day, reason=closure["reason"])
        jurisdictions[row["name"]] = profile
    utilities = {}
    for row in said["utilities"]:
        fields = {key: Decimal(value) if key.endswith(("_kwh", "_month")) else value for key, value in row.items()}
        utilities[row["name"]] = profiles.save_utility(actor=owner, **fields)
    _crews(said, people)
    licences = {}
    for row in said["licences"]:
        fields = {key: value for key, value in row.items() if key not in ("holder", "valid_days")}
        expires = today + timedelta(days=row["valid_days"])
        licence = staff.save_licence(actor=owner, holder=people[row["holder"]], expires_on=expires, **fields)
        licences.setdefault(row["trade"], licence)
    _insure(said, owner)
    for kind, rows in (
        ("module", said["modules"]),
        ("inverter", said["inverters"]),
        ("battery", said["batteries"]),
        ("generator", said["generators"]),
    ):
        for row in rows:
            staff.save_equipment(actor=owner, catalogue=kind, **{**row, "price_usd": Decimal(row["price_usd"])})
    return {
        "people": people,
        "licences": licences,
        "jurisdictions": jurisdictions,
        "utilities": utilities,
        "towns": said["towns"],
    }


def _insure(said: dict[str, Any], owner: Person) -> None:
    """A policy a year, back beyond the first job's permits."""
    for row in said["insurance"]:
        for year in range(row["years"]):
            starts = timezone.localdate() - timedelta(days=row["began_days_ago"] + 365 * year)
            staff.save_insurance(
                actor=owner,
                **{key: row[key] for key in ("kind", "insurer", "number")},
                starts_on=starts,
                expires_on=starts + timedelta(days=364),
            )


def _crews(said: dict[str, Any], people: dict[str, Person]) -> None:
    for row in said["crews"]:
        fields = {key: row[key] for key in ("name", "working_days", "jobs_per_day")}
        crew = crews.save_crew(actor=people["winnie"], members=[people[name] for name in row["members"]], **fields)
        for off in row.get("days_off", ()):
            on = weekday(timezone.localdate() + timedelta(days=off["in_days"]))
            crews.add_day_off(actor=people["winnie"], crew=crew, on=on, reason=off["reason"])


def _people(said: dict[str, Any]) -> dict[str, Person]:
    """The owner first: only somebody with the owner's role may add the others."""
    rows = sorted(said["people"], key=lambda row: row["role"] != Role.OWNER)
    found: dict[str, Person] = {}
    for row in rows:
        if not found:
            found[row["username"]] = Person.objects.create_user(password=said["password"], **row)
            continue
        secret = said["password"] if row["role"] != Role.LICENCE_HOLDER else None
        found[row["username"]] = staff.save_person(actor=next(iter(found.values())), password=secret, **row)
    return found
