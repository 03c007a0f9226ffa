"""One change on many jobs: tried without a trace, made job by job, and never twice."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from unittest.mock import MagicMock, patch

import pytest
from django.utils import timezone

from projects.actions import bulk, intake, office, pausing
from projects.actions.bulk_changes import Assign, Change, Lose, PutOff, Rest, SetAuthorities
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import disagreements, refresh
from projects.models import Job, JournalEntry, Message, Pause, Snooze
from tests.factories import (
    JurisdictionFactory,
    Story,
    UtilityFactory,
    crew_person,
    job_at,
    lead,
    office_person,
    owner_person,
)

pytestmark = pytest.mark.django_db


def later(days: int = 20):
    return timezone.localdate() + timedelta(days=days)


def changes() -> list[Change]:
    return [
        Assign(owner_person()),
        PutOff(later(), "They are away."),
        SetAuthorities(JurisdictionFactory(combined_permit=True), UtilityFactory()),
        Rest("undecided", "They think about it.", later()),
        Lose("They never answered."),
    ]


def tried(jobs: list[Job], change: Change) -> list[bulk.Tried]:
    return bulk.try_on_many(ids=[job.pk for job in jobs], change=change, actor=office_person())


def made(rows: list[bulk.Tried], change: Change) -> bulk.Made:
    stamps = {row.job.pk: row.stamp for row in rows}
    return bulk.make_on_many(stamps=stamps, change=change, actor=office_person())


def everything() -> list[list[dict]]:
    """The rows that any of these changes could touch, by their values."""
    tables = (Job, JournalEntry, Snooze, Pause, Message)
    return [list(table.objects.order_by("pk").values()) for table in tables]


@pytest.mark.parametrize("place", range(5))
def test_what_was_tried_leaves_no_trace_and_comes_true(place: int) -> None:
    jobs = [lead("hybrid"), job_at("engineering"), job_at("permits")]
    change = changes()[place]
    before = everything()
    rows = tried(jobs, change)
    assert everything() == before
    can = [row for row in rows if row.can]
    assert can, [row.problems for row in rows]
    done = made(rows, change)
    assert [job.pk for job in done.done] == [row.job.pk for row in can]
    for row in can:
        job = Job.objects.get(pk=row.job.pk)
        stands = change.stands(job)
        assert [stands[each.label] for each in row.differences] == [each.becomes for each in row.differences]
    assert {each.job.pk: each.problems for each in done.refused} == {r.job.pk: r.problems for r in rows if r.problems}
    written = JournalEntry.objects.count() - len(before[1])
    assert written == len(can), "one journal row for each job, by its own action"
    assert disagreements(Job.objects.all()) == []


@pytest.mark.parametrize("place", range(5))
def test_the_same_press_twice_changes_nothing_more(place: int) -> None:
    jobs = [lead("hybrid"), lead("off_grid")]
    change = changes()[place]
    rows = tried(jobs, change)
    assert len(made(rows, change).done) == 2
    before = everything()
    again = made(rows, change)
    assert ([job.pk for job in again.already], again.done, again.moved) == ([job.pk for job in jobs], (), ())
    assert everything() == before


def test_a_job_on_which_something_was_recorded_is_left_alone_and_the_others_go_in() -> None:
    calm, moved = lead("hybrid"), lead("hybrid")
    change = Lose("They never answered.")
    rows = tried([calm, moved], change)
    office.set_price(job=moved, actor=office_person(), price_usd=Decimal(21_000))
    done = made(rows, change)
    assert [job.pk for job in done.done] == [calm.pk]
    assert [job.pk for job in done.moved] == [moved.pk]
    moved.refresh_from_db()
    assert moved.outcome == ""


def test_a_job_with_another_next_step_since_is_left_alone() -> None:
    """The calendar alone may move it, without a row in the journal."""
    job = lead("hybrid")
    change = PutOff(later(), "They are away.")
    rows = tried([job], change)
    Job.objects.filter(pk=job.pk).update(next_key="contract_signed")
    assert [each.pk for each in made(rows, change).moved] == [job.pk]
    assert not Snooze.objects.exists()


def test_what_one_job_refuses_keeps_no_other_from_going_in() -> None:
    job, resting, closed = lead("hybrid"), lead("hybrid"), lead("hybrid")
    actor = office_person()
    pausing.pause_job(job=resting, actor=actor, cause="weather", reason="Storms.", look_again_on=later(5))
    Job.objects.filter(pk=closed.pk).update(outcome="lost")
    change = Rest("undecided", "They think about it.", later())
    rows = tried([job, resting, closed], change)
    assert [row.can for row in rows] == [True, False, False]
    done = made(rows, change)
    assert [each.pk for each in done.done] == [job.pk]
    reasons = {each.job.pk: [problem.message for problem in each.problems] for each in done.refused}
    assert "paused already" in reasons[resting.pk][0]
    assert "closed" in reasons[closed.pk][0]


def test_a_jurisdiction_stays_where_permits_are_submitted_and_the_utility_where_none_is_chosen() -> None:
    early, late = job_at("engineering"), job_at("inspection")
    town, power = JurisdictionFactory(), early.utility
    rows = tried([early, late], SetAuthorities(jurisdiction=town))
    assert [row.can for row in rows] == [True, False]
    assert ("Jurisdiction", town.name) in [(each.label, each.becomes) for each in rows[0].differences]
    assert "submitted already" in rows[1].problems[0].message
    made(rows, SetAuthorities(jurisdiction=town))
    early.refresh_from_db()
    assert (early.jurisdiction, early.utility) == (town, power)


def with_an_unheard_first_look() -> Job:
    """The first look is theirs to answer, and no letter said so."""
    job = lead("hybrid")
    with patch.multiple("projects.actions.recording", refresh=MagicMock(), outbox=MagicMock()):
        intake.decide_system_type(job=job, kind="hybrid", actor=office_person())
        Story(job, "hybrid").paper("first_look")
    job.refresh_from_db()
    refresh(job)
    return job


def test_the_look_says_whom_a_letter_would_go_to_and_sends_none() -> None:
    asked, not_asked = with_an_unheard_first_look(), with_an_unheard_first_look()
    # The customers are waited for and were never told: the first fact recorded brings the letter.
    office.set_price(job=asked, actor=office_person(), price_usd=Decimal(20_000))
    assert Message.objects.filter(job=asked).exists()
    rows = tried([asked, not_asked], Assign(owner_person()))
    assert [row.letter for row in rows] == [False, True]
    assert not Message.objects.filter(job=not_asked).exists()


def test_what_a_job_has_already_is_neither_changed_nor_refused() -> None:
    job = lead("hybrid")
    office.assign(job=job, person=owner_person(), actor=office_person())
    [row] = tried([job], Assign(owner_person()))
    assert row.already
    assert not row.can


def test_work_stops_when_the_time_is_over_and_goes_on_with_what_is_left() -> None:
    jobs = [lead("hybrid") for _ in range(3)]
    change, actor = Assign(owner_person()), office_person()
    first = bulk.try_on_many(ids=[job.pk for job in jobs], change=change, actor=actor, seconds=0)
    assert [row.job.pk for row in first] == [jobs[0].pk]
    left = {row.job.pk: row.stamp for row in tried(jobs, change)}
    for job in jobs:
        done = bulk.make_on_many(stamps=left, change=change, actor=actor, seconds=0)
        assert [each.pk for each in done.done] == [job.pk]
        left = dict(done.left)
    assert left == {}


def test_nothing_and_more_than_five_hundred_are_refused() -> None:
    for ids in ([], list(range(1, 502))):
        with pytest.raises(Problems):
            bulk.try_on_many(ids=ids, change=Assign(None), actor=office_person())
        with pytest.raises(Problems):
            bulk.make_on_many(stamps=dict.fromkeys(ids, ""), change=Assign(None), actor=office_person())


def test_the_crew_changes_no_jobs_in_bulk() -> None:
    job = lead("hybrid")
    with pytest.raises(NotAllowed):
        bulk.try_on_many(ids=[job.pk], change=Assign(None), actor=crew_person())
    with pytest.raises(NotAllowed):
        bulk.make_on_many(stamps={job.pk: ""}, change=Assign(None), actor=crew_person())
