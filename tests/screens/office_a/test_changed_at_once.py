"""Two people save the same form at the same instant: one is taken in, the other is told what has changed."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from projects.actions import crews, loads, prices
from projects.models import Crew, Obstruction, RoofPlane
from projects.screens.office import crews_pages, economics, forms_money, lead, money, settings_pages, site
from projects.screens.office import loads as loads_pages
from tests.at_once import meeting, one_book
from tests.factories import job_at, office_person
from tests.screens.opened import as_opened
from tests.signing_in import signed_in

pytestmark = pytest.mark.django_db(transaction=True)


def the_answers() -> tuple[str, dict, dict]:
    return reverse("lead-answers", args=[job_at("engineering").number]), {"note": "One"}, {"note": "Other"}


def a_load_line() -> tuple[str, dict, dict]:
    job = job_at("engineering")
    line = loads.save_load_line(
        job=job, actor=office_person(), name="Kiln", kind="motor", tier="can_wait", count=1, watts=900.0,
        hours_per_day=1.0,
    )  # fmt: skip
    return reverse("job-load", args=[job.number, line.pk]), {"watts": "950"}, {"hours_per_day": "2"}


def a_plane() -> tuple[str, dict, dict]:
    job = job_at("engineering")
    row = RoofPlane.objects.filter(site=job.site).first()
    return reverse("job-plane", args=[job.number, row.pk]), {"age_years": "8"}, {"eave_height_m": "4 m"}


def an_obstruction() -> tuple[str, dict, dict]:
    job = job_at("engineering")
    row = Obstruction.objects.create(site=job.site, kind="tree", bearing_deg=180, distance_m=12, height_m=9, width_m=5)
    return reverse("job-obstruction", args=[job.number, row.pk]), {"note": "An oak"}, {"height_m": "11 m"}


def a_jurisdiction() -> tuple[str, dict, dict]:
    row = job_at("permits").jurisdiction
    address = reverse("office-edit", args=["jurisdictions", row.pk])
    return address, {"phone": "(555) 010-0001"}, {"email": "counter@town.example"}


def the_prices() -> tuple[str, dict, dict]:
    utility = job_at("permits").utility
    block = {"kwh": 500, "usd_per_kwh": 0.2}
    prices.save_prices(actor=office_person(), utility=utility, blocks=[block])
    return reverse("office-prices", args=[utility.pk]), {"block_0_kwh": "600"}, {"block_0_usd_per_kwh": "0.3"}


def the_terms() -> tuple[str, dict, dict]:
    terms = reverse("payment-terms")
    office = signed_in(office_person())
    assert office.post(terms, as_opened(office, terms)).status_code == 302
    return terms, {"payment_days": "21"}, {"labor_usd_per_hour": "61"}


def a_jobs_schedule() -> tuple[str, dict, dict]:
    return (
        reverse("record", args=[job_at("engineering").number, "payment-schedule"]),
        {"title_1": "A"},
        {"title_2": "B"},
    )


def a_crew() -> tuple[str, dict, dict]:
    row = crews.save_crew(actor=office_person(), name="North", members=[], jobs_per_day=2)
    assert Crew.objects.count() == 1
    return reverse("crew-edit", args=[row.pk]), {"name": "Northern"}, {"jobs_per_day": "3"}


FORMS: list[tuple[Any, Any, str]] = [
    (the_answers, lead, "_update"),
    (a_load_line, loads_pages.loads, "save_load_line"),
    (a_plane, site.site, "save_roof_plane"),
    (an_obstruction, site.site, "save_obstruction"),
    (a_jurisdiction, settings_pages.actions, "save_jurisdiction"),
    (the_prices, economics.prices, "save_prices"),
    (the_terms, money, "save_payment_terms"),
    (a_jobs_schedule, forms_money.payment_terms, "set_schedule"),
    (a_crew, crews_pages.actions, "save_crew"),
]


@pytest.mark.parametrize(("made", "module", "saving"), FORMS, ids=[form[0].__name__ for form in FORMS])
def test_one_saves_and_the_other_is_told(tmp_path, monkeypatch, made, module, saving) -> None:
    address, one, other = made()
    clients = [signed_in(office_person()), signed_in(office_person())]
    pages = [as_opened(client, address) for client in clients]
    # Both have looked before either saves, if the book lets them.
    monkeypatch.setattr(module, saving, meeting(getattr(module, saving)))
    with one_book(tmp_path) as at_once:
        answers = at_once(
            lambda: clients[0].post(address, pages[0] | one),
            lambda: clients[1].post(address, pages[1] | other),
        )
    assert sorted(answer.status_code for answer in answers) == [302, 422]
    told = next(answer for answer in answers if answer.status_code == 422)
    assert "Changed meanwhile to" in told.content.decode()
