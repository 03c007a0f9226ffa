"""Two tabs, or two people, at one form: the second is told what the first has changed, and nothing is lost."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from projects.actions import crews, loads, prices
from projects.models import Crew, DefaultMilestone, Job, Jurisdiction, LoadLine, MoneyRules, Obstruction, RoofPlane
from tests.factories import crew_person, job_at, lead, office_person
from tests.screens.opened import as_opened

pytestmark = pytest.mark.django_db


@pytest.fixture
def measured() -> Job:
    """A job whose house was looked at."""
    return job_at("engineering")


def test_the_second_tab_is_told_and_decides(office) -> None:
    address = reverse("lead-answers", args=[lead(note="Lost power in the fall").number])
    first, second = as_opened(office, address), as_opened(office, address)
    assert office.post(address, first | {"note": "The gate sticks"}).status_code == 302
    answer = office.post(address, second | {"phone": "(555) 014-0999"})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "Changed meanwhile to “The gate sticks”" in html
    assert "(555) 014-0999" in html and "Lost power in the fall" in html, "what was typed stays"
    again = second | {"phone": "(555) 014-0999", "opened_with": answer.context["opened_with"]}
    assert office.post(address, again).status_code == 302, "sent again, it is meant"
    assert as_opened(office, address)["note"] == "Lost power in the fall"


def test_a_slip_elsewhere_hides_nothing(office) -> None:
    """The page that comes back with the slip carries the marks of now, so it must say what has changed as well."""
    address = reverse("lead-answers", args=[lead(note="Lost power in the fall").number])
    first, second = as_opened(office, address), as_opened(office, address)
    office.post(address, first | {"note": "The gate sticks"})
    answer = office.post(address, second | {"email": "no address"})
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"email", "note"}
    assert "Changed meanwhile to “The gate sticks”" in answer.content.decode()


def test_the_same_words_in_both_tabs_are_no_quarrel(office) -> None:
    address = reverse("lead-answers", args=[lead().number])
    first, second = as_opened(office, address), as_opened(office, address)
    for typed in (first, second):
        assert office.post(address, typed | {"note": "The gate sticks\r\nin winter"}).status_code == 302


def test_a_jurisdiction_is_not_written_over_unseen(office) -> None:
    row: Jurisdiction = job_at("permits").jurisdiction
    address = reverse("office-edit", args=["jurisdictions", row.pk])
    first, second = as_opened(office, address), as_opened(office, address)
    assert office.post(address, first | {"phone": "(555) 010-0001"}).status_code == 302
    answer = office.post(address, second | {"email": "counter@town.example"})
    assert answer.status_code == 422 and "Changed meanwhile to “(555) 010-0001”" in answer.content.decode()
    row.refresh_from_db()
    assert row.phone == "(555) 010-0001"


def test_the_money_rules_neither(office) -> None:
    address = reverse("office-money")
    for years in ("24", "23"):
        assert office.post(address, as_opened(office, address) | {"years": years}).status_code == 302
    first, second = as_opened(office, address), as_opened(office, address)
    assert office.post(address, first | {"years": "26"}).status_code == 302
    answer = office.post(address, second | {"upkeep_usd_per_year": "60"})
    assert answer.status_code == 422 and "Changed meanwhile to “26”" in answer.content.decode()
    assert MoneyRules.current().years == 26


def test_a_line_of_the_worksheet_neither(office) -> None:
    job = lead()
    loads.save_load_line(
        job=job,
        actor=office_person(),
        name="Freezer",
        kind="motor",
        tier="must_run",
        count=1,
        watts=120.0,
        hours_per_day=8.0,
    )
    line = LoadLine.objects.get()
    address = reverse("job-load", args=[job.number, line.pk])
    first, second = as_opened(office, address), as_opened(office, address)
    assert office.post(address, first | {"watts": "150"}).status_code == 302
    answer = office.post(address, second | {"hours_per_day": "9"})
    assert answer.status_code == 422 and "Changed meanwhile to “150" in answer.content.decode()


def test_a_roof_plane_neither_and_lengths_are_told_in_the_pages_unit(office, measured) -> None:
    plane = RoofPlane.objects.filter(site=measured.site).first()
    address = reverse("job-plane", args=[measured.number, plane.pk])
    first, second = as_opened(office, address), as_opened(office, address)
    assert office.post(address, first | {"eave_height_m": "14", "obstacles": "vent: 2, 2, 1, 1"}).status_code == 302
    answer = office.post(address, second | {"age_years": "9"})
    errors = answer.context["form"].errors
    assert answer.status_code == 422
    assert "Changed meanwhile to “14'”" in str(errors["eave_height_m"].as_data())
    assert "Changed meanwhile to “vent: 2'" in str(errors["obstacles"].as_data())
    plane.refresh_from_db()
    assert plane.age_years != 9 and plane.eave_height_m == pytest.approx(4.2672) and len(plane.obstacles) == 1
    again = second | {"age_years": "9", "opened_with": answer.context["opened_with"]}
    assert office.post(address, again).status_code == 302
    plane.refresh_from_db()
    assert plane.age_years == 9 and plane.obstacles == []


def test_the_same_shape_typed_in_both_tabs_is_no_quarrel(office, measured) -> None:
    plane = RoofPlane.objects.filter(site=measured.site).first()
    address = reverse("job-plane", args=[measured.number, plane.pk])
    pages = [as_opened(office, address), as_opened(office, address)]
    for page in pages:
        assert office.post(address, page | {"obstacles": "vent: 2', 2', 1', 1'"}).status_code == 302


def test_an_obstruction_neither(office, measured) -> None:
    row = Obstruction.objects.create(
        site=measured.site, kind="tree", bearing_deg=180, distance_m=12, height_m=9, width_m=5
    )
    address = reverse("job-obstruction", args=[measured.number, row.pk])
    first, second = as_opened(office, address), as_opened(office, address)
    assert office.post(address, first | {"height_m": "11 m"}).status_code == 302
    answer = office.post(address, second | {"note": "The neighbour's"})
    assert answer.status_code == 422 and "height_m" in answer.context["form"].errors
    row.refresh_from_db()
    assert (row.height_m, row.note) == (11.0, "")


@pytest.mark.parametrize(
    ("name", "view", "one", "other"),
    [
        ("service", "job-site-service", {"main_breaker_a": "150"}, {"panel_note": "Sub-panel in the garage"}),
        ("fire", "job-fire-access", {"roof_plan_area_m2": "200 m²"}, {"sprinklered": "on"}),
        ("horizon", "job-horizon", {"points": "90 4\r\n180 6"}, {"points": "90 5"}),
    ],
)
def test_what_the_assessment_says_of_the_house_neither(office, measured, name, view, one, other) -> None:
    page, address = reverse("job-site", args=[measured.number]), reverse(view, args=[measured.number])
    first, second = as_opened(office, page, f"{name}_form"), as_opened(office, page, f"{name}_form")
    assert office.post(address, first | one).status_code == 302
    answer = office.post(address, second | other)
    assert answer.status_code == 422
    assert set(answer.context[f"{name}_form"].errors) == set(one)
    again = second | other | {"opened_with": answer.context[f"{name}_opened_with"]}
    assert office.post(address, again).status_code == 302


def test_a_crew_neither(office) -> None:
    row = crews.save_crew(actor=office_person(), name="North", members=[], jobs_per_day=2)
    person = crew_person()
    address = reverse("crew-edit", args=[row.pk])
    first, second = as_opened(office, address), as_opened(office, address)
    assert office.post(address, first | {"members": [person.pk]}).status_code == 302
    answer = office.post(address, second | {"jobs_per_day": "3"})
    assert answer.status_code == 422
    assert f"Changed meanwhile to “{person.name}”" in answer.content.decode()
    row = Crew.objects.get()
    assert (list(row.members.all()), row.jobs_per_day) == ([person], 2)


def period(name: str, usd: float, first: int, last: int) -> dict[str, object]:
    hours = {"from_hour": first, "to_hour": last, "months": [], "days": "all"}
    return {"name": name, "usd_per_kwh": usd, "export_usd_per_kwh": None, **hours}


def test_prices_neither_and_rows_that_were_dropped_meanwhile_stay_on_the_page(office) -> None:
    utility = job_at("permits").utility
    old = [period(f"Part {n}", 0.2, n, n + 1) for n in range(6)]
    prices.save_prices(actor=office_person(), utility=utility, periods=old)
    address = reverse("office-prices", args=[utility.pk])
    second = as_opened(office, address)
    prices.save_prices(actor=office_person(), utility=utility, periods=[period("All day", 0.3, 0, 24)])
    answer = office.post(address, second | {"period_5_usd_per_kwh": "0.25"})
    form = answer.context["form"]
    assert answer.status_code == 422
    assert "Changed meanwhile to “All day”" in answer.content.decode()
    assert form["period_5_usd_per_kwh"].value() == "0.25", "what was typed stays"
    again = second | {"period_5_usd_per_kwh": "0.25", "opened_with": answer.context["opened_with"]}
    assert office.post(address, again).status_code == 302
    utility.refresh_from_db()
    assert [row["usd_per_kwh"] for row in utility.rate_periods] == [0.2] * 5 + [0.25]


def test_a_price_that_came_in_meanwhile_is_not_dropped_unseen(office) -> None:
    utility = job_at("permits").utility
    address = reverse("office-prices", args=[utility.pk])
    old = [period(f"Part {n}", 0.2, n, n + 1) for n in range(3)]
    prices.save_prices(actor=office_person(), utility=utility, periods=old)
    second = as_opened(office, address)
    more = [period(f"Part {n}", 0.2, n, n + 1) for n in range(3, 6)]
    prices.save_prices(actor=office_person(), utility=utility, periods=[*old, *more])
    answer = office.post(address, second | {"period_0_usd_per_kwh": "0.21"})
    assert answer.status_code == 422
    assert "Changed meanwhile to “Part 5”" in answer.content.decode()
    utility.refresh_from_db()
    assert len(utility.rate_periods) == 6


def test_the_terms_of_payment_neither(office) -> None:
    address = reverse("payment-terms")
    first, second = as_opened(office, address), as_opened(office, address)
    shares = {"percent_1": "20", "percent_2": "30"}
    assert sum(Decimal(first[name]) for name in shares) == 50
    assert office.post(address, first | shares).status_code == 302
    answer = office.post(address, second | {"payment_days": "21"})
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == set(shares)
    assert DefaultMilestone.objects.get(order=1).percent == 20


@pytest.mark.parametrize(
    ("fact", "one", "other", "named"),
    [
        ("price", {"price_usd": "31000"}, {"price_usd": "32000"}, {"price_usd"}),
        (
            "payment-schedule",
            {"percent_1": "20", "percent_2": "30"},
            {"title_3": "All done"},
            {"percent_1", "percent_2"},
        ),
        ("authorities", {"utility": ""}, {"jurisdiction": ""}, {"utility"}),
        ("assigned", {"person": "OTHER"}, {"person": ""}, {"person"}),
    ],
)
def test_a_fact_of_the_whole_job_neither(office, measured, fact, one, other, named) -> None:
    one = {name: crew_person().pk if value == "OTHER" else value for name, value in one.items()}
    address = reverse("record", args=[measured.number, fact])
    first, second = as_opened(office, address), as_opened(office, address)
    assert office.post(address, first | one).status_code == 302
    answer = office.post(address, second | other)
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == named
    again = second | other | {"opened_with": answer.context["opened_with"]}
    assert office.post(address, again).status_code == 302


def test_a_row_taken_out_meanwhile_is_not_written_anew(office, measured) -> None:
    plane = RoofPlane.objects.filter(site=measured.site).first()
    address = reverse("job-plane", args=[measured.number, plane.pk])
    page = as_opened(office, address)
    plane.delete()
    assert office.post(address, page | {"age_years": "9"}).status_code == 404
    assert not RoofPlane.objects.filter(name=plane.name).exists()


@pytest.mark.parametrize("sent", ["", "{", "[]", '{"note": 3}', "\x00", "{}"])
def test_marks_that_make_no_sense_break_nothing(office, sent) -> None:
    address = reverse("lead-answers", args=[lead().number])
    typed = as_opened(office, address) | {"opened_with": sent, "note": "Something new"}
    assert office.post(address, typed).status_code in (302, 422)
