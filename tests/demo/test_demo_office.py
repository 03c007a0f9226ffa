"""The demo office as a newcomer meets it: it loads, every screen has something true to show, and a second start is
quick and loads nothing over it.

Its studies are computed, so loading takes a minute: it is loaded once, and one test looks at all of it.
"""

from __future__ import annotations

import io
from collections import Counter

import pytest
from django.core.management import call_command
from django.test import Client
from django.utils import timezone

from paperwork.demo import links, load
from paperwork.models import IssuedPaper
from projects.models import Inspection, Job, PermitSubmission, Person, StudyRun, SystemKind
from projects.route.stages import STAGE_KEYS

pytestmark = pytest.mark.django_db


def said(**options) -> str:
    heard = io.StringIO()
    call_command("demo", "--load-only", stdout=heard, **options)
    return heard.getvalue()


def test_the_demo_office_shows_something_true_on_every_screen() -> None:
    # The command tells the stories in processes of their own, which would not see this test's database.
    load.office(tell=lambda line: None)
    stages_and_kinds_are_all_there()
    things_go_wrong_as_they_do()
    papers_are_real()
    everybody_can_sign_in()
    the_cached_standing_is_the_facts_own()
    jobs = Job.objects.count()
    assert "nothing is loaded over it" in said()
    assert Job.objects.count() == jobs


def stages_and_kinds_are_all_there() -> None:
    assert Job.objects.count() >= 40
    stages = Counter(Job.objects.filter(outcome="").values_list("stage", flat=True))
    assert set(stages) == set(STAGE_KEYS)
    assert set(Job.objects.exclude(system_kind="").values_list("system_kind", flat=True)) == set(SystemKind.values)
    # Nobody's story lies in the future.
    assert not Job.objects.filter(received_at__gt=timezone.now()).exists()


def things_go_wrong_as_they_do() -> None:
    today = timezone.localdate()
    assert PermitSubmission.objects.filter(outcome="corrections").exists()
    assert PermitSubmission.objects.filter(round__gte=2).exists()
    assert Inspection.objects.filter(result="corrections").exists()
    assert 3 <= Job.objects.filter(outcome="", due_on__lt=today).count() <= 20
    assert Job.objects.exclude(outcome="").exists()
    waiting = set(Job.objects.filter(outcome="").values_list("waiting_on", flat=True))
    assert {"office", "crew", "customer", "jurisdiction", "utility"} <= waiting


def papers_are_real() -> None:
    assert not StudyRun.objects.exclude(state=StudyRun.State.DONE).exists()
    assert {"first_look", "single_line", "checklist"} <= set(IssuedPaper.objects.values_list("kind", flat=True))
    for paper in IssuedPaper.objects.order_by("pk")[:5]:
        assert bytes(paper.content).startswith(b"%PDF")
    one_page = IssuedPaper.objects.filter(kind="first_look").values_list("pages", flat=True)
    assert set(one_page) == {1}


def everybody_can_sign_in() -> None:
    for name, role, _page in load.SIGN_INS:
        assert Person.objects.get(username=name).role == role
        answer = Client().post("/sign-in/", {"username": name, "password": load.password()}, follow=True)
        assert answer.status_code == 200
        assert "Sign out" in answer.content.decode()
    shown = links.customer_links(8000)
    assert shown == links.customer_links(8000) and len(shown) == 2
    for link in shown:
        assert Client().get(link.removeprefix("http://127.0.0.1:8000")).status_code == 200


def the_cached_standing_is_the_facts_own() -> None:
    call_command("check_standing", stdout=io.StringIO())


def test_an_empty_job_book_has_its_people_and_catalogue_and_no_job() -> None:
    said(without_jobs=True)
    assert Person.objects.filter(username="olive").exists()
    assert not Job.objects.exists()
    assert "nothing is loaded over it" in said(without_jobs=True)
