"""Find designs: wish, answer, table, chart, and taking one; and what the page says when there is nothing to search."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.models import BatteryModel, DesignSearch, InverterModel
from tests import factories

WISH = {"bill_offset_pct": "20", "ride_through_pct": "50"}


@pytest.fixture
def ready(db):
    job = factories.job_at("engineering", "hybrid", monthly_kwh=[900.0] * 12)
    factories.catalogue("hybrid")
    return job


def at(name: str, *args) -> str:
    return reverse(name, args=args)


def test_a_wish_is_searched_answered_and_taken(office, ready) -> None:
    address = at("job-search", ready.number)
    assert "Search the catalogue" in office.get(address).content.decode()
    assert office.post(address, WISH).status_code == 302
    answer = office.get(address)
    page = answer.content.decode()
    for words in ("The cheapest that meets it", "What the next dollar buys", "Price against what it gives", "<svg"):
        assert words in page
    assert " style=" not in page.split("<main")[1]
    assert answer.context["form"]["bill_offset_pct"].value() == "20"
    run = ready.searches.get()
    best = run.result["designs"][run.result["cheapest"]]
    assert f"${best['cost_usd']:,.0f}" in page
    taken = office.post(at("job-search-take", ready.number, run.pk, run.result["cheapest"]))
    assert taken["Location"] == at("job-study", ready.number)
    assert ready.designs.get().battery_count == best["battery_units"]
    assert at("job-search", ready.number) in office.get(at("job-study", ready.number)).content.decode()


def test_the_table_has_every_design_of_the_front_once_unfolded(office, ready) -> None:
    office.post(at("job-search", ready.number), WISH)
    run, page = ready.searches.get(), office.get(at("job-search", ready.number)).content.decode()
    for place in range(len(run.result["designs"])):
        assert f'action="{at("job-search-take", ready.number, run.pk, place)}"' in page


def test_nothing_that_meets_the_wish_shows_where_the_nearest_falls_short(office, ready) -> None:
    office.post(at("job-search", ready.number), {"bill_offset_pct": "100", "ride_through_pct": "0", "most_usd": "900"})
    page = office.get(at("job-search", ready.number)).content.decode()
    assert "Nothing meets the wish" in page and "instead of at most $900" in page


def test_a_catalogue_in_which_nothing_passes_says_which_check_fails(office, ready) -> None:
    InverterModel.objects.update(max_dc_voltage_v=40)
    office.post(at("job-search", ready.number), WISH)
    page = office.get(at("job-search", ready.number)).content.decode()
    assert "No design passes every check" in page and "can’t be put into strings" in page


def test_an_empty_catalogue_says_so_and_leads_to_it(office, ready) -> None:
    BatteryModel.objects.update(active=False)
    answer = office.get(at("job-search", ready.number))
    page = answer.content.decode()
    assert "The catalogue has no battery." in page and "/office/#catalogue" in page and "Search the" not in page


def test_a_wish_out_of_bounds_stays_as_typed(office, ready) -> None:
    answer = office.post(at("job-search", ready.number), {**WISH, "bill_offset_pct": "140"})
    assert answer.status_code == 422 and answer.context["form"].errors.keys() == {"bill_offset_pct"}
    assert 'value="140"' in answer.content.decode() and not DesignSearch.objects.exists()


def test_an_answer_grown_old_says_so(office, ready) -> None:
    office.post(at("job-search", ready.number), WISH)
    assert "No longer true as it stands" not in office.get(at("job-search", ready.number)).content.decode()
    InverterModel.objects.update(price_usd=9999)
    assert "No longer true as it stands" in office.get(at("job-search", ready.number)).content.decode()


def test_progress_comes_back_by_itself(office, ready) -> None:
    wish = {"bill_offset": 0.2, "ride_through_share": 0.5, "most_usd": None}
    run = DesignSearch.objects.create(
        job=ready, started_by=factories.office_person(), wish=wish, progress=0.4, progress_words="Trying Wader 400"
    )
    page = office.get(at("job-search", ready.number)).content.decode()
    assert "Trying Wader 400" in page and at("search-progress", run.pk) in page
    assert "HX-Redirect" not in office.get(at("search-progress", run.pk))
    DesignSearch.objects.update(state="failed", problem="The roof is too small.")
    assert office.get(at("search-progress", run.pk))["HX-Redirect"] == at("job-search", ready.number)
    assert "The roof is too small." in office.get(at("job-search", ready.number)).content.decode()


def test_the_crew_searches_nothing(crew, ready) -> None:
    assert crew.get(at("job-search", ready.number)).status_code == 403
    assert crew.post(at("job-search", ready.number), WISH).status_code == 403


def test_off_the_grid_the_wish_is_for_hours_and_days_and_so_is_the_answer(office, db) -> None:
    job = factories.job_at("engineering", "off_grid", monthly_kwh=[200.0] * 12)
    factories.catalogue("off_grid")
    address = at("job-search", job.number)
    fields = office.get(address).context["form"].fields
    assert list(fields) == ["carried_pct", "autonomy_days", "most_usd"]
    assert office.post(address, {"carried_pct": "90", "autonomy_days": "1"}).status_code == 302
    answer = office.get(address)
    page = answer.content.decode()
    run = job.searches.get()
    best = run.result["designs"][run.result["cheapest"]]
    assert f"all but {best['hours_short']:,} of the year’s 8,760 hours" in page
    assert "wished: 90 %" in page and "wished: 1 day<" in page and "days without sun" in page
    assert "Bills saved" not in page and "Outages carried" not in page
    short = office.post(address, {"carried_pct": "100", "autonomy_days": "30"}, follow=True).content.decode()
    assert "days without sun instead of 30" in short
    assert office.post(address, {"carried_pct": "90", "autonomy_days": "31"}).status_code == 422
