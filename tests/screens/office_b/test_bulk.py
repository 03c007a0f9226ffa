"""Ticked jobs, one change, a look at what would come, and then the change: what sixty stale leads call for."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from django.core import signing
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from projects.actions import office as office_actions
from projects.models import Job, JournalEntry
from projects.screens.office import bulk as screen
from tests.factories import job_at, lead, office_person, owner_person
from tests.queries.crowd import crowd

CHOOSE, MAKE, MADE = reverse("jobs-change"), reverse("jobs-change-make"), reverse("jobs-change-made")
REASON = "No answer to three calls."


def text(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def joined(jobs: list[Job]) -> str:
    return ",".join(str(job.number) for job in jobs)


def state_of(answer) -> str:
    return re.search(r'name="state" value="([^"]+)"', answer.content.decode())[1]


def preview(client: Client, jobs: list[Job], **chosen: str):
    given = {"change": "lose", "reason": REASON, **chosen}
    return client.post(CHOOSE, {"jobs": joined(jobs), "list": "stage=lead", **given})


def make(client: Client, shown, jobs: list[Job]):
    return client.post(MAKE, {"state": state_of(shown), "job": [job.number for job in jobs]}, follow=True)


def test_the_list_offers_ticks_for_open_jobs_and_all_that_it_found(office: Client, job: Job) -> None:
    lost = lead("hybrid")
    Job.objects.filter(pk=lost.pk).update(outcome="lost", outcome_reason="Moved away.")
    page = office.get("/jobs/?state=all").content.decode()
    assert f'name="job" value="{job.number}"' in page
    assert f'name="job" value="{lost.number}"' not in page
    assert "Change all 2 found" in page


def test_ticked_jobs_come_to_the_choice(office: Client, job: Job) -> None:
    other, left_out = lead("hybrid"), lead("hybrid")
    page = text(office.get(CHOOSE, {"job": [job.number, other.number], "which": "ticked"}))
    assert "Change 2 jobs" in page
    assert other.label in page
    assert left_out.label not in page


def test_all_found_keeps_to_the_conditions_of_the_list_and_passes_its_pages(office: Client) -> None:
    crowd(60, ("lead", "engineering"))
    leads = Job.objects.filter(stage="lead").count()
    assert leads > 25, "more than a page"
    page = text(office.get(CHOOSE, {"which": "all", "list": "stage=lead&sort=-number"}))
    assert f"Change {leads} jobs" in page


def test_nothing_ticked_and_too_many_lead_back_to_the_list(office: Client, monkeypatch, job: Job) -> None:
    answer = office.get(CHOOSE, {"which": "ticked", "list": "stage=lead"}, follow=True)
    assert answer.redirect_chain[0][0] == "/jobs/?stage=lead"
    assert "Tick at least one job" in text(answer)
    lead("hybrid")
    monkeypatch.setattr(screen.bulk, "MOST_JOBS", 1)
    assert "At most 1 jobs at once" in text(office.get(CHOOSE, {"which": "all"}, follow=True))


FAR_AHEAD = f"{date.today().year + 20}-01-01"
"""Beyond what may be put off, and still a day that a form takes."""


@pytest.mark.parametrize(
    ("chosen", "said"),
    [
        ({"change": "lose", "reason": " "}, "Write a few words."),
        ({"change": "assign", "person": ""}, "Choose somebody."),
        ({"change": "assign", "person": "99999"}, "Select a valid choice"),
        ({"change": "authorities"}, "Choose a jurisdiction, a utility or both."),
        ({"change": "put-off", "until": "2020-01-01", "reason": REASON}, "Choose a day after today."),
        ({"change": "put-off", "until": FAR_AHEAD, "reason": REASON}, "At most 60 days ahead"),
        ({"change": "put-off", "until": "soon", "reason": REASON}, "Write a day that exists"),
        ({"change": "pause", "look_again_on": FAR_AHEAD, "reason": REASON, "cause": "weather"}, "At most 365 days"),
        ({"change": "pause", "look_again_on": FAR_AHEAD, "reason": REASON}, "Choose why they rest."),
    ],
)
def test_a_choice_that_lacks_something_comes_back_with_what_was_typed(office: Client, job: Job, chosen, said) -> None:
    answer = preview(office, [job], **{"reason": "", **chosen})
    assert answer.status_code == 422
    assert said in text(answer)
    assert f'value="{job.number}"' in answer.content.decode()
    if chosen.get("reason", "").strip():
        assert REASON in text(answer)
    assert text(answer).count("See what would change") == 5
    assert answer.content.decode().count(" open>") == 1


def test_the_preview_says_from_what_to_what_and_who_cannot(office: Client, job: Job) -> None:
    done = job_at("done", "off_grid")
    before = JournalEntry.objects.count()
    answer = preview(office, [job, done])
    page = text(answer)
    assert answer.status_code == 200
    assert "1 job would change" in page
    assert f"Open: {job.next_step}" in page
    assert "Lost" in page
    assert "1 can’t change, and why" in page
    assert "This system is in service" in page
    assert JournalEntry.objects.count() == before
    assert set(Job.objects.values_list("outcome", flat=True)) == {""}


def test_only_the_jobs_still_ticked_change(office: Client) -> None:
    jobs = [lead("hybrid") for _ in range(3)]
    shown = preview(office, jobs)
    page = text(make(office, shown, jobs[:2]))
    assert "2 jobs changed" in page
    assert [Job.objects.get(pk=job.pk).outcome for job in jobs] == ["lost", "lost", ""]
    entry = JournalEntry.objects.filter(job=jobs[0]).last()
    assert (entry.kind, entry.actor, entry.data["reason"]) == ("closed", office_person(), REASON)


def test_pressed_twice_it_is_made_once(office: Client, job: Job) -> None:
    shown = preview(office, [job])
    make(office, shown, [job])
    before = JournalEntry.objects.count()
    page = text(make(office, shown, [job]))
    assert "0 jobs changed" in page
    assert "1 had it already" in page
    assert JournalEntry.objects.count() == before


def test_a_job_changed_since_the_look_is_named_and_left(office: Client, job: Job) -> None:
    other = lead("hybrid")
    shown = preview(office, [job, other])
    office_actions.set_price(job=other, actor=owner_person(), price_usd=20_000)
    page = text(make(office, shown, [job, other]))
    assert "1 job changed" in page
    assert "1 left alone" in page
    assert Job.objects.get(pk=other.pk).outcome == ""


def test_a_choice_that_no_longer_stands_changes_nothing(office: Client, job: Job) -> None:
    """Somebody leaves the firm between the look and the change."""
    shown = preview(office, [job], change="assign", person=str(owner_person().pk))
    type(owner_person()).objects.filter(pk=owner_person().pk).update(is_active=False)
    page = text(make(office, shown, [job]))
    assert "Choose the jobs again" in page
    assert Job.objects.get(pk=job.pk).assigned_to is None


@pytest.mark.parametrize("change", ["assign", "put-off", "pause", "authorities"])
def test_every_change_goes_through(office: Client, change: str, job: Job) -> None:
    day = (timezone.localdate() + timedelta(days=9)).isoformat()
    utility = job_at("engineering").utility
    chosen = {
        "assign": {"person": "nobody"},
        "put-off": {"until": day, "reason": REASON},
        "pause": {"cause": "undecided", "look_again_on": day, "reason": REASON},
        "authorities": {"utility": str(utility.pk)},
    }[change]
    office_actions.assign(job=job, person=owner_person(), actor=office_person())
    shown = preview(office, [job], change=change, **chosen)
    assert "1 job would change" in text(shown)
    assert "1 job changed" in text(make(office, shown, [job]))
    kind = {"assign": "assigned", "put-off": "snoozed", "pause": "paused", "authorities": "authorities_set"}[change]
    assert JournalEntry.objects.filter(job=job).last().kind == kind


def test_many_jobs_go_on_from_request_to_request(office: Client, monkeypatch) -> None:
    jobs = [lead("hybrid") for _ in range(3)]
    monkeypatch.setattr(screen, "SECONDS", 0)
    shown = preview(office, jobs)
    for through in (1, 2):
        assert f"{through} of 3 jobs looked at" in text(shown)
        shown = office.post(CHOOSE, {"state": state_of(shown)})
    assert "3 jobs would change" in text(shown)
    shown = make(office, shown, jobs)
    for through in (1, 2):
        assert f"{through} of 3 jobs gone through" in text(shown)
        shown = office.post(MAKE, {"state": state_of(shown)}, follow=True)
    assert "3 jobs changed" in text(shown)
    assert Job.objects.filter(outcome="lost").count() == 3


def test_choosing_again_brings_back_what_was_typed(office: Client, job: Job) -> None:
    answer = preview(office, [job], back="1")
    assert answer.status_code == 200
    assert REASON in text(answer)


@pytest.mark.parametrize(
    "state",
    ["", "nonsense", pytest.param(signing.dumps({"by": 1}, salt="another"), id="signed for something else")],
)
def test_a_state_that_is_not_ours_changes_nothing(office: Client, job: Job, state: str) -> None:
    for address in (CHOOSE, MAKE):
        page = text(office.post(address, {"state": state, "job": [job.number]}, follow=True))
        assert "Choose the jobs again" in page
    assert Job.objects.get(pk=job.pk).outcome == ""


def test_what_one_person_looked_at_is_not_anothers_to_make(office: Client, owner: Client, job: Job) -> None:
    shown = preview(office, [job])
    assert "Choose the jobs again" in text(make(owner, shown, [job]))
    assert Job.objects.get(pk=job.pk).outcome == ""


def test_nothing_left_ticked_changes_nothing(office: Client, job: Job) -> None:
    shown = preview(office, [job])
    assert "No job was ticked" in text(make(office, shown, []))


def test_it_is_the_offices_alone(crew: Client, stranger: Client, job: Job) -> None:
    for address, method in ((CHOOSE, "get"), (CHOOSE, "post"), (MAKE, "post"), (MADE, "get")):
        assert getattr(crew, method)(address, {"job": job.number}).status_code == 403
        assert getattr(stranger, method)(address, {"job": job.number}).status_code == 302
    assert crew.get(MAKE).status_code == 403


def test_the_choice_and_the_end_take_as_many_queries_for_forty_jobs_as_for_four(
    office: Client, django_assert_max_num_queries
) -> None:
    jobs = crowd(40, ("lead",))
    with django_assert_max_num_queries(10):
        office.get(CHOOSE, {"which": "all"})
    make(office, preview(office, jobs, change="assign", person=str(owner_person().pk)), jobs)
    with django_assert_max_num_queries(8):
        assert "40 jobs changed" in text(office.get(MADE))
