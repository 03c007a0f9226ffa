"""The utility's side by level: completeness, screens, study, queue, meter order, and a design that changed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from projects.actions import design, interconnection, journal
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import disagreements, standing_of
from projects.models import Interconnection, Job
from tests.factories import Story, UtilityFactory, crew_person, job_at, office_person

pytestmark = pytest.mark.django_db


def today():
    return timezone.localdate()


def applied(**utility) -> Job:
    job = job_at("permits", utility=UtilityFactory(**utility))
    interconnection.submit_application(job=job, actor=office_person(), on=today(), number="IA-1")
    return job


def of(job: Job, key: str):
    return next((r for r in standing_of(job).requirements if r.key == key), None)


def test_the_size_applied_for_decides_the_level_for_good() -> None:
    job = applied(simplified_up_to_kw=5)
    row = Interconnection.objects.get(job=job)
    assert (row.level, row.applied_kw_ac) == (2, 7.6)
    # A utility that moves its threshold later changes nothing for an application that is in.
    job.utility.simplified_up_to_kw = 25
    job.utility.save()
    assert of(job, "screens") is not None


def test_each_step_waits_for_the_one_before_and_is_recorded_once() -> None:
    job = applied(simplified_up_to_kw=5, completeness_days=5, meter_order=True)
    told = {"job": job, "actor": office_person(), "on": today()}
    with pytest.raises(Problems, match="found complete"):
        interconnection.pass_screens(**told)
    interconnection.record_complete(**told)
    with pytest.raises(Problems, match="Already recorded"):
        interconnection.record_complete(**told)
    with pytest.raises(Problems, match="screens"):
        interconnection.approve_interconnection(**told)
    with pytest.raises(Problems, match="not part"):
        interconnection.finish_grid_study(**told)
    interconnection.pass_screens(**told)
    interconnection.approve_interconnection(**told)
    with pytest.raises(Problems, match="agreement"):
        interconnection.order_meter(**told)
    interconnection.sign_agreement(**told)
    interconnection.order_meter(**told)
    assert of(job, "meter_ordered").done
    with pytest.raises(NotAllowed):
        interconnection.record_queue(job=job, actor=crew_person(), on=today(), position=3)


def test_a_place_in_the_queue_moves_with_each_word_of_it() -> None:
    job = applied()
    told = {"job": job, "actor": office_person()}
    interconnection.record_queue(**told, on=today(), position=14)
    interconnection.record_queue(**told, on=today(), position=9)
    assert of(job, "utility_approval").detail.endswith("number 9 in its queue")
    for position in (0, -3, None, 10**9):
        with pytest.raises(Problems) as problems:
            interconnection.record_queue(**told, on=today(), position=position)
        assert [p.field for p in problems.value] == ["position"]
    with pytest.raises(Problems, match="Before"):
        interconnection.record_queue(**told, on=today() - timedelta(days=1), position=9)
    interconnection.approve_interconnection(**told, on=today())
    with pytest.raises(Problems, match="isn't under review"):
        interconnection.record_queue(**told, on=today(), position=2)


def test_the_utility_may_take_the_application_on_another_level_than_its_size_says() -> None:
    job = applied(simplified_up_to_kw=25)
    told = {"job": job, "actor": office_person()}
    assert of(job, "screens") is None
    for level in (0, 4, None, 1):
        with pytest.raises(Problems) as problems:
            interconnection.place_on_level(**told, on=today(), level=level)
        assert [p.field for p in problems.value] == ["level"]
    with pytest.raises(Problems, match="Before"):
        interconnection.place_on_level(**told, on=today() - timedelta(days=1), level=2)
    interconnection.place_on_level(**told, on=today(), level=2)
    assert of(job, "screens").detail == f"level 2, as {job.utility.name} has the application"
    assert of(job, "utility_approval").state == "waiting"
    interconnection.place_on_level(**told, on=today(), level=3)
    assert of(job, "screens") is None
    assert of(job, "grid_study").detail.startswith("level 3, as ")
    assert disagreements([job]) == []
    entry = job.journal.filter(kind="application_level").first()
    assert journal.sentence(entry) == "The utility takes the application on level 2, fast track with screens"
    # A changed design is a new application in this: its size decides again.
    design.save_design(job=job, actor=office_person(), plane_modules=[{"plane": "South roof", "modules": 12}])
    interconnection.revise_application(**told, on=today())
    assert Interconnection.objects.get(job=job).level == 1
    interconnection.approve_interconnection(**told, on=today())
    with pytest.raises(Problems, match="isn't under review"):
        interconnection.place_on_level(**told, on=today(), level=2)


def test_a_changed_design_must_be_told_before_anything_else_of_the_utilitys() -> None:
    job = applied()
    told = {"job": job, "actor": office_person(), "on": today()}
    with pytest.raises(Problems, match="not part"):
        interconnection.revise_application(**told)
    design.save_design(job=job, actor=office_person(), plane_modules=[{"plane": "South roof", "modules": 12}])
    step = of(job, "application_matches_design")
    assert (step.state, step.party) == ("open", "office")
    with pytest.raises(Problems, match="changed design is told"):
        interconnection.approve_interconnection(**told)
    with pytest.raises(Problems, match="Before the design was drawn up"):
        interconnection.revise_application(**told | {"on": today() - timedelta(days=2)})
    interconnection.revise_application(**told)
    row = Interconnection.objects.get(job=job)
    assert (row.revised_on, row.design_fingerprint) == (today(), job.designs.order_by("-revision")[0].fingerprint)
    assert of(job, "application_matches_design") is None
    assert job.journal.filter(kind="application_revised").count() == 1
    interconnection.approve_interconnection(**told)
    assert disagreements(Job.objects.all()) == []


def test_what_differs_is_named_where_a_permit_shows_the_same_design() -> None:
    job = applied()
    telling = Story(job, "hybrid")
    telling.day = today()
    telling.submit("building")
    design.save_design(job=job, actor=office_person(), plane_modules=[{"plane": "South roof", "modules": 12}])
    assert of(job, "application_matches_design").detail == "Modules on South roof: 16 → 12"


def test_the_utility_rests_on_the_holidays_of_the_houses_state() -> None:
    """Not on the closures of the county's counter, which it knows nothing of."""
    from projects.actions.facts import facts_of

    job = applied()
    closed = today() + timedelta(days=(7 - today().weekday()) % 7 + 2)
    job.jurisdiction.closures.create(on=closed, reason="Staff training")
    facts = facts_of(Job.objects.get(pk=job.pk))
    assert closed in facts.jurisdiction.holidays
    assert closed not in facts.utility.holidays
    assert any(day.month == 7 and day.day == 4 for day in facts.utility.holidays)
