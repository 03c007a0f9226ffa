"""Issuing: frozen facts, kept bytes, numbers, changes, refusals; and who may."""

from __future__ import annotations

import hashlib

import pytest
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.urls import reverse

from paperwork.issue import issue_paper, paper_problems, preview_paper
from paperwork.models import IssuedForGood, IssuedPaper
from paperwork.views import paper_for_link
from projects.actions import design, intake, site
from projects.actions import office as office_actions
from projects.actions.problems import NotAllowed, Problems
from projects.models import Job, JournalEntry, OfficeProfile, PaperIssue, Person, StudyRun
from tests import factories
from tests.paperwork.reading import reader, text_of

pytestmark = pytest.mark.django_db
KINDS = ("first_look", "single_line", "checklist")


def words(problems: Problems) -> str:
    return " ".join(problem.message for problem in problems)


@pytest.mark.parametrize("kind", KINDS)
def test_an_issue_keeps_bytes_hash_facts_and_tells_the_route(hybrid: Job, office: Person, kind: str) -> None:
    paper = issue_paper(job=hybrid, kind=kind, actor=office)
    content = bytes(paper.content)
    assert content.startswith(b"%PDF-1.7")
    assert paper.sha256 == hashlib.sha256(content).hexdigest()
    assert paper.pages == len(reader(content).pages)
    assert paper.issued_by == office and paper.issue == 1 and paper.changes == []
    assert paper.number == f"{hybrid.label}-{ {'first_look': 'FL', 'single_line': 'SL', 'checklist': 'CL'}[kind] }-1"
    assert paper.facts["customer"]["name"] == hybrid.customer.name
    noted = PaperIssue.objects.get(job=hybrid, number=paper.number)
    assert noted.design_fingerprint == paper.design_fingerprint
    assert JournalEntry.objects.filter(job=hybrid, kind="paper_issued", data__number=paper.number).count() == 1
    assert paper.number in text_of(content)


def test_the_first_look_meets_its_requirement(firm: OfficeProfile, office: Person) -> None:
    factories.catalogue("hybrid")
    job = factories.lead("hybrid")
    intake.decide_system_type(job=job, kind="hybrid", actor=office)
    design.preliminary_design(job=job, actor=office)
    design.run_study(job=job, actor=office)
    paper = issue_paper(job=job, kind="first_look", actor=office)
    job.refresh_from_db()
    assert job.next_key == "go_ahead"
    text = text_of(bytes(paper.content))
    assert "Nobody has been on site" in text and "preliminary" in text
    run = StudyRun.objects.filter(job=job).latest("id")
    made = run.result["production"]["ac_kwh_year"]
    assert f"{made:,.0f} kWh" in text


def test_issued_bytes_never_change(hybrid: Job, office: Person) -> None:
    paper = issue_paper(job=hybrid, kind="checklist", actor=office)
    before = paper.sha256
    paper.content = b"something else"
    with pytest.raises(IssuedForGood):
        paper.save()
    with pytest.raises(IssuedForGood):
        paper.delete()
    with pytest.raises(IssuedForGood):
        IssuedPaper.objects.filter(pk=paper.pk).update(content=b"something else")
    with pytest.raises(IssuedForGood):
        IssuedPaper.objects.all().delete()
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE paperwork_issuedpaper SET sha256 = 'x' WHERE id = %s", [paper.pk])
    kept = IssuedPaper.objects.get(pk=paper.pk)
    assert kept.sha256 == before == hashlib.sha256(bytes(kept.content)).hexdigest()


def test_a_renamed_customer_leaves_the_issued_paper_as_it_was(hybrid: Job, office: Person) -> None:
    paper = issue_paper(job=hybrid, kind="first_look", actor=office)
    old = hybrid.customer.name
    hybrid.customer.name = "Somebody Else"
    hybrid.customer.save()
    kept = IssuedPaper.objects.get(pk=paper.pk)
    assert old in text_of(bytes(kept.content)) and "Somebody Else" not in text_of(bytes(kept.content))
    again = issue_paper(job=hybrid, kind="first_look", actor=office)
    assert again.number.endswith("-FL-2")
    assert again.changes == [f"Name: Somebody Else (was {old})."]
    assert f"Changed since {paper.number}: Name: Somebody Else (was {old})." in text_of(bytes(again.content))


def test_a_second_issue_lists_what_changed_and_prints_it(hybrid: Job, office: Person) -> None:
    first = issue_paper(job=hybrid, kind="single_line", actor=office)
    design.save_design(job=hybrid, actor=office, plane_modules=[{"plane": "South roof", "modules": 14}])
    with pytest.raises(Problems) as refused:
        issue_paper(job=hybrid, kind="single_line", actor=office)
    assert "changed since the study" in words(refused.value)
    design.run_study(job=hybrid, actor=office)
    second = issue_paper(job=hybrid, kind="single_line", actor=office)
    assert second.issue == 2 and second.design_fingerprint != first.design_fingerprint
    changed = " ".join(second.changes)
    assert "Array: 5.6 kW (was 6.4 kW)." in changed and "Design: revision B (was revision A)." in changed
    text = text_of(bytes(second.content))
    assert f"Changed since {first.number}" in text and "Array: 5.6 kW (was 6.4 kW)." in text


def test_issuing_again_without_a_change_says_that_nothing_changed(hybrid: Job, office: Person) -> None:
    issue_paper(job=hybrid, kind="single_line", actor=office)
    assert issue_paper(job=hybrid, kind="single_line", actor=office).changes == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_crew_does_not_issue(hybrid: Job, kind: str) -> None:
    with pytest.raises(NotAllowed):
        issue_paper(job=hybrid, kind=kind, actor=factories.crew_person())
    assert not IssuedPaper.objects.exists()


def test_no_paper_without_the_offices_name(office: Person) -> None:
    job = factories.job_at("permits", "hybrid")
    for kind in KINDS:
        assert "office's own name" in " ".join(p.message for p in paper_problems(job=job, kind=kind))


def test_a_lead_without_design_has_every_reason_named(firm: OfficeProfile, office: Person) -> None:
    job = factories.lead("hybrid")
    with pytest.raises(Problems) as refused:
        issue_paper(job=job, kind="single_line", actor=office)
    told = words(refused.value)
    for part in ("Decide the kind of system", "no design yet", "electrical service is not recorded"):
        assert part in told
    assert not PaperIssue.objects.filter(job=job).exists()


def test_a_failing_check_keeps_the_single_line_back(hybrid: Job, office: Person) -> None:
    site.record_service(
        job=hybrid, actor=factories.crew_person(), rating_a=200, busbar_a=200, main_breaker_a=200, free_spaces=0
    )
    design.save_design(job=hybrid, actor=office)
    design.run_study(job=hybrid, actor=office)
    with pytest.raises(Problems) as refused:
        issue_paper(job=hybrid, kind="single_line", actor=office)
    assert "A design check fails: " in words(refused.value)
    issue_paper(job=hybrid, kind="first_look", actor=office)


def test_an_unknown_kind_is_a_problem(hybrid: Job, office: Person) -> None:
    with pytest.raises(Problems):
        issue_paper(job=hybrid, kind="shopping_list", actor=office)


def test_a_preview_is_marked_and_not_kept(hybrid: Job, office: Person) -> None:
    before = JournalEntry.objects.count()
    pdf = preview_paper(job=hybrid, kind="single_line", actor=office)
    assert "preview, not issued" in text_of(pdf)
    assert not IssuedPaper.objects.exists() and JournalEntry.objects.count() == before
    issued = issue_paper(job=hybrid, kind="single_line", actor=office)
    assert "not issued" not in text_of(bytes(issued.content))


def test_nothing_is_kept_when_the_route_refuses(hybrid: Job, office: Person, monkeypatch) -> None:
    def refuse(**_facts: object) -> None:
        raise Problems([])

    monkeypatch.setattr("paperwork.issue.record_paper_issued", refuse)
    with pytest.raises(Problems):
        issue_paper(job=hybrid, kind="checklist", actor=office)
    assert not IssuedPaper.objects.exists()


def test_the_office_issues_from_the_job_page(hybrid: Job, office: Person, client: Client) -> None:
    client.force_login(office)
    answer = client.post(reverse("issue-paper", args=[hybrid.number]), {"kind": "first_look"})
    assert answer.status_code == 302 and answer.url == reverse("job", args=[hybrid.number])
    paper = IssuedPaper.objects.get()
    got = client.get(reverse("paper", args=[paper.number]))
    assert got.status_code == 200 and got["Content-Type"] == "application/pdf"
    assert got.content == bytes(paper.content) and "no-store" in got["Cache-Control"]
    assert client.get(reverse("issue-paper", args=[hybrid.number])).status_code == 405


def test_a_refusal_says_why_on_a_page(firm: OfficeProfile, office: Person, client: Client) -> None:
    job = factories.lead("hybrid")
    client.force_login(office)
    answer = client.post(reverse("issue-paper", args=[job.number]), {"kind": "single_line"})
    assert answer.status_code == 422 and "no design yet" in answer.content.decode()


def test_the_crew_reads_and_previews_but_posts_nothing(hybrid: Job, office: Person, client: Client) -> None:
    paper = issue_paper(job=hybrid, kind="single_line", actor=office)
    client.force_login(factories.crew_person())
    assert client.get(reverse("paper", args=[paper.number])).status_code == 200
    assert client.get(reverse("paper-preview", args=[hybrid.number, "single_line"])).status_code == 200
    assert client.post(reverse("issue-paper", args=[hybrid.number]), {"kind": "single_line"}).status_code == 403


def test_a_stranger_reads_nothing(hybrid: Job, office: Person, client: Client) -> None:
    paper = issue_paper(job=hybrid, kind="checklist", actor=office)
    for address in (
        reverse("paper", args=[paper.number]),
        reverse("paper-preview", args=[hybrid.number, "checklist"]),
    ):
        assert client.get(address).status_code == 302
    assert client.get(reverse("paper-by-link", args=["made-up", paper.number])).status_code == 404


def test_the_customer_reads_by_link_what_is_meant_for_them(hybrid: Job, office: Person, client: Client) -> None:
    paper = issue_paper(job=hybrid, kind="checklist", actor=office)
    other = factories.job_at("permits", "hybrid")
    theirs = issue_paper(job=other, kind="checklist", actor=office)
    token = office_link(hybrid, office)
    got = client.get(reverse("paper-by-link", args=[token, paper.number]))
    assert got.status_code == 200 and got.content == bytes(paper.content)
    assert got["Referrer-Policy"] == "no-referrer"
    assert client.get(reverse("paper-by-link", args=[token, theirs.number])).status_code == 404
    assert paper_for_link(token, "0000-CL-9") is None


def test_a_revoked_link_reads_nothing(hybrid: Job, office: Person) -> None:
    paper = issue_paper(job=hybrid, kind="checklist", actor=office)
    token = office_link(hybrid, office)
    assert paper_for_link(token, paper.number) == paper
    revoke(hybrid, office)
    assert paper_for_link(token, paper.number) is None


def office_link(job: Job, actor: Person) -> str:
    return office_actions.share_link(job=job, actor=actor)


def revoke(job: Job, actor: Person) -> None:
    office_actions.revoke_links(job=job, actor=actor)
