"""The crew's day and a job in the crew's hands: what is shown, what is recorded, what is refused."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from paperwork.billing import issue_invoice
from projects.actions import claims, inspections, installing, marks, office, service_visits, site
from projects.models import Evidence, Job, JobMark, JournalEntry, OfficeProfile
from tests.factories import crew_person, job_at, lead, office_person, owner_person, photo
from tests.signing_in import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew() -> Client:
    return signed_in(crew_person())


def being_installed(kind: str = "hybrid") -> Job:
    job, today = job_at("installation", kind), timezone.localdate()
    for key in ("equipment_ordered", "equipment_received"):
        marks.record_mark(job=job, key=key, on=today, actor=office_person())
    installing.book_installation(job=job, actor=office_person(), on=today)
    return job


def failed_inspection() -> Job:
    job, today = job_at("inspection"), timezone.localdate()
    booked = inspections.book_inspection(job=job, kind="final", actor=office_person(), on=today)
    inspections.record_inspection(
        inspection=booked, actor=office_person(), result="corrections", on=today, corrections=["Bond it.", "Label it."]
    )
    return job


def text(answer) -> str:
    return answer.content.decode()


def mark(client: Client, job: Job, key: str, **typed):
    return client.post(reverse("crew-mark", args=[job.number]), {"key": key, "on": timezone.localdate(), **typed})


def test_the_day_lists_what_waits_on_the_crew_and_nothing_else(crew):
    mine, theirs = being_installed(), job_at("permits", name="Otto Reeve")
    page = text(crew.get("/crew/"))
    assert mine.customer.name in page
    assert "Start the installation" in page
    assert theirs.customer.name not in page


def test_an_empty_day_says_so(crew):
    lead()
    assert "Nothing waits on the crew" in text(crew.get("/crew/"))


def test_a_visit_of_today_stands_under_today_and_one_of_next_week_under_coming_up(crew):
    today = timezone.localdate()
    for name, days in (("Nora Today", 0), ("Wes Later", 6)):
        job = job_at("site_assessment", name=name, email=f"{days}@mail.example", street=f"{days} Elm")
        site.book_visit(job=job, actor=office_person(), on=today + timezone.timedelta(days=days))
    page = text(crew.get("/crew/"))
    assert page.index("Today") < page.index("Nora Today") < page.index("Coming up") < page.index("Wes Later")


def test_office_and_owner_may_look_strangers_and_licence_holders_may_not():
    job = being_installed()
    address = reverse("crew-job", args=[job.number])
    assert signed_in(office_person()).get(address).status_code == 200
    assert signed_in(owner_person()).get(address).status_code == 200
    assert Client().get(address).url.startswith(reverse("sign-in"))
    holder = job.permits.first().submissions.first().licence.holder
    assert signed_in(holder).get(address).status_code == 403


def test_a_job_that_is_not_there_is_not_found(crew):
    assert crew.get("/crew/99999/").status_code == 404
    assert crew.post("/crew/99999/mark/", {"key": "labels"}).status_code == 404


@pytest.mark.parametrize("name", ["crew-mark", "crew-fix", "crew-photo"])
def test_looking_changes_nothing(crew, name):
    assert crew.get(reverse(name, args=[being_installed().number])).status_code == 405


def test_before_the_permits_the_page_says_not_to_start(crew):
    job = job_at("permits")
    page = text(crew.get(reverse("crew-job", args=[job.number])))
    assert "start the installation" in page
    assert "building permit" in page.lower()


def test_a_mark_is_recorded_with_its_day_and_note(crew):
    job = being_installed()
    answer = mark(crew, job, "install_started", note="Rain after three")
    assert answer.url == reverse("crew-job", args=[job.number])
    kept = JobMark.objects.get(job=job, key="install_started")
    assert (kept.on, kept.note, kept.recorded_by) == (timezone.localdate(), "Rain after three", crew_person())


def test_dangerous_work_comes_with_its_caution(crew):
    job = being_installed()
    mark(crew, job, "install_started")
    page = text(crew.get(reverse("crew-job", args=[job.number])))
    assert "fall protection" in page
    assert "DC arcs" in page


def test_a_day_in_the_future_is_refused_and_what_was_typed_stays(crew):
    job = being_installed()
    tomorrow = timezone.localdate() + timezone.timedelta(days=1)
    answer = mark(crew, job, "install_started", on=tomorrow, note="<b>Ladder</b> & 'rope'")
    assert answer.status_code == 422
    assert f'value="{tomorrow.isoformat()}"' in text(answer)
    assert "&lt;b&gt;Ladder&lt;/b&gt; &amp; &#x27;rope&#x27;" in text(answer)
    assert not JobMark.objects.filter(job=job, key="install_started").exists()


def test_starting_without_permits_is_refused(crew):
    job = job_at("permits")
    answer = mark(crew, job, "install_started")
    assert answer.status_code == 422
    assert "<h2>Not recorded</h2>" in text(answer)
    assert not JobMark.objects.filter(job=job, key="install_started").exists()


def test_who_comes_second_is_told_that_it_is_recorded_already(crew):
    job = being_installed()
    mark(crew, job, "install_started")
    answer = mark(crew, job, "install_started")
    assert answer.status_code == 422
    assert "<h2>Not recorded</h2>" in text(answer)
    assert JobMark.objects.filter(job=job, key="install_started").count() == 1


@pytest.mark.parametrize("key", ["contract_signed", "go_ahead", "warranty_registered"])
def test_what_is_the_offices_to_record_is_refused(crew, key):
    job = being_installed()
    before = JournalEntry.objects.count()
    assert mark(crew, job, key).status_code == 403
    assert JournalEntry.objects.count() == before


@pytest.mark.parametrize("key", ["", "nonsense", "permits_hold", "'; DROP TABLE", "x" * 5000])
def test_a_key_that_does_not_exist_is_refused_in_words(crew, key):
    job = being_installed()
    answer = mark(crew, job, key)
    assert answer.status_code == 422
    assert "<h2>Not recorded</h2>" in text(answer)


def test_each_correction_is_fixed_by_itself(crew):
    job = failed_inspection()
    page = text(crew.get(reverse("crew-job", args=[job.number])))
    assert "Bond it." in page
    assert "Label it." in page
    correction = job.inspections.get().corrections.first()
    address = reverse("crew-fix", args=[job.number])
    crew.post(address, {"correction": correction.pk, "on": timezone.localdate(), "note": "Done"})
    correction.refresh_from_db()
    assert (correction.fixed_on, correction.fixed_by) == (timezone.localdate(), crew_person())
    assert "Bond it." not in text(crew.get(reverse("crew-job", args=[job.number])))


def test_another_jobs_correction_can_not_be_fixed_from_here(crew):
    failed, other = failed_inspection(), being_installed()
    correction = failed.inspections.get().corrections.first()
    address = reverse("crew-fix", args=[other.number])
    assert crew.post(address, {"correction": correction.pk, "on": timezone.localdate()}).status_code == 404
    correction.refresh_from_db()
    assert correction.fixed_on is None


def test_a_fix_dated_before_the_inspection_keeps_its_words(crew):
    job = failed_inspection()
    correction = job.inspections.get().corrections.first()
    address = reverse("crew-fix", args=[job.number])
    answer = crew.post(address, {"correction": correction.pk, "on": "2001-01-01", "note": "Long ago"})
    assert answer.status_code == 422
    assert "Long ago" in text(answer)


@pytest.mark.parametrize("number", ["", "abc", "9" * 30])
def test_a_correction_without_a_sensible_number_is_refused(crew, number):
    answer = crew.post(reverse("crew-fix", args=[failed_inspection().number]), {"correction": number, "on": "x"})
    assert answer.status_code in (404, 422)


def test_a_photograph_is_kept_without_what_its_file_said_besides(crew):
    job = being_installed()
    answer = crew.post(reverse("crew-photo", args=[job.number]), {"kind": "array", "photo": photo(3)})
    assert answer.status_code == 302
    assert Evidence.objects.filter(job=job, kind="array").count() == 1


def test_the_same_photograph_sent_twice_by_one_tablet_is_kept_once(crew):
    job = being_installed()
    for _ in range(2):
        typed = {"kind": "array", "photo": photo(3), "client_key": "tablet-7-0001"}
        assert crew.post(reverse("crew-photo", args=[job.number]), typed).status_code == 302
    assert Evidence.objects.filter(job=job, kind="array").count() == 1


@pytest.mark.parametrize(
    "upload",
    [
        SimpleUploadedFile("roof.jpg", b"not a picture", content_type="image/jpeg"),
        SimpleUploadedFile("roof.svg", b"<svg onload='alert(1)'/>", content_type="image/svg+xml"),
        SimpleUploadedFile("empty.jpg", b"", content_type="image/jpeg"),
        "",
    ],
)
def test_what_is_no_picture_is_refused_and_the_choice_stays(crew, upload):
    job = being_installed()
    answer = crew.post(reverse("crew-photo", args=[job.number]), {"kind": "inverter", "photo": upload})
    assert answer.status_code == 422
    assert '<option value="inverter" selected>' in text(answer)
    assert not Evidence.objects.filter(job=job, kind="inverter").exists()


def test_prices_never_show_on_the_crews_pages(crew):
    job = being_installed()
    office.set_price(job=job, actor=office_person(), price_usd=45678)
    for address in ("/crew/", reverse("crew-job", args=[job.number])):
        page = text(crew.get(address))
        assert "45,678" not in page
        assert "45678" not in page
        assert "Saved a month" not in page


def test_what_customers_and_inspectors_wrote_is_shown_as_text(crew):
    job = being_installed()
    job.customer.name = "<script>alert(1)</script>"
    job.customer.save()
    for address in ("/crew/", reverse("crew-job", args=[job.number])):
        page = text(crew.get(address))
        assert "<script>alert" not in page
        assert "&lt;script&gt;alert(1)" in page


def test_a_service_visit_says_what_for_and_leads_to_its_record(crew):
    job, today = job_at("done"), timezone.localdate()
    claim = claims.report_claim(
        job=job, actor=office_person(), on=today, warranty=job.warranties.first(), trouble="The display <is> dark."
    )
    visit = service_visits.plan_service_visit(job=job, actor=office_person(), claim=claim, on=today)
    page = text(crew.get(reverse("crew-job", args=[job.number])))
    assert claim.covers in page
    assert "The display &lt;is&gt; dark." in page
    address = reverse("record-about", args=[job.number, "service-visit-made", visit.pk])
    assert address in page
    crew.post(address, {"on": today, "found": "A loose plug."})
    visit.refresh_from_db()
    assert (visit.done_on, visit.found) == (today, "A loose plug.")
    assert address not in text(crew.get(reverse("crew-job", args=[job.number])))


def test_the_job_page_lists_no_invoice_to_the_crew(crew):
    OfficeProfile.objects.create(pk=1, name="Shoal & Sons", phone="(252) 555-0100", email="office@shoal.example")
    job = office.set_price(job=job_at("permits"), actor=office_person(), price_usd=Decimal(30_000))
    paper = issue_invoice(job=job, part=1, actor=office_person())
    address = reverse("job", args=[job.number])
    opened = reverse("paper", args=[paper.number])
    assert opened in text(signed_in(office_person()).get(address))
    assert opened not in text(crew.get(address))
