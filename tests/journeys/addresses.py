"""Every address of the program that answers with a page, found in the address lists themselves: a new page is
looked at without being named here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from django.core import signing
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from paperwork.issue import issue_paper
from projects.actions import (
    crews,
    importing,
    inspections,
    interconnection,
    invoicing,
    office,
    permits,
    searching,
    site,
    weather,
)
from projects.mail.letters import STOP_SALT
from projects.models import Invoice, Job, LeadImport, OfficeProfile, Person, WeatherFile
from projects.screens.office.facts import FACTS
from sizing.climate.shelf import bundled
from tests.factories import Story, crew_person, job_at, lead, office_person, owner_person
from tests.screens.office_a import rows
from tests.signing_in import signed_in

AT_EVERY_STAGE = ("job", "crew-job")
"""Pages that look different at each stage are opened for every job; the others for the one in plan review."""

NO_PAGE = {
    *("desk-back", "job-load-remove", "job-obstruction-remove", "job-plane-remove", "photo-remove"),  # only posted to
    "job-search-take",  # only posted to
    *("calendar-cancel", "calendar-undo", "crew-days-off", "calendar-address-end", "message-act"),  # only posted to
    *("import-in", "import-discard", "job-incentive-withdraw", "send-picture"),  # only posted to
    *("calendar-file", "import-left-out"),  # files
    *("paper-by-link", "paper-preview", "photo", "sent-picture"),  # files
    *("search-progress", "study-progress"),  # parts of a page
}
"""Addresses with arguments of their own that answer with no page. Any other needs a sample below."""


@dataclass
class Seeded:
    jobs: dict[str, Job]
    samples: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    """Arguments by address name, where the job's number doesn't do."""


def seed() -> Seeded:
    """A small office: a job in plan review with two comments, one with a failed inspection, one off the grid and done,
    one being assessed, one to be installed, and a new lead with long words."""
    today, actor = timezone.localdate(), office_person()
    OfficeProfile.objects.create(pk=1, name="Shoal & Sons", phone="(252) 555-0100", email="office@shoal.example")
    review = job_at("permits", real_study=True)
    story = Story(review, "hybrid")
    story.day = today - timedelta(days=5)
    story.submit("building")
    permits.record_corrections(job=review, kind="building", actor=actor, on=today, comments=["Show X.", "Show Y."])
    interconnection.submit_application(job=review, actor=actor, on=today)
    interconnection.record_utility_request(job=review, actor=actor, on=today, text="A photo of the meter.")
    issue_paper(job=review, kind="checklist", actor=actor)
    searching.start_search(job=review, actor=actor, bill_offset=0.2, ride_through_share=0.5)
    failed = job_at("inspection", "grid_tied")
    booked = inspections.book_inspection(job=failed, kind="final", actor=actor, on=today)
    inspections.record_inspection(
        inspection=booked, actor=actor, result="corrections", on=today, corrections=["Bond the rail.", "Label it."]
    )
    visited = job_at("site_assessment")
    site.book_visit(job=visited, actor=actor, on=today)
    installing = job_at("installation")
    done = job_at("done", "off_grid")
    new = lead(name="W" * 60, street="Unbroken" * 12)
    for person in (crew_person(), owner_person()):
        assert person.is_active
    jobs = {"review": review, "failed": failed, "visited": visited, "installing": installing, "done": done, "new": new}
    return Seeded(jobs, _samples(review, failed, actor))


def _samples(review: Job, failed: Job, actor: Person) -> dict[str, list[dict[str, Any]]]:
    number, plane = review.number, review.site.roof_planes.get()
    obstruction = site.save_obstruction(
        job=review, actor=actor, kind="tree", bearing_deg=150.0, distance_m=15.0, height_m=9.0, width_m=6.0
    )
    comment = review.permits.get().submissions.get().comments.first()
    request = review.interconnection.requests.get()
    final = failed.inspections.get()
    about = {
        "mark": [(review, "structural_letter")],
        "comment-answer": [(review, comment.pk)],
        "utility-answer": [(review, request.pk)],
        "inspection-booked": [(review, "final")],
        "inspection-result": [(failed, final.pk)],
        "inspection-cancelled": [(failed, final.pk)],
        "correction-fixed": [(failed, final.corrections.first().pk)],
        "waive": [(review, "contractor_review")],
        "withdraw": [(review, "contract_signed")],
        **{name: [(review, "building")] for name in FACTS if name.startswith("permit-")},
    }
    kinds = ("jurisdictions", "utilities", "people", "licences", "modules", "inverters", "batteries", "generators")
    every, rows_of = rows.job_with_every_row()
    about |= {name: [(every, pk)] for name, pk in rows_of.items()}
    about["reading"] = [(every, f"{timezone.localdate():%Y-%m}")]
    return {
        "record": [{"number": number, "fact": name} for name in FACTS if name not in about],
        "record-about": [
            {"number": job.number, "fact": name, "subject": subject}
            for name, pairs in about.items()
            for job, subject in pairs
        ],
        "job-plane": [{"number": number, "pk": plane.pk}],
        "job-obstruction": [{"number": number, "pk": obstruction.pk}],
        "job-load": [{"number": number, "pk": review.load_lines.first().pk}],
        "office-new": [{"noun": noun} for noun in kinds],
        "office-equipment-list": [{"noun": "modules"}, {"noun": "inverters"}],
        "office-edit": [
            {"noun": "people", "pk": actor.pk},
            {"noun": "jurisdictions", "pk": review.jurisdiction_id},
            {"noun": "utilities", "pk": review.utility_id},
        ],
        "status": [{"token": office.share_link(job=job, actor=actor)} for job in (review, failed)]
        + [{"token": "a-link-that-ended"}],
        "mail-stop": [{"token": signing.dumps(review.pk, salt=STOP_SALT)}],
        "office-closures": [{"pk": review.jurisdiction_id}],
        "calendar-day": [
            {"number": review.number, "kind": "installation"},
            {"number": failed.number, "kind": "final"},
        ],
        "crew-edit": [{"pk": crews.save_crew(actor=actor, name="North", members=[crew_person()]).pk}],
        "invoice-new": [{"number": every.number, "part": 1}],
        "credit-note-new": [{"number": every.number, "pk": _invoice(every, actor).pk}],
        "import": [{"pk": batch.pk} for batch in _imports(actor)],
        "office-prices": [{"pk": review.utility_id}],
        "weather-retire": [{"pk": _shelved(actor).pk}],
    }


def _invoice(job: Job, actor: Person) -> Invoice:
    return invoicing.record_invoice(job=job, actor=actor, part=2)


def _imports(actor: Person) -> Iterator[LeadImport]:
    """A file whose columns are asked for, one that was tried with a bad row, and one that came in."""
    data = b"Name,Phone,Street,ZIP\nAda Tern,252 555 0101,1 Reed Row,28557\nBo Wren,12,2 Reed Row,28557\n"
    columns = {0: "name", 1: "phone", 2: "street", 3: "zip_code"}
    for steps in range(3):
        batch = importing.begin_import(actor=actor, data=data, filename=f"old list {steps}.csv")
        if steps:
            importing.try_import(actor=actor, lead_import=batch, columns=columns)
        if steps > 1:
            importing.bring_in(actor=actor, lead_import=batch)
        yield batch


def _shelved(actor: Person) -> WeatherFile:
    year = bundled()[0].path
    upload = SimpleUploadedFile(year.name, year.read_bytes())
    return weather.add_weather_file(actor=actor, upload=upload, source="The publisher, an edition of long ago")


def patterns(found: Any = None) -> Iterator[URLPattern]:
    for entry in (found or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from patterns(entry)
        elif entry.name:
            yield entry


def unsampled(seeded: Seeded) -> set[str]:
    """Names of addresses that nothing here knows how to fill in."""
    return {
        pattern.name
        for pattern in patterns()
        if set(pattern.pattern.converters) not in ({"number"}, set()) and pattern.name not in seeded.samples
    }


def addresses(seeded: Seeded) -> list[str]:
    """Of everything with a name that takes nothing, a job's number, or what the samples above say."""
    found = []
    for pattern in patterns():
        name, wanted = pattern.name, set(pattern.pattern.converters)
        if name in seeded.samples:
            arguments = seeded.samples[name]
        elif wanted == {"number"}:
            jobs = seeded.jobs if name in AT_EVERY_STAGE else {"review": seeded.jobs["review"]}
            arguments = [{"number": job.number} for job in jobs.values()]
        else:
            arguments = [{}] if not wanted else []
        found += [reverse(name, kwargs=given) for given in arguments]
    return found


def pages(seeded: Seeded, person: Person | None) -> list[str]:
    """The addresses that answer this person with a page: no refusal, no fragment, no file, no redirect."""
    client = signed_in(person)
    found = []
    for address in addresses(seeded):
        answer = client.get(address)
        html = answer.headers.get("content-type", "").startswith("text/html")
        ended = answer.status_code == 404 and address.startswith("/status/")
        if html and (answer.status_code == 200 or ended) and b"<html" in answer.content:
            found.append(address)
    return found
