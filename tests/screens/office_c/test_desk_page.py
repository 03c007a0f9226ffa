"""The office's first page: what stands on it, and that each matter is one click from being done."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from projects.actions import permits
from projects.models import Licence, PlanComment, Snooze
from projects.screens.office.desk import clock_words, days_words
from tests.factories import LicenceFactory, Story, job_at, lead, office_person, owner_person
from tests.pace import quiet_ms
from tests.queries.crowd import crowd

pytestmark = pytest.mark.django_db


def text(response) -> str:
    return response.content.decode()


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (60 * 5 + 59, "5 h left"),
        (40, "40 min left"),
        (-1, "1 min over"),
        (-125, "2 h over"),
        (-60 * 24 * 9, "9 days over"),
    ],
)
def test_the_clock_counts_whole_hours(minutes, words) -> None:
    now = timezone.now()
    assert clock_words(now + timedelta(minutes=minutes), now) == (words, minutes < 0)


@pytest.mark.parametrize(
    ("days", "words"), [(-1, "expired 1 day ago"), (0, "today"), (1, "1 day left"), (36, "36 days left")]
)
def test_an_expiry_counts_days(days, words) -> None:
    today = timezone.localdate()
    assert days_words(today + timedelta(days=days), today) == words


def test_a_new_lead_shows_its_hours_and_its_button(office) -> None:
    job = lead(days_ago=0, received_at=timezone.now() - timedelta(hours=3, minutes=10))
    page = text(office.get(reverse("desk")))
    assert "Promised within 24 hours" in page
    assert "20 h left" in page
    assert f'href="{reverse("job-kind", args=[job.number])}"' in page


def test_a_decided_lead_leads_to_its_first_look(office) -> None:
    from projects.actions import intake

    job = lead(days_ago=0)
    intake.decide_system_type(job=job, kind=job.recommended_kind, actor=office_person())
    page = text(office.get(reverse("desk")))
    assert f'href="{reverse("job-first-look", args=[job.number])}"' in page


def test_a_correction_quotes_the_reviewer_and_its_form_leads_back_to_the_desk(office) -> None:
    job = job_at("permits")
    story = Story(job, "hybrid")
    story.day = timezone.localdate() - timedelta(days=20)
    story.submit("building")
    permits.record_corrections(
        job=job, kind="building", actor=office_person(), on=story.day, comments=["Show the setback."]
    )
    page = text(office.get(reverse("desk")))
    assert "“Show the setback.”" in page
    address = reverse("record-about", args=[job.number, "comment-answer", PlanComment.objects.get().pk])
    assert f'href="{address}?from=desk"' in page
    form = text(office.get(f"{address}?from=desk"))
    assert f'action="{address}?from=desk"' in form
    typed = {"answer": "Sheet 2.", "on": timezone.localdate().isoformat()}
    assert office.post(f"{address}?from=desk", typed).url == reverse("desk")


def test_the_form_opened_in_place_leads_back_to_the_page_it_was_opened_on(office) -> None:
    job = lead()
    address = reverse("record", args=[job.number, "assigned"])
    for page in (reverse("desk"), reverse("job", args=[job.number])):
        headers = {"HX-Request": "true", "HX-Current-URL": f"http://testserver{page}"}
        answer = office.post(address, {"person": office_person().pk}, headers=headers)
        assert answer.headers["HX-Redirect"] == page


def test_putting_off_and_taking_it_back(office) -> None:
    job = lead()
    address = reverse("record-about", args=[job.number, "put-off", job.next_key])
    assert f'href="{address}?from=desk"' in text(office.get(reverse("desk")))
    until = timezone.localdate() + timedelta(days=4)
    assert office.post(address, {"until": until.isoformat(), "reason": ""}).status_code == 422
    assert office.post(address, {"until": until.isoformat(), "reason": "They are away."}).status_code == 302
    page = text(office.get(reverse("desk")))
    assert "“They are away.”" in page
    back = reverse("desk-back", args=[job.number, job.next_key])
    assert f'action="{back}"' in page
    assert office.get(back).status_code == 405
    assert "on the desk again" in text(office.post(back, follow=True))
    assert not Snooze.objects.filter(ended_at=None).exists()
    assert "put off" in text(office.post(back, follow=True)), "twice is told, not failed"


def test_a_licence_leads_to_its_form_and_can_t_be_put_off(office) -> None:
    Licence.objects.all().delete()
    licence = LicenceFactory(expires_on=timezone.localdate() + timedelta(days=20))
    page = text(office.get(reverse("desk")))
    assert reverse("office-edit", args=["licences", licence.pk]) in page
    assert "20 days left" in page
    assert "Put off" not in page


def test_mine_shows_only_mine(office) -> None:
    job = lead()
    assert "Nothing waits on the jobs that you look after" in text(office.get(reverse("desk"), {"who": "me"}))
    assert job.customer.name in text(office.get(reverse("desk"), {"who": "nonsense"}))


def test_an_empty_book_and_a_clear_desk_say_so(office) -> None:
    assert "No job yet" in text(office.get(reverse("desk")))
    job_at("done")
    assert "The desk is clear" in text(office.get(reverse("desk")))


def test_who_may_see_it(crew, owner, client) -> None:
    assert crew.get(reverse("desk")).status_code == 403
    assert owner.get(reverse("desk")).status_code == 200
    assert client.get(reverse("desk")).status_code == 302
    job = lead()
    assert crew.post(reverse("desk-back", args=[job.number, job.next_key])).status_code == 403


@pytest.mark.speed
def test_the_page_is_quick_with_a_thousand_jobs(office) -> None:
    crowd(1000)
    assert owner_person()

    def serve() -> None:
        assert office.handler(office._base_environ(PATH_INFO=reverse("desk"))).status_code == 200

    took_ms = quiet_ms(serve, within=50)
    print(f"desk {took_ms:.0f} ms")
    assert took_ms < 50
    one_level = text(office.get(reverse("desk"), {"level": "4"}))
    assert one_level.count('class="matter"') == 60
