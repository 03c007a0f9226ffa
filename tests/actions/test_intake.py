"""Leads: taken in, asked, decided, recognised as duplicates."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from projects.actions import intake
from projects.actions.problems import NotAllowed, Problems
from projects.models import Job, LeadAnswers
from tests.factories import JurisdictionFactory, PersonFactory, UtilityFactory, lead, office_person

pytestmark = pytest.mark.django_db


def fields(problems: pytest.ExceptionInfo[Problems]) -> set[str]:
    return {problem.field for problem in problems.value}


def public(**changes: Any) -> Job:
    given: dict[str, Any] = {
        "actor": None,
        "name": "  Orla   Finch ",
        "phone": "+1 (252) 555-0142",
        "street": "3 Tern Court",
        "city": "Morehead City",
        "state": "nc",
        "zip_code": "28557",
    }
    return intake.receive_lead(**{**given, **changes})


def test_a_homeowner_opens_a_job_with_what_little_they_know() -> None:
    job = public()
    assert job.customer.name == "Orla Finch"
    assert job.customer.phone_digits == "2525550142"
    assert (job.site.county, job.site.time_zone, job.site.state) == ("Carteret County", "America/New_York", "NC")
    assert job.stage == "lead"
    assert job.due_on == timezone.localdate(job.received_at) + timedelta(days=1)
    entry = job.journal.get()
    assert (entry.kind, entry.actor) == ("lead_received", None)
    assert "Finch" not in str(entry.data)


def test_jobs_are_numbered_in_order() -> None:
    assert [public().number, public().number, public().number] == [1, 2, 3]


def test_all_that_is_wrong_with_a_lead_is_told_at_once() -> None:
    with pytest.raises(Problems) as told:
        public(
            name=" ",
            phone="12345",
            email="nobody",
            street="",
            city="",
            state="VA",
            goal="glory",
            monthly_kwh=[100] * 11,
            outage_days_wanted=0,
            received_at=timezone.now() + timedelta(hours=1),
        )
    assert fields(told) == {
        "name", "phone", "email", "street", "city", "zip_code", "goal", "monthly_kwh", "outage_days_wanted",
        "received_at",
    }  # fmt: skip
    assert not Job.objects.exists()


def test_somebody_must_be_reachable() -> None:
    with pytest.raises(Problems) as told:
        public(phone="", email="")
    assert fields(told) == {"phone"}


@pytest.mark.parametrize("months", [[-1] * 12, [0] * 12, [100] * 13, [None] * 12, [float("nan")] * 12, [60_000] * 12])
def test_bills_that_make_no_sense_are_refused(months: list[Any]) -> None:
    with pytest.raises(Problems) as told:
        public(monthly_kwh=months)
    assert fields(told) == {"monthly_kwh"}


def test_typed_coordinates_win_over_the_middle_of_the_zip_area() -> None:
    job = public(latitude_deg=34.8, longitude_deg=-76.7)
    assert (job.site.latitude_deg, job.site.located_from) == (34.8, "typed")


def test_the_crew_takes_in_no_leads() -> None:
    with pytest.raises(NotAllowed):
        public(actor=PersonFactory(role="crew"))


def test_the_authorities_are_guessed_from_town_and_neighbours() -> None:
    county, town = JurisdictionFactory(name="Carteret County"), JurisdictionFactory(name="Town of Otter Bend")
    power = UtilityFactory()
    assert public().jurisdiction == county
    assert public(city="Otter Bend").jurisdiction == town
    neighbour = lead(utility=power, zip_code="28557")
    assert public().utility == neighbour.utility == power


def test_answers_change_and_the_journal_says_which() -> None:
    job = public(must_run=["fridge"], goal="payback", yearly_kwh=9000)
    intake.update_answers(job=job, actor=office_person(), goal="backup", yearly_kwh=9000, owns_home=False)
    answers = LeadAnswers.objects.get(job=job)
    assert (answers.goal, answers.yearly_kwh, job.site.owns_home) == ("backup", 9000, False)
    assert job.journal.last().data == {"fields": ["goal", "owns home"]}
    assert job.recommended_kind == "hybrid"


def test_the_same_answers_again_are_nothing_to_do() -> None:
    job = public(goal="backup")
    intake.update_answers(job=job, actor=office_person(), goal="backup")
    assert job.journal.count() == 1


def test_an_answer_nobody_asks_for_is_a_mistake_of_the_code() -> None:
    with pytest.raises(TypeError):
        intake.update_answers(job=public(), actor=office_person(), favourite_colour="green")


def test_the_recommendation_stays_beside_the_decision() -> None:
    job = public(goal="backup", outage_days_wanted=3)
    assert job.recommended_kind == "hybrid"
    with pytest.raises(Problems) as told:
        intake.decide_system_type(job=job, kind="grid_tied", actor=office_person())
    assert fields(told) == {"reason"}
    intake.decide_system_type(job=job, kind="grid_tied", actor=office_person(), reason="Budget.")
    assert (job.system_kind, job.recommended_kind, job.kind_reason) == ("grid_tied", "hybrid", "Budget.")
    assert set(job.recommendation["meanings"]) == {"grid_tied", "hybrid", "off_grid"}
    assert job.recommendation["reasons"]


@pytest.mark.parametrize("kind", ["grid_tied", "hybrid"])
def test_without_a_utility_line_only_off_grid_is_possible(kind: str) -> None:
    job = public(grid_available=False)
    with pytest.raises(Problems) as told:
        intake.decide_system_type(job=job, kind=kind, actor=office_person(), reason="They insist.")
    assert "kind" in fields(told)


def test_an_unknown_kind_is_refused() -> None:
    with pytest.raises(Problems) as told:
        intake.decide_system_type(job=public(), kind="nuclear", actor=office_person(), reason="Why not.")
    assert fields(told) == {"kind"}


def test_deciding_twice_the_same_is_nothing_to_do() -> None:
    job = public(goal="backup")
    for _ in range(2):
        intake.decide_system_type(job=job, kind="hybrid", actor=office_person())
    assert job.journal.filter(kind="system_decided").count() == 1


def test_a_moved_address_is_located_anew() -> None:
    job = public()
    intake.update_address(
        job=job, actor=office_person(), street="9 Mill Street", city="Asheville", state="NC", zip_code="28801"
    )
    assert job.site.longitude_deg < -82
    assert job.site.elevation_m > 400
    assert "asheville" in job.search_text


def test_a_duplicate_is_closed_and_points_to_the_first() -> None:
    first, second = public(), public()
    intake.mark_duplicate(job=second, of=first, actor=office_person())
    assert (second.duplicate_of, second.outcome) == (first, "cancelled")
    assert (second.next_step, second.waiting_on, second.due_on) == ("", "", None)
    with pytest.raises(Problems):
        intake.mark_duplicate(job=first, of=second, actor=office_person())
    with pytest.raises(Problems):
        intake.mark_duplicate(job=first, of=first, actor=office_person())


def test_a_closed_job_takes_no_facts() -> None:
    first, second = public(), public()
    intake.mark_duplicate(job=second, of=first, actor=office_person())
    with pytest.raises(Problems, match="reopen it first"):
        intake.update_answers(job=second, actor=office_person(), goal="backup")


def test_contact_can_be_corrected() -> None:
    job = public()
    intake.update_contact(job=job, actor=office_person(), email="Orla@Mail.Example", name="Orla Finch-Day")
    assert job.customer.email == "orla@mail.example"
    assert "finch-day" in job.search_text
    entry = job.journal.last()
    assert entry.data == {"fields": ["name", "email"]}
