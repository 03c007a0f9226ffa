"""Putting a matter off, and taking that back."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from projects.actions import snoozing
from projects.actions.journal import sentence
from projects.actions.problems import NotAllowed, Problems
from projects.models import Permit, Snooze
from tests.factories import crew_person, job_at, lead, office_person

pytestmark = pytest.mark.django_db


def put_off(job, key, days=3, reason="They are away.", actor=None) -> Snooze:
    until = timezone.localdate() + timedelta(days=days)
    return snoozing.snooze(job=job, key=key, actor=actor or office_person(), until=until, reason=reason)


def test_a_step_is_put_off_and_brought_back() -> None:
    job = lead()
    due_on = job.due_on
    row = put_off(job, job.next_key)
    assert row.reason == "They are away."
    job.refresh_from_db()
    assert job.due_on == due_on, "putting off moves no deadline"
    entry = job.journal.last()
    assert entry.kind == "snoozed"
    assert "Reason: They are away." in sentence(entry)
    snoozing.end_snooze(job=job, key=row.key, actor=office_person())
    assert not job.snoozes.filter(ended_at=None).exists()
    assert sentence(job.journal.last()).startswith("Back on the desk")
    with pytest.raises(Problems, match="isn't put off"):
        snoozing.end_snooze(job=job, key=row.key, actor=office_person())


def test_putting_off_again_replaces_the_day() -> None:
    job = lead()
    put_off(job, job.next_key, 3)
    put_off(job, job.next_key, 9)
    assert job.snoozes.get(ended_at=None).until == timezone.localdate() + timedelta(days=9)
    assert job.snoozes.count() == 2


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"days": 0}, "until"), ({"days": -1}, "until"), ({"days": 61}, "until"), ({"reason": "  "}, "reason")],
)
def test_it_takes_a_reason_and_a_day_within_two_months(changes, field) -> None:
    job = lead()
    with pytest.raises(Problems) as refused:
        put_off(job, job.next_key, **changes)
    assert [problem.field for problem in refused.value] == [field]
    assert not Snooze.objects.exists()


def test_only_what_is_open_can_be_put_off() -> None:
    job = lead()
    for key in ("contact", "switched_on", "no_such_thing", "permit_building_expiry"):
        with pytest.raises(Problems, match="nothing to put off"):
            put_off(job, key)


def test_an_expiry_is_put_off_only_while_the_work_is_safe() -> None:
    job = job_at("installation")
    Permit.objects.filter(job=job, kind="building").update(expires_on=timezone.localdate() + timedelta(days=20))
    with pytest.raises(Problems, match="Work stops"):
        put_off(job, "permit_building_expiry", 14)
    put_off(job, "permit_building_expiry", 13)
    Permit.objects.filter(job=job, kind="building").update(expires_on=timezone.localdate() - timedelta(days=1))
    with pytest.raises(Problems, match="can't be put off"):
        put_off(job, "permit_building_renewal", 1)


def test_the_crew_puts_nothing_off() -> None:
    job = lead()
    with pytest.raises(NotAllowed):
        put_off(job, job.next_key, actor=crew_person())
