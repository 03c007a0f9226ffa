"""The service load on the loads' screen: the code's own example, what the worksheet fills in, and slips."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.models import LoadLine

EXAMPLE_D2A = {
    "floor_area_ft2": "1,500", "small_appliance_circuits": "2", "laundry_circuits": "1", "range_va": "12000",
    "dryer_va": "5000", "heat_va": "9000", "heat_units": "5", "cooling_va": "1440",
    "fixed": "Water heater 2,500\nDishwasher 1200 VA\n",
}  # fmt: skip
"""NEC 2005 Annex D, example D2(a), optional method, public transcript: net calculated load 21.48 kVA, 89.5 A at 240 V.
The room air conditioner's 1.38 kVA is smaller than the heat and drops out."""


def at(job) -> str:
    return reverse("job-service-load", args=[job.number])


def test_the_codes_own_example(office, job) -> None:
    answer = office.get(at(job), EXAMPLE_D2A)
    assert answer.status_code == 200
    optional = answer.context["answer"].optional
    # general: 4500 lighting + 4500 circuits + 12000 + 5000 + 2500 + 1200 = 29700; 10000 + 0.4 x 19700 = 17880
    # heat in five rooms: 40 % of 9000 = 3600, more than the cooling of 1440
    assert optional.total_va == pytest.approx(17_880 + 3_600)
    assert optional.current_a == pytest.approx(89.5)
    assert optional.service_a == 100.0
    page = answer.content.decode()
    assert "89.5 A" in page and "NEC 220.82(B)" in page and "licensed electrician" in page


def test_a_service_that_is_too_small_is_said(office, job) -> None:
    job.site.service_rating_a = 60
    job.site.save()
    page = office.get(at(job), EXAMPLE_D2A).content.decode()
    assert "too small" in page
    job.site.service_rating_a = 100
    job.site.save()
    assert "carries it" in office.get(at(job), EXAMPLE_D2A).content.decode()


def test_the_worksheet_fills_in_what_it_knows(office, job) -> None:
    common = {"job": job, "hours_per_day": 1.0}
    LoadLine.objects.create(name="Well pump", kind="well_pump", watts=1100, voltage_v=230, **common)
    LoadLine.objects.create(name="Lights", kind="steady", watts=60, voltage_v=120, **common)
    LoadLine.objects.create(name="Air", kind="central_air", watts=3000, voltage_v=240, **common)
    form = office.get(at(job)).context["form"]
    assert form["fixed"].value() == "Well pump 1100"
    assert form["cooling_va"].value() == "3000"


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("floor_area_ft2", ""),
        ("floor_area_ft2", "-5"),
        ("floor_area_ft2", "nan"),
        ("floor_area_ft2", "1e99"),
        ("small_appliance_circuits", "1"),
        ("range_va", "a lot"),
        ("heat_va", "-1"),
        ("fixed", "Water heater"),
        ("fixed", "<script>alert(1)</script>"),
        ("fixed", "Sun 9999999999"),
        ("fixed", "\n".join(["Lamp 10"] * 41)),
    ],
)
def test_a_slip_is_said_at_its_field_and_nothing_typed_is_lost(office, job, field: str, typed: str) -> None:
    answer = office.get(at(job), {**EXAMPLE_D2A, field: typed})
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert answer.context["form"][field].value() == typed
    assert answer.context["answer"] is None
    assert "<script>alert" not in answer.content.decode()


def test_the_crew_may_look_and_a_stranger_may_not(crew, stranger, job) -> None:
    assert crew.get(at(job)).status_code == 200
    assert stranger.get(at(job)).status_code == 302
    assert crew.post(at(job)).status_code == 405
