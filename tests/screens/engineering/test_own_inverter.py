"""A battery with an inverter of its own, from the catalogue's form to the papers: one set of numbers all the way."""

from __future__ import annotations

import pytest
from django.urls import reverse

from paperwork.issue import issue_paper
from projects.actions import design
from projects.actions.freezing import ratings
from projects.models import BatteryModel, Job, OfficeProfile, Site
from tests import factories
from tests.paperwork.reading import text_of

TYPED = {
    "name": "Turnstone 13 A",
    "coupling": "ac",
    "price_usd": "7900",
    "warranty_years": "10",
    "active": "on",
    "listed_ul9540": "on",
    "usable_kwh": "13.5",
    "max_charge_kw": "5",
    "max_discharge_kw": "5",
    "round_trip_efficiency": "0.89",
    "reserve_fraction": "0.1",
    "surge_kw": "10",
    "surge_s": "10",
    "most_pv_kw": "7.6",
    "standby_w": "35",
}


@pytest.fixture
def battery(office) -> BatteryModel:
    assert office.post(reverse("office-new", args=["batteries"]), TYPED).status_code == 302
    return BatteryModel.objects.get(name=TYPED["name"])


@pytest.mark.django_db
def test_it_is_typed_chosen_studied_and_drawn(office, battery) -> None:
    assert (battery.coupling, battery.surge_kw, battery.surge_s, battery.most_pv_kw) == ("ac", 10.0, 10.0, 7.6)
    OfficeProfile.objects.create(pk=1, name="Longleaf & Shore Backup Power", phone="(555) 010-0140", state="NC")
    job, actor = factories.job_at("engineering", "hybrid"), factories.office_person()
    offered = office.get(reverse("job-design", args=[job.number])).content.decode()
    assert "Turnstone 13 A (13.5 kWh, inverter of its own)" in offered
    follower = factories.InverterFactory(name="Knot G6", kind="grid_tied", ac_power_w=6000.0, backup_power_w=0.0)
    parts = factories.catalogue("hybrid") | {"inverter": follower, "battery": battery, "battery_count": 1}
    design.save_design(
        job=job, actor=actor, plane_modules=[{"plane": "South roof", "modules": 16}], **parts
    )  # 25 A of PV and 20.8 A of battery: 57.3 A at 125 %, with the main breaker 257.3 of 270 A
    drawn = office.get(reverse("job-design", args=[job.number])).content.decode()
    assert "All with their own inverters carry 5.0 kW in an outage, start motors with 10.0 kW for 10 s" in drawn
    run = factories.run_study(job, actor, real=True)
    assert run.failing_checks == []
    assert run.result["ride_through"]["median_hours"] > 0  # the PV inverter alone would carry nothing
    assert run.headline["surge_w"] == 10_000.0
    surge = next(line for line in run.result["working"] if line["key"] == "backup.surge")
    assert (surge["limit"], surge["terms"][0]["note"]) == (10_000.0, "1 × 10 kW")
    drawing = text_of(bytes(issue_paper(job=job, kind="single_line", actor=actor).content))
    for words in (
        "PV inverter to critical-loads panel",
        "Battery to critical-loads panel",
        "through backup interface and utility disconnect",
        "200 + 1.25 × 45.8 = 257.3 A",
        "feeder 60 A, busbar at least 100 A",
        "PV 25 A and battery 20.8 A at 125 %: 57.3 A of 70 A allowed",
    ):
        assert words in drawing, words
    sheets = text_of(bytes(issue_paper(job=job, kind="calculations", actor=actor).content))
    assert "Least busbar of the critical-loads panel" in sheets
    assert "Feeder of the critical-loads panel: maximum circuit current" in sheets
    assert "PV inverters against what the batteries can hold in check" in sheets


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"surge_kw": "4"}, "surge_kw", "At least what it discharges at."),
        ({"surge_kw": ""}, "surge_kw", "How far it surges in that time."),
        ({"most_pv_kw": "0"}, "most_pv_kw", "Above 0."),
        ({"surge_kw": "a lot"}, "surge_kw", "Enter a number."),
        ({"coupling": "dc"}, "surge_s", "Only a battery with an inverter of its own has one: leave it empty."),
    ],
)
def test_a_rating_that_can_not_be_is_refused_at_its_field(office, changes, field, said) -> None:
    response = office.post(reverse("office-new", args=["batteries"]), TYPED | changes)
    assert response.status_code == 422
    assert said in response.context["form"].errors[field]
    assert f'value="{TYPED["name"]}"' in response.content.decode()
    assert not BatteryModel.objects.exists()


@pytest.mark.django_db
def test_what_a_datasheet_leaves_open_makes_no_other_design(office) -> None:
    """Ratings that nobody stated are no part of a design: one drawn before the catalogue knew them stays the same."""
    left_open = dict.fromkeys(("surge_kw", "surge_s", "most_pv_kw", "standby_w"), "")
    assert office.post(reverse("office-new", args=["batteries"]), TYPED | left_open).status_code == 302
    assert not {"surge_kw", "surge_s", "most_pv_kw", "standby_w"} & set(ratings(BatteryModel.objects.get()))


@pytest.mark.django_db
def test_off_the_grid_a_busbar_that_nobody_has_read_is_asked_for_and_typed_with_the_service(office, battery) -> None:
    """PV and battery meet on the house's panel: without its rating the design is refused, and the form takes it."""
    label = "Busbar of the panel where PV and battery meet"
    job, actor = factories.job_at("engineering", "off_grid"), factories.office_person()
    Site.objects.filter(pk=job.site_id).update(busbar_a=None)
    follower = factories.InverterFactory(name="Knot G6", kind="grid_tied", ac_power_w=6000.0, backup_power_w=0.0)
    parts = factories.catalogue("off_grid") | {"inverter": follower, "battery": battery, "battery_count": 2}
    drawn = {
        "job": Job.objects.get(pk=job.pk),
        "actor": actor,
        "plane_modules": [{"plane": "South roof", "modules": 16}],
    }
    design.save_design(**drawn, **parts)
    assert label in factories.run_study(Job.objects.get(pk=job.pk), actor, real=True).failing_checks
    page = office.get(reverse("job-study", args=[job.number])).content.decode()
    assert "record it with the electrical service" in page
    typed = {"rating_a": "100", "main_breaker_a": "60", "busbar_a": "70", "free_spaces": "6", "panel_note": ""}
    for busbar_a, passes in (("70", False), ("125", True)):
        # 25 A and 2 x 20.8 A at 125 %: 83.3 A.
        answer = office.post(reverse("job-site-service", args=[job.number]), typed | {"busbar_a": busbar_a})
        assert answer.status_code == 302
        design.save_design(**drawn | {"job": Job.objects.get(pk=job.pk)}, **parts)
        run = factories.run_study(Job.objects.get(pk=job.pk), actor, real=True)
        assert (label not in run.failing_checks) is passes
