"""Everything of one job in one place: papers with their issues, pictures, numbers, invoices, letters, contacts."""

from __future__ import annotations

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from paperwork.issue import issue_paper
from paperwork.models import IssuedPaper
from projects.actions import customer_pictures, evidence, financing, intake, permits
from projects.models import (
    Customer,
    CustomerUpload,
    Evidence,
    Invoice,
    Job,
    Licence,
    Message,
    OfficeProfile,
)
from projects.queries.documents import documents_of
from tests.factories import job_at, lead, office_person, photo

pytestmark = pytest.mark.django_db


def address(job: Job) -> str:
    return reverse("job-documents", args=[job.number])


def text(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def page(client: Client, job: Job, **asked: str) -> str:
    answer = client.get(address(job), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def issued(job: Job, kind: str = "checklist") -> IssuedPaper:
    OfficeProfile.objects.get_or_create(pk=1, defaults={"name": "Shoal & Sons", "phone": "(252) 555-0100"})
    return issue_paper(job=job, kind=kind, actor=office_person())


def added(job: Job, kind: str, seed: int, note: str = "") -> Evidence:
    key = f"device-1-photo-{seed}"
    return evidence.add_photo(job=job, actor=office_person(), kind=kind, upload=photo(seed), note=note, key=key)


def test_a_paper_stands_with_its_number_issue_day_person_and_hash(office: Client, job: Job) -> None:
    paper = issued(job)
    shown = page(office, job)
    assert f'href="{reverse("paper", args=[paper.number])}"' in shown
    for words in (paper.number, "Issue 1", office_person().name, f">{paper.sha256[:8]}<"):
        assert words in shown
    assert paper.sha256[:9] not in shown


def test_a_new_issue_says_what_changed_and_folds_the_one_before(office: Client, job: Job) -> None:
    first = issued(job)
    intake.update_address(
        job=job, actor=office_person(), street="9 Plover Row", city="Marrow Bay", state="NC", zip_code="28557"
    )
    second = issued(job)
    assert second.changes, "the address is on the paper"
    shown = page(office, job)
    for words in second.changes:
        assert words.split(":")[0] in shown
    assert "What changed since the issue before: " in shown
    folded = shown.index('<details class="earlier">')
    assert shown.index(second.number) < folded < shown.index(first.number)
    assert "Issue 1, superseded" in shown
    assert f'href="{reverse("paper", args=[first.number])}"' in shown


def test_what_is_found_in_an_earlier_issue_unfolds_it(office: Client, job: Job) -> None:
    first, _ = issued(job), issued(job)
    shown = page(office, job, within=first.number)
    assert '<details class="earlier" open>' in shown
    assert "Nothing differs from the issue before." in shown


def test_photographs_say_who_and_when(office: Client, job: Job) -> None:
    taken = added(job, "panel", 1, "Door open")
    gone = added(job, "roof", 2)
    evidence.remove_photo(job=job, actor=office_person(), evidence_id=gone.pk, reason="Wrong house.")
    shown = page(office, job, kind="pictures")
    assert reverse("photo", args=[taken.pk]) in shown
    assert "Door open" in shown
    assert office_person().name in shown
    assert reverse("photo", args=[gone.pk]) not in shown


def test_what_the_customer_sent_stands_with_what_became_of_it(office: Client, job: Job) -> None:
    actor = office_person()
    ask = customer_pictures.ask_customer(job=job, actor=actor, kind="meter", words="With its number.")
    rows = []
    for seed, why in ((3, ""), (4, "Too dark.")):
        rows.append(
            CustomerUpload.objects.create(
                ask=ask, file=f"jobs/{seed}.jpg", sha256=f"{seed:064d}", refused_because=why,
                decided_at=timezone.now() if why else None, decided_by=actor if why else None,
            )
        )  # fmt: skip
    shown = text(office.get(address(job), {"kind": "pictures"}))
    assert "sent by the customer" in shown
    assert shown.index("Nobody has looked at it yet") < shown.index("Not usable: Too dark.")
    assert reverse("sent-picture", args=[rows[0].pk]) in page(office, job)


def test_permits_stand_with_numbers_days_and_rounds_void_ones_too(office: Client) -> None:
    job = job_at("inspection")
    permit = job.permits.get(kind="building")
    shown = text(office.get(address(job), {"kind": "permits"}))
    for words in (permit.number, f"{permit.issued_on:%-d %b %Y}", "Round 1 submitted", job.jurisdiction.name):
        assert words in shown
    permits.void_permit(
        job=job, actor=office_person(), kind="building", on=timezone.localdate(), reason="The wrong lot."
    )
    assert "The wrong lot." in text(office.get(address(job), {"kind": "permits"}))


def test_the_utilitys_numbers_stand_with_their_days(office: Client) -> None:
    job = job_at("done")
    row = job.interconnection
    type(row).objects.filter(pk=row.pk).update(number="IA-77", permission_number="PTO-88")
    shown = text(office.get(address(job), {"kind": "permits"}))
    for words in ("IA-77", "PTO-88", f"Approved {row.approved_on:%-d %b %Y}", f"{row.permission_on:%-d %b %Y}"):
        assert words in shown


def test_invoices_stand_with_amount_and_day(office: Client, job: Job) -> None:
    today = timezone.localdate()
    Invoice.objects.create(
        job=job, sequence=1, number=f"{job.label}-IN-1", title="Deposit", amount_usd=Decimal("4310.00"),
        issued_on=today, due_on=today + timedelta(days=10), issued_by=office_person(),
    )  # fmt: skip
    shown = text(office.get(address(job), {"kind": "money"}))
    for words in (f"{job.label}-IN-1", "Deposit", "$4,310.00", f"due {today + timedelta(days=10):%-d %b %Y}"):
        assert words in shown


def test_letters_stand_with_address_day_and_words_and_failed_ones_with_why(office: Client, job: Job) -> None:
    Message.objects.filter(job=job).delete()
    common = {"job": job, "kind": "stage", "data": {}}
    Message.objects.create(
        **common, fact="a", status="sent", sent_at=timezone.now(), to_address="nell@mail.example",
        subject="Your project: Permits", text="The plans are with the county.",
    )  # fmt: skip
    Message.objects.create(**common, fact="b", status="failed", subject="Your project", last_error="No such mailbox.")
    shown = text(office.get(address(job), {"kind": "letters"}))
    for words in ("To nell@mail.example", "Your project: Permits", "The plans are with the county.", "No such mailbox"):
        assert words in shown


def test_the_contacts_stand_in_one_block_with_links(office: Client) -> None:
    job = job_at("installation")
    Customer.objects.filter(pk=job.customer_id).update(phone="(252) 555-0177", email="nell@mail.example")
    type(job.jurisdiction).objects.filter(pk=job.jurisdiction_id).update(phone="(555) 010-0200")
    financing.submit_financing(
        job=job, actor=office_person(), on=timezone.localdate(), lender="Pier Bank", reference="PB-3",
        amount_usd=Decimal(20_000), rate_per_year=Decimal("0.075"), months=120,
    )  # fmt: skip
    holder = job.permits.first().submissions.get().licence.holder
    shown = page(office, job, kind="contacts")
    for words in (
        'href="tel:(252) 555-0177"',
        'href="mailto:nell@mail.example"',
        'href="tel:(555) 010-0200"',
        job.utility.name,
        "Pier Bank",
        "Reference PB-3",
        holder.name,
    ):
        assert words in shown
    assert "Issued papers" not in shown


def test_before_a_permit_the_licences_valid_today_are_named(job: Job, office: Client) -> None:
    told = {"state": job.site.state, "holder": office_person(), "trade": Licence.Trade.CONTRACTOR}
    day = timezone.localdate()
    Licence.objects.create(**told, number="L-GOOD", expires_on=day + timedelta(days=9))
    Licence.objects.create(**told, number="L-PAST", expires_on=day - timedelta(days=1))
    shown = page(office, job, kind="contacts")
    assert "L-GOOD" in shown
    assert "L-PAST" not in shown


def test_every_word_must_be_found_whatever_its_accents_and_case(office: Client, job: Job) -> None:
    added(job, "panel", 1, "Señor Núñez’ door")
    added(job, "panel", 2, "Busbar")
    assert "Busbar" not in page(office, job, within="NUNEZ panel")
    assert "door" in page(office, job, within="NUNEZ panel")
    nothing = text(office.get(address(job), {"within": "nunez busbar"}))
    assert "Nothing fits." in nothing


@pytest.mark.parametrize("asked", ["<script>", "\x00", "a" * 5000, "   "])
def test_odd_searches_are_answered(office: Client, job: Job, asked: str) -> None:
    assert "<script>alert" not in page(office, job, within=asked, kind="no such kind")


def test_an_empty_job_says_what_is_missing(office: Client, job: Job) -> None:
    Message.objects.filter(job=job).delete()
    shown = text(office.get(address(job)))
    for words in ("No paper is issued yet.", "No photograph or file yet.", "Nothing is submitted yet.",
                  "Nothing is invoiced yet.", "Nothing was written yet."):  # fmt: skip
        assert words in shown


def test_it_is_the_offices_and_the_owners(
    office: Client, owner: Client, crew: Client, stranger: Client, job: Job
) -> None:
    assert office.get(address(job)).status_code == 200
    assert owner.get(address(job)).status_code == 200
    assert crew.get(address(job)).status_code == 403
    assert stranger.get(address(job)).status_code == 302
    assert office.post(address(job)).status_code == 405
    assert address(job) not in crew.get(reverse("job", args=[job.number])).content.decode()
    assert address(job) in office.get(reverse("job", args=[job.number])).content.decode()


def test_another_jobs_papers_stay_with_the_other_job(office: Client, job: Job) -> None:
    other = lead("hybrid")
    paper = issued(other)
    assert paper.number not in page(office, job)
    assert documents_of(job).kept == {}


def test_it_takes_as_many_queries_for_many_documents_as_for_few(office: Client) -> None:
    job = job_at("inspection")

    def add(times: int, seed: int) -> None:
        for n in range(times):
            issued(job)
            added(job, "roof", seed + n)
            Message.objects.create(job=job, kind="stage", fact=f"f{seed + n}", data={}, subject="Your project")

    def taken() -> int:
        with CaptureQueriesContext(connection) as queries:
            office.get(address(job))
        return len(queries)

    add(1, 10)
    taken()  # what is read once, such as the session, has been read
    few = taken()
    add(5, 30)
    assert taken() == few
    assert few <= 30, few
