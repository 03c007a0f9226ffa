"""Money rules, prices by hour and block, and incentives: typed on the office's pages, counted by the study."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from projects import studies
from projects.actions import design, study
from projects.models import JobIncentive, MoneyRules
from tests import factories


@pytest.fixture
def drawn(db):
    job = factories.job_at("engineering", "hybrid")
    design.save_design(
        job=job,
        actor=factories.office_person(),
        plane_modules=[{"plane": "South roof", "modules": 16}],
        **factories.catalogue("hybrid"),
    )
    return job


def asked(job):
    job.refresh_from_db()
    return studies.study_request_of(job, job.designs.get())


RULES = {
    "years": "20",
    "discount_pct_per_year": "4",
    "inflation_pct_per_year": "2",
    "degradation_pct_per_year": "0.4",
    "upkeep_usd_per_year": "120",
    "battery_years": "12",
    "inverter_years": "",
}


def test_money_rules_reach_the_study(office, drawn) -> None:
    before = asked(drawn).economics
    # 16 x 170 + 3300 + 2 x 6700 = 19 420; times 1.9, in hundreds; inverter and battery again after 15 years.
    assert before.price_usd == 36_900
    assert [(item.name, item.year, item.usd) for item in before.replacements] == [
        ("Inverter", 15, 3300.0),
        ("Battery", 15, 13_400.0),
    ]
    assert office.post(reverse("office-money"), RULES).status_code == 302
    after = asked(drawn).economics
    assert (after.years, after.discount_rate_per_year, after.degradation_per_year) == (20, 0.04, 0.004)
    assert (after.inflation_per_year, after.upkeep_usd_per_year) == (0.02, 120.0)
    assert [(item.name, item.year) for item in after.replacements] == [("Battery", 12)]


@pytest.mark.parametrize(("field", "value"), [("years", "0"), ("discount_pct_per_year", "90"), ("battery_years", "x")])
def test_a_rule_that_makes_no_sense_is_refused_where_it_was_typed(office, field: str, value: str) -> None:
    answer = office.post(reverse("office-money"), RULES | {field: value})
    assert answer.status_code == 422 and answer.context["form"].errors.keys() == {field}
    assert not MoneyRules.objects.exists()


def hours(row: int, **changes) -> dict[str, str]:
    values = {
        "name": "Summer evenings",
        "from_hour": "17",
        "to_hour": "21",
        "first_month": "6",
        "last_month": "9",
        "days": "weekdays",
        "usd_per_kwh": "0.31",
        "export_usd_per_kwh": "",
    } | changes
    return {f"period_{row}_{key}": value for key, value in values.items()}


def test_prices_by_the_hour_reach_the_study_and_come_back_to_the_form(office, drawn) -> None:
    address = reverse("office-prices", args=[drawn.utility_id])
    winter = hours(2, name="Winter nights", from_hour="22", to_hour="6", first_month="11", last_month="2", days="all")
    assert office.post(address, hours(0) | winter).status_code == 302
    first, second = asked(drawn).tariff.periods
    assert (first.name, first.usd_per_kwh, first.from_hour, first.to_hour) == ("Summer evenings", 0.31, 17, 21)
    assert (first.months, first.days, first.export_usd_per_kwh) == ((6, 7, 8, 9), "weekdays", None)
    assert second.months == (11, 12, 1, 2)
    form = office.get(address).context["form"]
    assert (form["period_1_first_month"].value(), form["period_1_last_month"].value()) == ("11", "2")
    # A page that is opened and saved changes nothing.
    shown = {field.html_name: "" if field.value() is None else field.value() for field in form}
    rows = drawn.journal.count()
    assert office.post(address, shown).status_code == 302
    assert drawn.journal.count() == rows
    run = study.run_study(job=drawn, actor=factories.office_person())
    assert any("time of use" in line["remark"] for line in run.result["working"])


def test_a_row_of_prices_that_is_not_whole_says_what_is_missing(office, drawn) -> None:
    address = reverse("office-prices", args=[drawn.utility_id])
    answer = office.post(address, hours(3, usd_per_kwh="", last_month=""))
    assert answer.status_code == 422
    assert answer.context["form"].errors.keys() == {"period_3_usd_per_kwh", "period_3_last_month"}
    answer = office.post(address, hours(3, to_hour="17"))
    assert answer.context["form"].errors.keys() == {"period_3_to_hour"}
    both = hours(0) | {"block_0_kwh": "500", "block_0_usd_per_kwh": "0.1"}
    assert "not both" in office.post(address, both).content.decode()
    drawn.utility.refresh_from_db()
    assert drawn.utility.rate_periods == drawn.utility.energy_blocks == []


def test_blocks_reach_the_study(office, drawn) -> None:
    address = reverse("office-prices", args=[drawn.utility_id])
    assert office.post(address, {"block_1_kwh": "500", "block_1_usd_per_kwh": "0.11"}).status_code == 302
    (block,) = asked(drawn).tariff.blocks
    assert (block.kwh, block.usd_per_kwh) == (500, 0.11)


def entered(**changes) -> dict[str, str]:
    today = timezone.localdate()
    return {
        "name": "Storm grant",
        "usd": "2,000" if changes.pop("grouped", False) else "2000",
        "month": "6",
        "source": "County leaflet 7",
        "entered_on": today.isoformat(),
        "expires_on": (today + timedelta(days=30)).isoformat(),
    } | changes


def test_an_incentive_counts_until_it_ends_or_is_withdrawn(office, drawn) -> None:
    address = reverse("job-incentives", args=[drawn.number])
    assert office.post(address, entered()).status_code == 302
    row = JobIncentive.objects.get()
    assert drawn.journal.last().kind == "incentive_entered"
    (counted,) = asked(drawn).economics.incentives
    assert (counted.usd, counted.month, counted.source) == (2000.0, 6, "County leaflet 7")
    JobIncentive.objects.update(expires_on=timezone.localdate() - timedelta(days=1))
    assert asked(drawn).economics.incentives == ()
    assert "not counted" in office.get(address).content.decode()
    JobIncentive.objects.update(expires_on=None)
    assert len(asked(drawn).economics.incentives) == 1
    assert office.post(reverse("job-incentive-withdraw", args=[drawn.number, row.pk])).status_code == 302
    assert asked(drawn).economics.incentives == ()
    assert JobIncentive.objects.get().usd == Decimal(2000)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"usd": "0"}, "usd"),
        ({"source": ""}, "source"),
        ({"month": "0"}, "month"),
        ({"entered_on": "2999-01-01", "expires_on": ""}, "entered_on"),
        ({"expires_on": "2001-01-01"}, "expires_on"),
    ],
)
def test_an_incentive_that_can_not_be_is_refused_where_it_was_typed(office, drawn, changes: dict, field: str) -> None:
    answer = office.post(reverse("job-incentives", args=[drawn.number]), entered(**changes))
    assert answer.status_code == 422 and answer.context["form"].errors.keys() == {field}
    assert not JobIncentive.objects.exists()


def test_the_structure_sheet_waits_for_rafters_and_the_pressure_coefficient(office, drawn) -> None:
    planes = list(drawn.site.roof_planes.all())
    frozen = drawn.designs.get().frozen
    assert asked(drawn).structure is None
    gaps = [words for _, words in studies.structure_gaps(drawn, planes, frozen)]
    assert any("GCp" in words for words in gaps) and any("wood" in words for words in gaps)
    drawn.jurisdiction.roof_gcp = -1.8
    drawn.jurisdiction.save()
    drawn.site.roof_planes.update(rafter_spacing_m=0.61, rafter_wood="southern pine")
    structure = asked(drawn).structure
    assert (structure.gcp, structure.rafter_spacing_m, structure.wood) == (-1.8, 0.61, "southern pine")
    assert (structure.wind_mph, structure.ground_snow_psf) == (115.0, 10.0)
    run = study.run_study(job=drawn, actor=factories.office_person())
    (sheet,) = run.result["structure"]["planes"]
    assert sheet["attachments"] > 0
    drawn.site.roof_planes.update(covering="ground")
    assert asked(drawn).structure is None
    assert asked(drawn).planes[0].mounting == "ground"


def test_the_crew_has_no_pages_of_money(crew, drawn) -> None:
    for address in (
        reverse("office-money"),
        reverse("office-prices", args=[drawn.utility_id]),
        reverse("job-incentives", args=[drawn.number]),
    ):
        assert crew.get(address).status_code == 403
