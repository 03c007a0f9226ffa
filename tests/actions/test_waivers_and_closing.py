"""The owner's waivers, and jobs that end before their time."""

from __future__ import annotations

import pytest

from projects.actions import closing, marks, office, reopening, waivers
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import standing_of
from projects.models import Waiver
from projects.route.requirements import HOLDS
from tests.factories import crew_person, job_at, office_person, owner_person

pytestmark = pytest.mark.django_db


def waive(job, key="go_ahead", actor=None, reason="A neighbour's word."):
    return waivers.waive(job=job, key=key, actor=actor or owner_person(), reason=reason)


def test_the_owner_alone_waives_and_the_journal_keeps_the_reason() -> None:
    job = job_at("lead")
    for actor in (office_person(), crew_person()):
        with pytest.raises(NotAllowed):
            waive(job, actor=actor)
    waive(job)
    entry = job.journal.last()
    assert (entry.kind, entry.data["reason"]) == ("waived", "A neighbour's word.")
    assert {r.key: r.state for r in standing_of(job).requirements}["go_ahead"] == "waived"


def test_a_waiver_needs_a_reason_and_something_to_waive() -> None:
    job = job_at("site_assessment")
    with pytest.raises(Problems) as problems:
        waive(job, reason=" ")
    assert {p.field for p in problems.value} == {"reason", "key"}
    with pytest.raises(Problems):
        waive(job, key="sunshine")
    with pytest.raises(Problems, match="not part"):
        waive(job, key="financing")


@pytest.mark.parametrize("key", HOLDS)
def test_a_hold_is_never_waived(key: str) -> None:
    job = job_at("permits")
    with pytest.raises(Problems, match="protects people"):
        waive(job, key=key)
    assert not Waiver.objects.exists()


def test_a_waiver_releases_no_hold() -> None:
    """Whatever may be waived is; the crew still can't start without the permits."""
    job = job_at("permits")
    for requirement in standing_of(job).requirements:
        if requirement.waivable and not requirement.done:
            waive(job, key=requirement.key)
    with pytest.raises(Problems, match="permit is not issued"):
        marks.record_mark(job=job, key="install_started", on=job.received_at.date(), actor=owner_person())
    with pytest.raises(Problems, match="has not"):
        marks.record_mark(job=job, key="switched_on", on=job.received_at.date(), actor=owner_person())


def test_waived_twice_is_refused_and_withdrawn_once() -> None:
    job = job_at("lead")
    waive(job)
    with pytest.raises(Problems, match="already waived"):
        waive(job)
    with pytest.raises(NotAllowed):
        waivers.withdraw_waiver(job=job, key="go_ahead", actor=office_person())
    waivers.withdraw_waiver(job=job, key="go_ahead", actor=owner_person())
    with pytest.raises(Problems, match="not waived"):
        waivers.withdraw_waiver(job=job, key="go_ahead", actor=owner_person())
    waive(job)
    assert Waiver.objects.count() == 2


@pytest.mark.parametrize("outcome", ["lost", "cancelled"])
def test_a_closed_job_waits_on_nobody_and_comes_back_where_it_was(outcome: str) -> None:
    job = job_at("site_assessment")
    before = (job.stage, job.next_step, job.due_on)
    closing.close_job(job=job, actor=office_person(), outcome=outcome, reason="They move.")
    assert (job.outcome, job.next_step, job.waiting_on, job.due_on, job.crew_steps) == (outcome, "", "", None, 0)
    with pytest.raises(Problems, match="closed"):
        closing.close_job(job=job, actor=office_person(), outcome=outcome, reason="Again.")
    with pytest.raises(Problems):
        reopening.reopen_job(job=job, actor=office_person(), reason="")
    reopening.reopen_job(job=job, actor=office_person(), reason="They stay.")
    assert (job.stage, job.next_step, job.due_on) == before
    assert job.outcome_reason == ""
    with pytest.raises(Problems, match="is open"):
        reopening.reopen_job(job=job, actor=office_person(), reason="Again.")


def test_closing_needs_an_outcome_and_a_reason() -> None:
    with pytest.raises(Problems) as problems:
        closing.close_job(job=job_at("lead"), actor=office_person(), outcome="won", reason="")
    assert {p.field for p in problems.value} == {"outcome", "reason"}


def test_a_finished_job_is_not_lost() -> None:
    with pytest.raises(Problems, match="in service"):
        closing.close_job(job=job_at("done"), actor=office_person(), outcome="lost", reason="Hm.")


def test_a_closed_job_can_still_show_its_customer_the_page() -> None:
    job = job_at("lead")
    closing.close_job(job=job, actor=office_person(), outcome="lost", reason="They move.")
    assert office.share_link(job=job, actor=office_person())
