"""A battery with an inverter of its own, from the catalogue's form to the papers: one set of numbers all the way."""

from __future__ import annotations

import pytest
from django.urls import reverse

from paperwork.issue import issue_paper
from projects.actions import design
from projects.models import BatteryModel, OfficeProfile
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
}


@pytest.fixture
def battery(office) -> BatteryModel:
    assert office.post(reverse("office-new", args=["batteries"]), TYPED).status_code == 302
    return BatteryModel.objects.get(name=TYPED["name"])


@pytest.mark.django_db
def test_it_is_typed_chosen_studied_and_drawn(office, battery) -> None:
    assert battery.coupling == "ac"
    OfficeProfile.objects.create(pk=1, name="Longleaf & Shore Backup Power", phone="(555) 010-0140", state="NC")
    job, actor = factories.job_at("engineering", "hybrid"), factories.office_person()
    offered = office.get(reverse("job-design", args=[job.number])).content.decode()
    assert "Turnstone 13 A (13.5 kWh, inverter of its own)" in offered
    follower = factories.InverterFactory(name="Knot G6", kind="grid_tied", ac_power_w=6000.0, backup_power_w=0.0)
    parts = factories.catalogue("hybrid") | {"inverter": follower, "battery": battery, "battery_count": 1}
    design.save_design(
        job=job, actor=actor, plane_modules=[{"plane": "South roof", "modules": 16}], **parts
    )  # 25 A of PV and 20.8 A of battery: 57.3 A at 125 %, with the main breaker 257.3 of 270 A
    run = factories.run_study(job, actor, real=True)
    assert run.failing_checks == []
    assert run.result["ride_through"]["median_hours"] > 0  # the PV inverter alone would carry nothing
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
