"""Loads the demo office: people, authorities and catalogue through the office's actions, then every job's story."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from functools import cache
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from paperwork.demo import households
from paperwork.demo.story import Teller
from projects.actions import office as office_actions
from projects.actions import profiles, staff
from projects.models import Job, OfficeProfile, Person, Role

SIGN_INS = (
    ("olive", "office", "the job list"),
    ("casey", "crew", "what the crew does next"),
    ("winnie", "owner", "the pipeline"),
)
SHOWN_TO_CUSTOMERS = ("Ines Halvorsen", "Imelda Santos")


@cache
def _said() -> dict[str, Any]:
    return households.office()


def password() -> str:
    return _said()["password"]


def office(*, tell: Callable[[str], None]) -> None:
    """Everything of ``fixtures/demo``; ``tell`` hears what is being done."""
    cast = people_and_catalogue(tell=tell)
    everyone = households.households()
    for count, household in enumerate(everyone, start=1):
        cast["count"] = count
        cast["now"] = timezone.now()
        teller = Teller(household, cast, timezone.localdate())
        try:
            job = teller.tell()
        except Exception as problem:
            raise CommandError(f"{household.name}, until {household.until}: {problem}") from problem
        tell(f"  {count:2}/{len(everyone)}  {job.label} {household.name}: {job.get_stage_display().lower()}")


def customer_links(port: int) -> list[str]:
    """Fresh links to two customers' pages (only their hashes are kept, so old ones can't be shown again)."""
    links = []
    clerk = Person.objects.filter(username="olive").first()
    for name in SHOWN_TO_CUSTOMERS:
        job = Job.objects.filter(customer__name=name).first()
        if job and clerk:
            office_actions.revoke_links(job=job, actor=clerk)
            token = office_actions.share_link(job=job, actor=clerk)
            links.append(f"http://127.0.0.1:{port}/status/{token}/")
    return links


def people_and_catalogue(*, tell: Callable[[str], None]) -> dict[str, Any]:
    """The office without any job: who works there, whom it deals with and what it builds in."""
    tell("Loading the demo office: people, authorities, equipment")
    said, today = _said(), timezone.localdate()
    OfficeProfile.objects.update_or_create(pk=1, defaults=said["firm"])
    people = _people(said)
    owner = people["winnie"]
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
    licences = {}
    for row in said["licences"]:
        fields = {key: value for key, value in row.items() if key not in ("holder", "valid_days")}
        expires = today + timedelta(days=row["valid_days"])
        licence = staff.save_licence(actor=owner, holder=people[row["holder"]], expires_on=expires, **fields)
        licences.setdefault(row["trade"], licence)
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
