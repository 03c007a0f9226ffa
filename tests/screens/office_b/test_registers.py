"""The office's registers: who says yes, who works here, under which licence, with what."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from projects.models import Jurisdiction, Licence, ModuleModel, OfficeProfile, Person, Role, Utility
from projects.screens.office.settings_pages import validity
from tests import factories


def new(noun: str) -> str:
    return reverse("office-new", args=[noun])


def edit(noun: str, row) -> str:
    return reverse("office-edit", args=[noun, row.pk])


def typed(client, address: str, **changes) -> dict:
    form = client.get(address).context["form"]
    values = {name: form[name].value() for name in form.fields}
    return {name: value for name, value in (values | changes).items() if value is not False and value not in (None, "")}


def test_a_jurisdiction_is_added_and_its_profile_changed(office) -> None:
    said = typed(office, new("jurisdictions"), name="Heron Township", state="nc", fire_review="on")
    assert office.post(new("jurisdictions"), said).status_code == 302
    heron = Jurisdiction.objects.get()
    assert (heron.state, heron.fire_review, heron.code_edition) == ("NC", True, "2020")
    office.post(edit("jurisdictions", heron), typed(office, edit("jurisdictions", heron), building_review_days="15"))
    heron.refresh_from_db()
    assert heron.building_review_days == 15 and heron.fire_review
    assert "Heron Township" in office.get(reverse("office")).content.decode()


def test_an_exemption_names_its_rule(office) -> None:
    said = typed(office, new("jurisdictions"), name="Heron Township", state="NC", off_grid_exempt="on")
    answer = office.post(new("jurisdictions"), said)
    assert answer.status_code == 422 and "off_grid_exemption_rule" in answer.context["form"].errors


def test_a_jurisdictions_own_list_names_parts_that_a_packet_has(office) -> None:
    listed = "Plot plan = roof plan\nOwner's signed application"
    said = typed(office, new("jurisdictions"), name="Heron Township", state="NC", packet_list="Plot plan = attic plan")
    answer = office.post(new("jurisdictions"), said)
    assert answer.status_code == 422 and "is no part of a packet" in answer.context["form"].errors["packet_list"][0]
    assert "Plot plan = attic plan" in answer.content.decode() and not Jurisdiction.objects.exists()
    assert office.post(new("jurisdictions"), said | {"packet_list": listed}).status_code == 302
    assert Jurisdiction.objects.get().packet_list == listed


def test_a_change_of_profile_reroutes_open_jobs_and_their_journals_say_so(office, job) -> None:
    address = edit("jurisdictions", job.jurisdiction)
    office.post(address, typed(office, address, combined_permit="on"))
    assert job.journal.filter(kind="profile_changed").count() == 1


def test_a_counter_closes_for_a_day_and_opens_again(office) -> None:
    row = factories.JurisdictionFactory()
    address = reverse("office-closures", args=[row.pk])
    day = timezone.localdate() + timedelta(days=9)
    office.post(address, {"on": day.isoformat(), "reason": "Founders’ day"})
    assert row.closures.get().on == day
    again = office.post(address, {"on": day.isoformat()})
    assert again.status_code == 422 and "on the list already" in again.content.decode()
    assert office.post(address, {"on": "31/31/31"}).status_code == 422
    office.post(address, {"remove": str(row.closures.get().pk)})
    assert not row.closures.exists()
    for nonsense in ("x", "-1", "99999"):
        assert office.post(address, {"remove": nonsense}).status_code == 404


def test_a_utility_is_added_with_its_tariff(office) -> None:
    said = typed(office, new("utilities"), name="Shoal Light", energy_usd_per_kwh="0.1425", meter_swap="on")
    assert office.post(new("utilities"), said).status_code == 302
    assert float(Utility.objects.get().energy_usd_per_kwh) == 0.1425
    answer = office.post(new("utilities"), said | {"name": "Other", "energy_usd_per_kwh": "-1"})
    assert "energy_usd_per_kwh" in answer.context["form"].errors


def test_a_person_is_added_signs_in_and_has_the_sign_in_ended(office) -> None:
    said = {
        "first_name": "Piet",
        "last_name": "Marsh",
        "username": "piet",
        "role": "crew",
        "password": "rope and anchor",
        "is_active": "on",
    }
    assert office.post(new("people"), said).status_code == 302
    piet = Person.objects.get(username="piet")
    assert piet.check_password("rope and anchor")
    said.pop("is_active")
    said["password"] = ""
    office.post(edit("people", piet), said)
    piet.refresh_from_db()
    assert not piet.is_active and piet.check_password("rope and anchor")
    assert "ended" in office.get(reverse("office")).content.decode()


def test_a_weak_password_is_refused_at_its_field_and_never_shown_back(office) -> None:
    said = {"first_name": "Piet", "username": "piet", "role": "crew", "password": "password12", "is_active": "on"}
    answer = office.post(new("people"), said)
    assert answer.status_code == 422 and "password" in answer.context["form"].errors
    assert "password12" not in answer.content.decode()


def test_the_office_makes_no_owners(office, owner) -> None:
    said = {"first_name": "Eve", "username": "eve", "role": "owner", "is_active": "on"}
    assert office.post(new("people"), said).status_code == 422
    boss = Person.objects.filter(role=Role.OWNER).first()
    answer = office.post(edit("people", boss), {"first_name": "X", "username": boss.username, "role": "office"})
    assert answer.status_code == 403
    boss.refresh_from_db()
    assert boss.role == Role.OWNER
    assert owner.post(new("people"), said).status_code == 302


def test_a_licence_says_in_words_how_long_it_holds(office) -> None:
    holder = factories.PersonFactory(role=Role.LICENCE_HOLDER)
    said = {
        "holder": holder.pk,
        "trade": "electrician",
        "number": "E-7",
        "state": "NC",
        "expires_on": (timezone.localdate() + timedelta(days=20)).isoformat(),
    }
    assert office.post(new("licences"), said).status_code == 302
    assert "expires in 20 days" in office.get(reverse("office")).content.decode()
    assert "number" in office.post(new("licences"), said).context["form"].errors
    licence = Licence.objects.get()
    office.post(edit("licences", licence), said | {"expires_on": "2031-06-30"})
    assert "valid to 30 Jun 2031" in office.get(reverse("office")).content.decode()


def test_the_words_of_validity_at_the_edges() -> None:
    today = date(2026, 3, 1)
    assert validity(today, today) == ("dotted", "expires today")
    assert validity(today - timedelta(days=1), today) == ("open", "expired 28 Feb 2026")
    assert validity(today + timedelta(days=1), today) == ("dotted", "expires in 1 day, 2 Mar 2026")
    assert validity(today + timedelta(days=61), today) == ("closed", "valid to 1 May 2026")


def test_a_module_of_the_datasheet_enters_the_catalogue(office) -> None:
    said = {
        "name": "Sandpiper 410",
        "price_usd": "171.50",
        "warranty_years": "25",
        "active": "on",
        "power_w": "410",
        "voc_v": "37.4",
        "isc_a": "13.9",
        "vmp_v": "31.3",
        "imp_a": "13.1",
        "temp_coeff_pmax_pct_per_c": "-0.34",
        "temp_coeff_voc_pct_per_c": "-0.26",
        "noct_c": "45",
        "length_m": "1.722",
        "width_m": "1.134",
        "weight_kg": "21.3",
        "max_series_fuse_a": "25",
    }
    assert office.post(new("modules"), said).status_code == 302
    module = ModuleModel.objects.get()
    assert module.voc_v == 37.4
    wrong = office.post(edit("modules", module), said | {"vmp_v": "40", "temp_coeff_voc_pct_per_c": "0.26"})
    assert wrong.status_code == 422
    assert "temp_coeff_voc_pct_per_c" in wrong.context["form"].errors
    assert "0.26" in wrong.content.decode()


@pytest.mark.parametrize("noun", ["modules", "inverters", "batteries", "generators"])
def test_every_register_of_equipment_opens_empty_and_filled(office, noun: str) -> None:
    makers = {
        "modules": factories.ModuleFactory,
        "inverters": factories.InverterFactory,
        "batteries": factories.BatteryFactory,
        "generators": factories.GeneratorFactory,
    }
    assert office.get(new(noun)).status_code == 200
    row = makers[noun]()
    same = typed(office, edit(noun, row))
    assert office.post(edit(noun, row), same).status_code == 302
    before = {field.name: getattr(row, field.name) for field in row._meta.concrete_fields}
    row.refresh_from_db()
    after = {field.name: getattr(row, field.name) for field in row._meta.concrete_fields}
    assert before == after


def test_the_head_of_the_papers_is_kept(office) -> None:
    said = {"name": "Lanternroof Solar", "city": "Beaufort", "state": "nc", "workmanship_years": 12}
    assert office.post(reverse("office-firm"), said).status_code == 302
    assert (OfficeProfile.current().name, OfficeProfile.current().state) == ("Lanternroof Solar", "NC")
    assert office.post(reverse("office-firm"), said | {"state": "Q9"}).status_code == 422


def test_the_crew_and_strangers_keep_out(crew, job) -> None:
    addresses = [reverse("office"), reverse("office-firm"), new("people"), edit("jurisdictions", job.jurisdiction)]
    for address in addresses:
        assert crew.get(address).status_code == 403
        assert "/sign-in/" in Client().get(address).url
    assert crew.post(new("people"), {"first_name": "Me", "username": "me", "role": "office"}).status_code == 403


def test_an_unknown_register_is_not_found(office) -> None:
    assert office.get(new("spells")).status_code == 404


def test_a_licence_holder_needs_no_sign_in_name_and_two_of_one_name_are_told_apart(office) -> None:
    for _ in range(2):
        said = typed(office, new("people"), first_name="Inés", last_name="Voss", role=Role.LICENCE_HOLDER)
        assert office.post(new("people"), said).status_code == 302
    holders = Person.objects.filter(role=Role.LICENCE_HOLDER).order_by("pk")
    assert [holder.username for holder in holders] == ["ines-voss", "ines-voss-2"]
    assert not any(holder.has_usable_password() for holder in holders)
    said = typed(office, new("people"), first_name="Casey", last_name="Lund", role=Role.CREW)
    answer = office.post(new("people"), said)
    assert answer.status_code == 422 and answer.context["form"].errors["username"] == ["A sign-in name is needed."]
    assert "as a licence holder" in office.get(new("licences")).content.decode()
