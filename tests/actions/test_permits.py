"""Permits: licence, day and order; corrections and resubmission; a design changed under an issued permit."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.utils import timezone

from projects.actions import design, marks, permits
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import standing_of
from projects.models import Job, Permit
from tests.factories import (
    JurisdictionFactory,
    LicenceFactory,
    Story,
    crew_person,
    job_at,
    licence,
    office_person,
    run_study,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return job_at("permits")


def today() -> date:
    return timezone.localdate()


def submit(job: Job, kind: str = "building", **changes: Any):
    given: dict[str, Any] = {"on": today(), "how": "online", "licence": licence("contractor"), "actor": office_person()}
    return permits.submit_permit(job=job, kind=kind, **{**given, **changes})


def told(problems: pytest.ExceptionInfo[Problems]) -> dict[str, str]:
    return {problem.field: problem.message for problem in problems.value}


def states(job: Job) -> dict[str, str]:
    return {r.key: r.state for r in standing_of(job).requirements}


def issue(job: Job, kind: str = "building", **changes: Any) -> Permit:
    given: dict[str, Any] = {"on": today(), "number": "B-77", "actor": office_person()}
    return permits.issue_permit(job=job, kind=kind, **{**given, **changes})


def test_a_submission_freezes_the_design(job: Job) -> None:
    submission = submit(job, fee_usd=Decimal("120"), number="APP-1")
    current = job.designs.latest("revision")
    assert (submission.round, submission.design_fingerprint) == (1, current.fingerprint)
    assert submission.design_frozen == current.frozen
    assert states(job)["permit_building_submitted"] == "met"
    assert states(job)["permit_electrical_submitted"] == "open"
    entry = job.journal.last()
    assert (entry.kind, entry.effective_on, entry.data["fee_usd"]) == ("permit_submitted", today(), "120")


def test_the_crew_submits_no_permits(job: Job) -> None:
    with pytest.raises(NotAllowed):
        submit(job, actor=crew_person())
    assert not job.permits.exists()


def test_not_before_engineering_is_done() -> None:
    early = job_at("engineering")
    with pytest.raises(Problems) as problems:
        submit(early)
    messages = " ".join(problem.message for problem in problems.value)
    for missing in ("contract", "single-line diagram", "electrician", "contractor", "no design"):
        assert missing in messages


def test_the_licence_must_fit_trade_state_and_day(job: Job) -> None:
    assert told_for(job, licence=None) == "Choose the contractor's licence."
    assert "needs a licensed contractor" in told_for(job, licence=licence("electrician"))
    assert "is for VA" in told_for(job, licence=LicenceFactory(state="VA"))
    assert "expired" in told_for(job, licence=LicenceFactory(expires_on=today() - timedelta(days=1)))
    assert "needs a licensed electrician" in told_for(job, "electrical", licence=licence("contractor"))
    submit(job, "electrical", licence=licence("electrician"))


def told_for(job: Job, kind: str = "building", **changes: Any) -> str:
    with pytest.raises(Problems) as problems:
        submit(job, kind, **changes)
    return told(problems)["licence"]


def test_a_licence_valid_on_the_day_of_submission_is_enough(job: Job) -> None:
    on = today() - timedelta(days=2)
    submit(job, licence=LicenceFactory(expires_on=on), on=on)


@pytest.mark.parametrize("kind", ["combined", "fire", "zoning"])
def test_a_permit_the_jurisdiction_does_not_ask_for_is_refused(job: Job, kind: str) -> None:
    with pytest.raises(Problems) as problems:
        submit(job, kind)
    assert "kind" in told(problems)


def test_nothing_is_submitted_tomorrow_or_before_the_contract(job: Job) -> None:
    for on in (today() + timedelta(days=1), job.marks.get(key="contract_signed").on - timedelta(days=1)):
        with pytest.raises(Problems) as problems:
            submit(job, on=on)
        assert set(told(problems)) == {"on"}


def test_twice_in_review_is_refused(job: Job) -> None:
    submit(job)
    with pytest.raises(Problems, match="still in plan review"):
        submit(job)
    assert job.permits.get().submissions.count() == 1


def test_corrections_are_answered_one_by_one_and_then_resubmitted(job: Job) -> None:
    submit(job, on=today() - timedelta(days=9))
    permits.record_corrections(
        job=job,
        kind="building",
        actor=office_person(),
        on=today() - timedelta(days=5),
        comments=["Setback?", " ", "Load?"],
    )
    first, second = job.permits.get().submissions.get().comments.all()
    assert states(job)["permit_building_corrections"] == "open"
    with pytest.raises(Problems) as problems:
        submit(job)
    assert "Not answered yet: Setback?" in [p.message for p in problems.value]
    answer = {"actor": office_person(), "answer": "Sheet 2."}
    with pytest.raises(Problems):
        permits.answer_comment(comment=first, on=today() - timedelta(days=6), **answer)
    permits.answer_comment(comment=first, on=today() - timedelta(days=3), **answer)
    permits.answer_comment(comment=second, on=today() - timedelta(days=2), **answer)
    with pytest.raises(Problems, match="Already answered"):
        permits.answer_comment(comment=first, on=today(), **answer)
    with pytest.raises(Problems, match="last comment was answered"):
        submit(job, on=today() - timedelta(days=3))
    assert submit(job).round == 2
    assert "permit_building_corrections" not in states(job)


def test_corrections_need_comments_and_a_submission(job: Job) -> None:
    with pytest.raises(Problems) as problems:
        permits.record_corrections(job=job, kind="building", actor=office_person(), on=today(), comments=["  "])
    assert set(told(problems)) == {"comments", "kind"}


def test_an_issued_permit_expires_by_the_profile(job: Job) -> None:
    submit(job)
    permit = issue(job)
    assert permit.expires_on == today() + timedelta(days=job.jurisdiction.permit_valid_days)
    assert "b-77" in job.search_text


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"number": " "}, "number"),
        ({"on": date(2020, 1, 1)}, "on"),
        ({"expires_on": date(2020, 1, 1)}, "expires_on"),
        ({"kind": "electrical"}, "kind"),
    ],
)
def test_an_issue_that_makes_no_sense_is_refused(job: Job, changes: dict[str, Any], field: str) -> None:
    submit(job, on=today() - timedelta(days=1))
    with pytest.raises(Problems) as problems:
        issue(job, **changes)
    assert field in told(problems)


def test_issued_before_it_was_submitted_is_refused(job: Job) -> None:
    submit(job, on=today())
    with pytest.raises(Problems, match="submitted"):
        issue(job, on=today() - timedelta(days=1))


def test_issued_twice_or_after_corrections_is_refused(job: Job) -> None:
    submit(job)
    issue(job)
    with pytest.raises(Problems, match="issued already"):
        issue(job)
    submit(job, "electrical", licence=licence("electrician"))
    permits.record_corrections(job=job, kind="electrical", actor=office_person(), on=today(), comments=["Label."])
    with pytest.raises(Problems, match="resubmit first"):
        issue(job, "electrical")


def test_a_design_changed_after_issue_stops_the_installation_until_the_revision_is_issued() -> None:
    job = job_at("installation")
    design.save_design(job=job, actor=office_person(), plane_modules=[{"plane": "South roof", "modules": 14}])
    standing = standing_of(job)
    match = next(r for r in standing.requirements if r.key == "permits_match_design")
    assert match.detail == "Modules on South roof: 16 → 14"
    assert job.stage == "engineering"
    with pytest.raises(Problems) as problems:
        submit(job)
    assert any("single-line" in p.message for p in problems.value)
    run_study(job, office_person())
    story = Story(job, "hybrid")
    story.day = today()
    story.paper("single_line")
    story.mark("electrician_review")
    story.mark("contractor_review")
    submit(job)
    submit(job, "electrical", licence=licence("electrician"))
    with pytest.raises(Problems, match="is not issued"):
        marks.record_mark(job=job, key="install_started", on=today(), actor=office_person())
    issue(job)
    issue(job, "electrical")
    job.refresh_from_db()
    assert job.stage == "installation"
    assert [s.round for s in job.permits.get(kind="building").submissions.all()] == [1, 2]


def test_a_permit_is_renewed_to_a_later_day_only(job: Job) -> None:
    with pytest.raises(Problems):
        permits.renew_permit(job=job, kind="building", actor=office_person(), on=today(), expires_on=today())
    submit(job)
    permit = issue(job)
    renew = {"job": job, "kind": "building", "actor": office_person(), "on": today()}
    with pytest.raises(Problems) as problems:
        permits.renew_permit(**renew, expires_on=permit.expires_on)
    assert set(told(problems)) == {"expires_on"}
    later = permit.expires_on + timedelta(days=90)
    assert permits.renew_permit(**renew, expires_on=later).expires_on == later


def test_combined_and_fire_where_the_profile_asks() -> None:
    job = job_at("permits", jurisdiction=JurisdictionFactory(combined_permit=True, fire_review=True))
    with pytest.raises(Problems):
        submit(job, "building")
    submit(job, "combined")
    submit(job, "fire")
    assert sorted(job.permits.values_list("kind", flat=True)) == ["combined", "fire"]


def test_an_exempt_off_grid_job_submits_nothing() -> None:
    township = JurisdictionFactory(off_grid_exempt=True, off_grid_exemption_rule="Ordinance 3")
    job = job_at("permits", "off_grid", jurisdiction=township)
    with pytest.raises(Problems, match="not part of this job's route"):
        submit(job)
