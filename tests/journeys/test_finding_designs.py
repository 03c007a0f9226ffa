"""The office looks for designs of a house: asks, watches the search, reads the answer, takes one and studies it.

On a real server with its background work, in a real browser.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Locator, expect

from paperwork.demo.running import RunningOffice
from tests.journeys.people import HEAR_PROGRESS, OfficeWorker
from tests.journeys.test_from_lead_to_service import (
    Cast,
    a_homeowner_asks,
    the_kind_of_system_is_decided,
    the_office_takes_the_lead,
)

pytestmark = pytest.mark.journey

LETTERS = re.compile(r"Revision ([A-Z])")


def test_a_house_is_searched_and_what_the_next_dollar_buys_is_taken(office: RunningOffice, chromium: Browser) -> None:
    cast = Cast(chromium, office.address)
    a_homeowner_asks(cast)
    the_office_takes_the_lead(cast)
    the_kind_of_system_is_decided(cast)
    olive, job = cast.olive, cast.job
    nothing_is_searched_before_the_roof_is_known(olive, job)
    the_house_is_measured(olive, job)
    heard = the_catalogue_is_searched(olive, job)
    assert heard, "the search never said how far it was"
    cheapest, runner_up = the_answer_is_read(olive)
    study_that_was = olive_runs_the_study_of(olive, job, cheapest, "What meets the wish")
    the_runner_up_is_taken(olive, job, runner_up, study_that_was)
    the_cheapest_is_put_back(olive, job, cheapest)
    assert olive.complaints == []


def nothing_is_searched_before_the_roof_is_known(olive: OfficeWorker, job: int) -> None:
    olive.opens(f"/jobs/{job}/designs/")
    assert "No roof plane is recorded yet." in olive.reads()
    assert olive.page.get_by_role("button", name="Search the catalogue").count() == 0


def the_house_is_measured(olive: OfficeWorker, job: int) -> None:
    site = f"/jobs/{job}/site/"
    olive.opens(site)
    service = olive.page.locator("#service")
    olive.sends("Record the service", service, rating_a=200, main_breaker_a=200, busbar_a=225, free_spaces=6)
    olive.opens(f"{site}planes/new/")
    measured = {"azimuth_deg": "192° SSW", "tilt_deg": "6:12", "width_m": "40'", "slope_length_m": "18' 6\""}
    olive.sends("Record it", name="South roof", rafter_spacing_m="24", **measured)
    olive.opens(f"/jobs/{job}/loads/")
    olive.sends("Add them from the library")


def the_catalogue_is_searched(olive: OfficeWorker, job: int) -> list[str]:
    olive.opens(f"/jobs/{job}/designs/")
    olive.page.add_init_script(HEAR_PROGRESS)
    form = olive.page.locator("form:has([name=bill_offset_pct])")
    olive.fills(form, {"bill_offset_pct": "40", "ride_through_pct": "30"})
    with olive.page.expect_navigation():
        olive.presses("Search the catalogue", form)
    expect(olive.page.locator("#best-h")).to_have_text(re.compile("What meets the wish"), timeout=60_000)
    return olive.page.evaluate("JSON.parse(sessionStorage.heard || '[]')")


def the_answer_is_read(olive: OfficeWorker) -> tuple[dict[str, str], dict[str, str]]:
    """The two cards, checked against one another, the wish and the table of the front."""
    page = olive.page
    cheapest, runner_up = card(page.locator(".found.main")), card(page.locator(".found", has_text="the next dollar"))
    assert number(cheapest["Bills saved"]) >= 40 and number(cheapest["Outages"]) >= 30
    assert number(runner_up["price"]) > number(cheapest["price"])
    assert number(runner_up["Bills saved"]) >= number(cheapest["Bills saved"])
    assert number(runner_up["Outages"]) >= number(cheapest["Outages"])
    more = page.locator(".found.more")
    said = number(more.locator("h3").inner_text())
    assert said == number(runner_up["price"]) - number(cheapest["price"])
    # Nothing of the front is both dearer and no better than the row before it.
    if (unfold := page.locator("details.more > summary")).count():
        unfold.click()
    rows = page.locator("table.front").last.locator("tbody tr")
    front = [
        (number(row.locator("th").inner_text()), *(number(cell) for cell in row.locator("td.num").all_inner_texts()))
        for row in rows.all()
    ]
    assert len(front) > 3
    for price, ride, saved in front:
        worse = [one for one in front if one[0] < price and one[1] > ride and one[2] > saved]
        assert not worse, (price, ride, saved, worse)
    assert page.locator(".wide-chart svg").count() == 1
    return cheapest, runner_up


def olive_runs_the_study_of(olive: OfficeWorker, job: int, wanted: dict[str, str], heading: str) -> dict[str, str]:
    """Takes the design of the main card, then studies it: the study's figures are those that the search gave."""
    olive.opens(f"/jobs/{job}/designs/")
    assert heading in olive.reads()
    take(olive, olive.page.locator(".found.main"), job)
    return studied_as_promised(olive, wanted)


def the_runner_up_is_taken(
    olive: OfficeWorker, job: int, wanted: dict[str, str], study_that_was: dict[str, str]
) -> None:
    olive.opens(f"/jobs/{job}/designs/")
    said = take(olive, olive.page.locator(".found", has_text="the next dollar"), job)
    assert "Run the study on it next" in said
    # The design is another one, and the page says that the study is still of the former.
    olive.opens(f"/jobs/{job}/design/")
    block = olive.page.locator("dl.titleblock").inner_text()
    assert "not run yet" in block and wanted["module"].split(" kW")[0] in olive.reads()
    olive.opens(f"/jobs/{job}/study/")
    assert olive.page.locator("main").get_by_role("button", name="Run").count()
    figures = studied_as_promised(olive, wanted)
    assert figures != study_that_was


def the_cheapest_is_put_back(olive: OfficeWorker, job: int, wanted: dict[str, str]) -> None:
    """Whoever took the wrong one takes the other: a revision again, with what changed in words, nothing lost."""
    olive.opens(f"/jobs/{job}/designs/")
    take(olive, olive.page.locator(".found.main"), job)
    olive.opens(f"/jobs/{job}/design/")
    revisions = olive.page.locator("table.revisions tbody tr")
    letters = revisions.locator("th").all_inner_texts()
    assert len(letters) >= 3 and len(set(letters)) == len(letters)
    assert all(words.strip() for words in revisions.locator("td:last-child").all_inner_texts())
    assert wanted["module"].split(" kW")[0] in olive.reads()


def take(olive: OfficeWorker, found: Locator, job: int) -> str:
    with olive.page.expect_navigation():
        olive.presses("Take it as the design", found)
    assert olive.page.url.endswith(f"/jobs/{job}/study/")
    said = olive.notice()
    assert LETTERS.search(said) and "drawn from the search" in said
    return said


def studied_as_promised(olive: OfficeWorker, wanted: dict[str, str]) -> dict[str, str]:
    button = olive.page.locator("main").get_by_role("button", name=re.compile("^Run (the study|it again)"))
    with olive.page.expect_navigation():
        button.first.click()
    kw = wanted["module"].split(" ")[0]
    expect(olive.page.locator("dl.figures")).to_contain_text(f"{kw} kW", timeout=30_000)
    expect(olive.page.locator("#progress")).to_have_count(0, timeout=30_000)
    figures = olive.figures()
    assert "pass" in figures["checks"], olive.page.locator(".checks").inner_text()
    carried = next(value for key, value in figures.items() if key.endswith("outage carried"))
    assert number(carried) == pytest.approx(number(wanted["Outages"]), abs=1)
    return figures


def card(found: Locator) -> dict[str, str]:
    """Price, array and the rows of a found design's card, by the first words of their heads."""
    rows = {row.locator("th").inner_text(): row.locator("td").inner_text() for row in found.locator("tr").all()}
    outages = next(value for key, value in rows.items() if key.startswith("Outages"))
    price = found.locator(".found-price").inner_text()
    return {**rows, "Outages": outages, "price": price, "module": rows["Array"]}


def number(words: str) -> float:
    found = re.search(r"[\d,]+(?:\.\d+)?", words)
    assert found, words
    return float(found.group().replace(",", ""))
