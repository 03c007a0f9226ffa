"""A job pauses, rests longer, goes on; a closed job comes back with its clock stopped."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from django.utils import timezone

from projects.actions import closing, pausing, reopening, snoozing
from projects.actions.facts import facts_of
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import disagreements, standing_of
from projects.models import Job, Pause
from tests.factories import Story, crew_person, job_at, office_person

pytestmark = pytest.mark.django_db


def soon(days: int = 10):
    return timezone.localdate() + timedelta(days=days)


def pause(job, **changes) -> Pause:
    told = {"cause": "weather", "reason": "Storm season.", "look_again_on": soon()}
    return pausing.pause_job(job=job, actor=changes.pop("actor", office_person()), **{**told, **changes})


def test_a_paused_job_waits_for_its_day_and_says_so_in_the_lists() -> None:
    job = job_at("engineering")
    pause(job)
    words = f"Look at the paused job again on {soon():%-d %b %Y}"
    assert (job.next_key, job.next_step, job.due_on) == ("look_again", words, soon())
    assert (job.waiting_on, job.waiting_on_name, job.crew_steps) == ("office", "nobody, it is paused", 0)
    assert "live" not in [state for state, _ in job.gates]
    assert disagreements(Job.objects.all()) == []
    entry = job.journal.last()
    assert (entry.kind, entry.data["reason"]) == ("paused", "Storm season.")


def test_facts_that_come_in_meanwhile_are_recorded() -> None:
    job = job_at("permits")
    pause(job)
    story = Story(job, "hybrid")
    story.day = timezone.localdate()
    story.submit("building")
    job.refresh_from_db()
    assert job.next_key == "look_again"
    assert "permit_building_submitted" in {r.key for r in standing_of(job).requirements if r.done}


def test_it_goes_on_where_it_was_with_its_dates_moved() -> None:
    job = job_at("permits")
    before = (job.next_key, job.stage)
    due = {r.key: r.due_on for r in standing_of(job).requirements if r.state == "open"}
    today = timezone.localdate()
    pause(job, on=today - timedelta(days=20))
    pausing.resume_job(job=job, actor=office_person())
    assert (job.next_key, job.stage) == before
    after = {r.key: r.due_on for r in standing_of(job).requirements if r.state == "open"}
    # What was due before the pause began stays late; a pause excuses nothing that came before it.
    assert {key: after[key] for key in due} == due
    assert Pause.objects.get().ended_on == today


def test_a_due_date_ahead_moves_by_the_business_days_of_rest() -> None:
    """The household went ahead today, and a clock counts from the day after."""
    job = job_at("site_assessment", days_ago=1)
    before = job.due_on
    pause(job, look_again_on=soon(28))
    Pause.objects.update(ended_on=soon(28), ended_by=office_person())
    closed = sorted(facts_of(job).utility.holidays)  # public holidays, which no clock counts
    rest = np.busday_count(soon(1), soon(28), holidays=closed)  # NumPy as the reference
    assert rest >= 12
    moved = np.busday_offset(before, rest, holidays=closed)
    assert standing_of(job).due_on == moved.astype(object)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"reason": " "}, "reason"),
        ({"cause": "closed"}, "cause"),
        ({"cause": "sulking"}, "cause"),
        ({"look_again_on": soon(0)}, "look_again_on"),
        ({"look_again_on": None}, "look_again_on"),
        ({"look_again_on": soon(400)}, "look_again_on"),
        ({"on": soon(1)}, "on"),
        ({"on": soon(-900)}, "on"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(changes, field) -> None:
    job = job_at("engineering")
    with pytest.raises(Problems) as problems:
        pause(job, **changes)
    assert [problem.field for problem in problems.value] == [field]
    assert not Pause.objects.exists()


def test_an_off_grid_job_knows_no_moratorium() -> None:
    with pytest.raises(Problems, match="no utility"):
        pause(job_at("engineering", "off_grid"), cause="moratorium")


def test_the_crew_pauses_nothing_and_nobody_pauses_twice() -> None:
    job = job_at("engineering")
    with pytest.raises(NotAllowed):
        pause(job, actor=crew_person())
    pause(job)
    with pytest.raises(Problems, match="paused already"):
        pause(job)
    with pytest.raises(Problems, match="let it rest longer"):
        snoozing.snooze(job=job, key="look_again", actor=office_person(), until=soon(3), reason="Later.")


def test_nothing_is_left_to_pause_on_a_finished_job() -> None:
    with pytest.raises(Problems, match="nothing to pause"):
        pause(job_at("done"))


def test_it_may_rest_longer_and_only_while_it_rests() -> None:
    job = job_at("engineering")
    later = {"job": job, "actor": office_person(), "look_again_on": soon(30), "reason": "Still storms."}
    with pytest.raises(Problems, match="not paused"):
        pausing.look_again_later(**later)
    with pytest.raises(Problems, match="not paused"):
        pausing.resume_job(job=job, actor=office_person())
    pause(job)
    pausing.look_again_later(**later)
    assert job.due_on == soon(30)
    with pytest.raises(Problems):
        pausing.resume_job(job=job, actor=office_person(), on=timezone.localdate() - timedelta(days=3))


def test_a_closed_job_ends_its_pause_and_comes_back_with_the_days_between_taken_off() -> None:
    job = job_at("site_assessment", days_ago=1)
    due = job.due_on
    pause(job)
    closing.close_job(job=job, actor=office_person(), outcome="lost", reason="They think again.")
    assert Pause.objects.get().ended_on == timezone.localdate()
    # As if it had been closed three weeks ago.
    entry = job.journal.get(kind="closed")
    then = entry.at - timedelta(days=21)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("projects.actions.reopening.closed_at", lambda job: then)
        reopening.reopen_job(job=job, actor=office_person(), reason="They do want it.")
    rest = Pause.objects.get(cause="closed")
    assert (rest.ended_on - rest.on).days == 21
    assert due is not None and job.due_on is not None
    assert (job.due_on, job.outcome) >= (due, "")


def test_a_job_reopened_on_the_same_day_has_not_rested() -> None:
    job = job_at("engineering")
    closing.close_job(job=job, actor=office_person(), outcome="cancelled", reason="A slip.")
    reopening.reopen_job(job=job, actor=office_person(), reason="A slip.")
    assert not Pause.objects.exists()
