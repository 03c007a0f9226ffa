"""People, licences, profiles, catalogue; and a job's price, person, authorities and links."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from projects.actions import office, papers, profiles, staff
from projects.actions.problems import NotAllowed, Problems
from projects.models import CustomerLink, Jurisdiction, Person
from tests.factories import (
    JurisdictionFactory,
    LicenceFactory,
    PersonFactory,
    UtilityFactory,
    crew_person,
    job_at,
    lead,
    office_person,
    owner_person,
)

pytestmark = pytest.mark.django_db


def fields(problems) -> set[str]:
    return {problem.field for problem in problems.value}


def test_a_price_is_set_changed_and_taken_back() -> None:
    job = lead()
    for price in (Decimal("21000"), Decimal("21000.00"), None):
        office.set_price(job=job, actor=office_person(), price_usd=price)
    assert [entry.data["price_usd"] for entry in job.journal.filter(kind="price_set")] == ["21,000.00", "none"]
    for wrong in (Decimal(0), Decimal(-5), Decimal(10**8)):
        with pytest.raises(Problems):
            office.set_price(job=job, actor=office_person(), price_usd=wrong)


def test_somebody_who_works_here_looks_after_a_job() -> None:
    job = lead()
    office.assign(job=job, person=crew_person(), actor=office_person())
    assert job.assigned_to == crew_person()
    for nobody in (PersonFactory(role="licence_holder"), PersonFactory(is_active=False)):
        with pytest.raises(Problems):
            office.assign(job=job, person=nobody, actor=office_person())


def test_authorities_shape_the_route_until_permits_are_submitted() -> None:
    job = lead()
    with pytest.raises(Problems) as problems:
        office.set_authorities(
            job=job, actor=office_person(), jurisdiction=JurisdictionFactory(state="VA"), utility=job.utility
        )
    assert fields(problems) == {"jurisdiction"}
    submitted = job_at("installation")
    with pytest.raises(Problems, match="submitted already"):
        office.set_authorities(
            job=submitted, actor=office_person(), jurisdiction=JurisdictionFactory(), utility=submitted.utility
        )
    office.set_authorities(
        job=submitted, actor=office_person(), jurisdiction=submitted.jurisdiction, utility=UtilityFactory()
    )


def test_a_link_keeps_only_a_hash_and_can_be_ended() -> None:
    job = lead()
    token = office.share_link(job=job, actor=office_person())
    link = CustomerLink.objects.get()
    assert token not in (link.token_hash, str(job.journal.last().data))
    assert len(token) >= 40
    assert link.expires_at > timezone.now() + timedelta(days=30)
    assert office.revoke_links(job=job, actor=office_person()) == 1
    assert office.revoke_links(job=job, actor=office_person()) == 0
    with pytest.raises(NotAllowed):
        office.share_link(job=job, actor=crew_person())


def test_a_profile_that_changes_a_route_is_told_to_its_open_jobs_alone() -> None:
    county = JurisdictionFactory()
    job, elsewhere = job_at("permits", jurisdiction=county), job_at("permits")
    profiles.save_jurisdiction(actor=office_person(), instance=county, fire_review=True)
    job.refresh_from_db()
    assert ["future", "permit_fire"] in job.gates or any(key == "permit_fire" for _, key in job.gates)
    assert job.journal.last().kind == "profile_changed"
    assert not elsewhere.journal.filter(kind="profile_changed").exists()
    before = job.journal.count()
    profiles.save_jurisdiction(actor=office_person(), instance=county, phone="(252) 555-0101")
    assert job.journal.count() == before


def test_a_closure_moves_due_days() -> None:
    county = JurisdictionFactory()
    job = job_at("permits", jurisdiction=county)
    due = job.due_on
    closure = profiles.add_closure(actor=office_person(), jurisdiction=county, on=due)
    job.refresh_from_db()
    assert job.due_on > due
    with pytest.raises(Problems):
        profiles.add_closure(actor=office_person(), jurisdiction=county, on=due)
    profiles.remove_closure(actor=office_person(), closure=closure)
    job.refresh_from_db()
    assert job.due_on == due


def test_profiles_are_checked() -> None:
    with pytest.raises(Problems) as problems:
        profiles.save_jurisdiction(
            actor=office_person(), name="", state="XX", off_grid_exempt=True, answer_days=999, code_edition="1999"
        )
    assert fields(problems) == {"name", "state", "off_grid_exemption_rule", "answer_days", "code_edition"}
    JurisdictionFactory(name="Quill Town")
    with pytest.raises(Problems):
        profiles.save_jurisdiction(actor=office_person(), name="quill town", state="NC")
    with pytest.raises(Problems) as problems:
        profiles.save_utility(actor=office_person(), name="Light", energy_usd_per_kwh=Decimal("-0.1"))
    assert fields(problems) == {"energy_usd_per_kwh"}
    assert Jurisdiction.objects.count() == 1


def test_only_the_owner_makes_an_owner() -> None:
    with pytest.raises(NotAllowed):
        staff.save_person(actor=office_person(), username="max", first_name="Max", role="owner")
    with pytest.raises(NotAllowed):
        staff.save_person(actor=office_person(), instance=owner_person(), first_name="Max")
    made = staff.save_person(actor=owner_person(), username="max", first_name="Max", role="owner")
    assert made.is_owner


def test_there_is_always_an_owner_who_can_sign_in() -> None:
    owner = owner_person()
    for change in ({"role": "office"}, {"is_active": False}):
        with pytest.raises(Problems) as problems:
            staff.save_person(actor=owner, instance=owner, **change)
        assert "role" in fields(problems)
    PersonFactory(role="owner")
    staff.save_person(actor=owner, instance=owner, role="office")


def test_people_are_checked_and_passwords_too() -> None:
    PersonFactory(username="ada")
    with pytest.raises(Problems) as problems:
        staff.save_person(
            actor=owner_person(), username="Ada", email="nope", role="wizard", password="short", first_name=""
        )
    assert fields(problems) == {"username", "email", "role", "password", "first_name"}
    made = staff.save_person(actor=owner_person(), username="bo", first_name="Bo", password="marsh-heron-quay-9")
    assert made.check_password("marsh-heron-quay-9")
    assert not staff.save_person(actor=owner_person(), username="cy", first_name="Cy").has_usable_password()
    with pytest.raises(TypeError):
        staff.save_person(actor=owner_person(), username="di", first_name="Di", is_superuser=True)
    with pytest.raises(Problems) as problems:
        staff.save_person(actor=office_person(), instance=office_person(), is_active=False)
    assert fields(problems) == {"is_active"}
    assert Person.objects.filter(username="di").count() == 0


def test_a_licence_is_listed_once_and_renewed() -> None:
    row = LicenceFactory()
    later = row.expires_on + timedelta(days=365)
    assert staff.save_licence(actor=office_person(), instance=row, expires_on=later).expires_on == later
    with pytest.raises(Problems) as problems:
        staff.save_licence(
            actor=office_person(), holder=row.holder, trade=row.trade, number=row.number, state="nc", expires_on=later
        )
    assert fields(problems) == {"number"}


@pytest.mark.parametrize(
    ("catalogue", "changes", "wrong"),
    [
        ("module", {"power_w": -1.0}, {"power_w"}),
        ("module", {"temp_coeff_voc_pct_per_c": 0.3}, {"temp_coeff_voc_pct_per_c"}),
        ("module", {"vmp_v": 50.0}, {"vmp_v"}),
        ("module", {"imp_a": 20.0}, {"imp_a"}),
    ],
)
def test_a_datasheet_that_cannot_be_is_refused(catalogue: str, changes: dict, wrong: set[str]) -> None:
    sheet = {
        "name": "Wader 9", "power_w": 400.0, "voc_v": 37.0, "isc_a": 13.7, "vmp_v": 31.0, "imp_a": 12.9,
        "temp_coeff_pmax_pct_per_c": -0.35, "temp_coeff_voc_pct_per_c": -0.27, "length_m": 1.7, "width_m": 1.1,
    }  # fmt: skip
    with pytest.raises(Problems) as problems:
        staff.save_equipment(actor=office_person(), catalogue=catalogue, **{**sheet, **changes})
    assert fields(problems) == wrong
    staff.save_equipment(actor=office_person(), catalogue=catalogue, **sheet)
    with pytest.raises(Problems):
        staff.save_equipment(actor=office_person(), catalogue=catalogue, **{**sheet, "name": "wader 9"})


def test_papers_are_noted_with_day_and_number() -> None:
    job = lead()
    given = {"job": job, "actor": office_person(), "on": timezone.localdate(), "number": "0001-FL-1"}
    issue = papers.record_paper_issued(**given, kind="first_look")
    assert issue.number == "0001-FL-1"
    with pytest.raises(Problems) as problems:
        papers.record_paper_issued(**{**given, "number": "", "on": timezone.localdate() + timedelta(days=1)}, kind="")
    assert fields(problems) == {"kind", "number", "on"}
