"""The customer's page: reached by a link, about one job, in the customer's language; and nothing for anybody else."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from paperwork.issue import issue_paper
from projects.actions import closing, installing, interconnection, marks, office, papers, site
from projects.models import Job, JournalEntry, OfficeProfile
from projects.screens.customer.words import CUSTOMER_STEPS, PAGE, PERMITS, STAGES, WAITING
from tests.factories import job_at, lead, office_person

pytestmark = pytest.mark.django_db

OTHER = {"name": "Zora Quist", "email": "zora@mail.example", "phone": "(252) 555-0999", "street": "77 Hidden Way"}


def link(job: Job) -> str:
    return f"/status/{office.share_link(job=job, actor=office_person())}/"


def page(job: Job, address: str = "") -> str:
    answer = Client().get(address or link(job))
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", answer.content.decode())


def in_spanish(job: Job) -> Job:
    job.customer.preferred_language = "es"
    job.customer.save()
    return job


def test_it_says_where_the_project_stands_and_what_is_needed():
    job = job_at("permits")
    shown = page(job)
    assert "Where it stands: Permits" in shown
    assert "Nothing at the moment" in shown
    assert "We are working on it in the office." in shown


def test_what_the_customer_has_to_do_is_asked_for():
    job = lead("grid_tied", yearly_kwh=None)
    assert CUSTOMER_STEPS["en"]["answers"].split(" and ")[0] not in page(job_at("permits"))
    interconnecting = job_at("interconnection")
    today = timezone.localdate()
    interconnection.submit_application(job=interconnecting, actor=office_person(), on=today)
    interconnection.approve_interconnection(job=interconnecting, actor=office_person(), on=today)
    assert "Sign the utility&#x27;s interconnection agreement" in page(interconnecting)
    assert job.number


def test_the_first_look_is_the_customers_once_it_is_sent():
    job = lead()
    assert "send you one page" in page(job)
    from projects.actions import intake

    intake.decide_system_type(job=job, kind="hybrid", actor=office_person())
    papers.record_paper_issued(
        job=job, actor=office_person(), kind="first_look", on=timezone.localdate(), number="FL", design_fingerprint=""
    )
    shown = page(job)
    assert "The first-look report is with you" in shown
    assert "tell us whether you want to go ahead" in shown
    assert "The next step is yours." in shown


def test_visits_and_installations_are_announced_until_they_are_past():
    job, today = job_at("site_assessment"), timezone.localdate()
    site.book_visit(job=job, actor=office_person(), on=today + timedelta(days=3))
    assert "Our visit is on" in page(job)
    installation = job_at("installation")
    for key in ("equipment_ordered", "equipment_received"):
        marks.record_mark(job=installation, key=key, on=today, actor=office_person())
    installing.book_installation(job=installation, actor=office_person(), on=today)
    shown = page(installation)
    assert "The installation is planned for" in shown
    assert "Our visit is on" not in shown


@pytest.mark.parametrize("stage", ["installation", "inspection", "interconnection", "operation"])
def test_while_it_must_stay_off_the_page_says_so(stage):
    assert "must stay off until inspection and utility have said yes" in page(job_at(stage))


def test_in_service_nothing_is_said_to_stay_off():
    shown = page(job_at("done"))
    assert "Where it stands: In service" in shown
    assert "must stay off" not in shown


def test_off_the_grid_nobody_has_to_permit_operation():
    job = job_at("operation", "off_grid")
    shown = page(job)
    assert "Where it stands: Ready to operate" in shown
    assert "Utility connection" not in shown


def test_a_closed_project_says_only_that():
    job = job_at("permits")
    closing.close_job(job=job, actor=office_person(), outcome="cancelled", reason="Quarrel over the price")
    shown = page(job)
    assert "This project is closed" in shown
    assert "Quarrel" not in shown


def test_the_spanish_page_is_spanish_throughout():
    shown = page(in_spanish(job_at("permits")))
    assert '<html lang="es">' in shown
    assert "En qué punto está: Permisos" in shown
    for english in (STAGES["en"]["engineering"].title, "Site assessment", "In service", "Building permit", " done<"):
        assert english not in shown, english
    assert PERMITS["es"]["building"] in shown


def test_every_word_of_the_page_exists_in_both_languages():
    for words in (PAGE, STAGES, CUSTOMER_STEPS, WAITING, PERMITS):
        assert words["en"].keys() == words["es"].keys()


@pytest.mark.parametrize("kind", ["hybrid", "grid_tied", "off_grid"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_stage_of_every_kind_can_be_read(kind, language):
    for stage in ("site_assessment", "engineering", "permits", "installation", "inspection", "operation", "done"):
        job = job_at(stage, kind)
        if language == "es":
            in_spanish(job)
        assert STAGES[language]["lead"].title in page(job)


@pytest.mark.parametrize("token", ["wrong", "..", "%00", "a" * 300, "<script>", "' OR 1=1 --", "ñ"])
def test_an_unknown_link_shows_nothing_of_any_job(token):
    job = job_at("permits")
    answer = Client().get(f"/status/{token}/")
    assert answer.status_code == 404
    assert job.customer.name not in answer.content.decode()


def test_an_ended_link_and_a_revoked_one_say_so_in_both_languages():
    ended, revoked = job_at("permits"), job_at("permits")
    addresses = [link(ended), link(revoked)]
    ended.customer_links.update(expires_at=timezone.now())
    office.revoke_links(job=revoked, actor=office_person())
    for address in addresses:
        answer = Client().get(address)
        assert answer.status_code == 404
        shown = answer.content.decode()
        assert "This link no longer works" in shown
        assert '<section class="part" lang="es">' in shown
        assert ended.customer.name not in shown


def test_one_customers_link_shows_nothing_of_another_job():
    other = job_at("permits", **OTHER)
    shown = page(job_at("permits"))
    for secret in (*OTHER.values(), other.label):
        assert secret not in shown


def test_offices_own_notes_and_prices_stay_in_the_office():
    job = job_at("permits", note="Difficult neighbour")
    office.set_price(job=job, actor=office_person(), price_usd=45_678)
    shown = page(job)
    for secret in ("Difficult", "45,678", "45678", job.customer.phone, job.customer.email):
        assert secret not in shown


def test_opening_the_link_changes_nothing_and_nothing_can_be_posted_to_it():
    job = job_at("permits")
    address = link(job)
    before = JournalEntry.objects.count()
    Client().get(address)
    assert JournalEntry.objects.count() == before
    assert Client().post(address).status_code == 405


def test_the_address_is_kept_from_caches_search_engines_and_other_sites():
    answer = Client().get(link(job_at("permits")))
    assert answer["Referrer-Policy"] == "no-referrer"
    assert answer["X-Robots-Tag"] == "noindex"
    assert "no-store" in answer["Cache-Control"]
    assert "frame-ancestors 'none'" in answer["Content-Security-Policy"]


def test_papers_of_the_job_open_by_the_link_and_no_other_jobs_papers_do():
    OfficeProfile.objects.create(pk=1, name="Shoal & Sons", phone="(252) 555-0100")
    mine, other = job_at("permits"), job_at("permits", **OTHER)
    numbers = [issue_paper(job=job, kind="checklist", actor=office_person()).number for job in (mine, other)]
    address = link(mine)
    assert numbers[0] in page(mine, address)
    token = address.split("/")[2]
    assert Client().get(f"/papers/by-link/{token}/{numbers[0]}/")["Content-Type"] == "application/pdf"
    assert Client().get(f"/papers/by-link/{token}/{numbers[1]}/").status_code == 404
    office.revoke_links(job=mine, actor=office_person())
    assert Client().get(f"/papers/by-link/{token}/{numbers[0]}/").status_code == 404


def test_names_are_text_and_never_markup():
    job = job_at("permits", name="<script>alert(1)</script>", street="1 <b>Bold</b> St")
    shown = page(job)
    assert "<script>alert" not in shown
    assert "<b>Bold</b>" not in shown


def test_an_office_that_has_not_named_itself_has_a_page_all_the_same():
    OfficeProfile.objects.all().delete()
    assert "Where it stands" in page(job_at("permits"))
    assert Client().get("/status/none/").status_code == 404
